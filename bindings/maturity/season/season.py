"""A whole season folder, read at once."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from os import PathLike
from pathlib import Path

import pandas

from maturity.plain_text import plain_text
from maturity.season.checks import check_tables
from maturity.season.declarations import TABLES
from maturity.season.photo_files import find_photos
from maturity.season.problems import Problem, SeasonError
from maturity.season.table import Table, read_table
from maturity.views.states import season_frame, season_html


@dataclass
class Season:
    """A season folder as read: tables, photo files, and everything that was wrong.

    Attributes
    ----------
    folder : Path
        The season folder; nothing in it is modified apart from ``results/``.
    tables : dict of str to Table
        By file name without ending; a missing file is an empty table.
    photos : mapping of str to Path
        Photo files by the name used in ``photos.csv``.
    problems : list of Problem
        Rows and values left out, all of them.
    """

    folder: Path
    tables: dict[str, Table]
    photos: Mapping[str, Path]
    problems: list[Problem]

    to_frame = season_frame
    _repr_html_ = season_html

    @property
    def name(self) -> str:
        """The folder's name as people read it: underscores and hyphens between words are blanks."""
        name = plain_text(self.folder.resolve().name).replace("_", " ")
        return re.sub(r"(?<!\d)-|-(?!\d)", " ", name).strip() or plain_text(str(self.folder))

    @property
    def blocks(self) -> list[str]:
        """Names of the blocks, in the order of blocks.csv."""
        return [row["block"] for row in self.tables["blocks"].rows]

    def frame(self, table: str) -> pandas.DataFrame:
        """One file as a data frame, for instance ``season.frame("oven")``."""
        return self.tables[table].to_frame()

    def problems_of(self, *tables: str) -> list[Problem]:
        """Problems of these tables (by name, as "oven") and of the photo files."""
        files = {self.tables[name].declaration.file for name in tables}
        return [one for one in self.problems if one.file in files or one.file.startswith("photos")]

    def notes(self) -> list[str]:
        """How each file was read: separator, decimal sign, unknown columns kept."""
        lines = []
        for table in self.tables.values():
            if table.dialect is None:
                continue
            line = f"{table.declaration.file}: {len(table.rows)} rows, {table.dialect}"
            if table.extra_columns:
                line += f"; columns kept but not used: {', '.join(table.extra_columns)}"
            lines.append(line)
        return lines

    def __repr__(self) -> str:
        tables = ", ".join(
            f"{name} {len(table.rows)}" for name, table in self.tables.items() if table.present
        )
        return (
            f"<Season {str(self.folder)!r}: {tables}, photo files {len(self.photos)}, "
            f"problems {len(self.problems)}>"
        )


def read_season(path: str | PathLike[str], *, needs_data: bool = True) -> Season:
    """Read a season folder: every CSV file, checked, and the list of its photos.

    Parameters
    ----------
    path : path
        Folder with ``blocks.csv`` and at least one of photos, ``oven.csv``, ``meter.csv``,
        ``picked.csv``.
    needs_data : bool
        False: a season in which nothing was measured yet will do, for instance to plan a walk.

    Returns
    -------
    Season
        Rows that cannot be used are left out and listed in ``problems``, all at once.

    Raises
    ------
    FileNotFoundError
        There is no such folder.
    SeasonError
        No usable ``blocks.csv``, or no data where they are needed. ``problems`` of the error lists
        everything.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text("block,cultivar\\nRiver,Amberlee\\n")
    >>> _ = (folder / "oven.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct\\n"
    ...     + "".join(f"River,{tree},2026-11-03,1,{14 + tree / 4}\\n" for tree in range(1, 9))
    ... )
    >>> season = read_season(folder)
    >>> season.blocks, len(season.frame("oven")), season.problems
    (['River'], 8, [])
    """
    folder = Path(path)
    if not folder.is_dir():
        raise FileNotFoundError(
            f"no season folder {str(folder)!r}: give the folder that holds blocks.csv "
            "(`maturity start DIR` makes an empty one)"
        )
    problems: list[Problem] = []
    tables = {one.name: read_table(folder, one, problems) for one in TABLES}
    found = find_photos(folder)
    photos = found.photos
    if not tables["blocks"].rows:
        expected = _lacking_blocks(tables["blocks"])
        problems.append(Problem("blocks.csv", None, None, None, expected, "nothing read", True))
        raise SeasonError(problems)
    for name, reason in found.skipped.items():
        file = "photos" if name == "." else f"photos/{name}"
        expected = f"a folder that can be read ({reason})"
        problems.append(Problem(file, None, None, None, expected, "photos in it left out"))
    check_tables(tables, set(photos), problems)
    measured = any(tables[name].rows for name in ("oven", "meter", "picked"))
    if needs_data and not photos and not measured:
        expected = "photos under photos/, or usable rows in oven.csv, meter.csv or picked.csv"
        problems.append(Problem("season folder", None, None, None, expected, "nothing read", True))
        raise SeasonError(problems)
    return Season(folder, tables, photos, problems)


def _lacking_blocks(blocks: Table) -> str:
    """What blocks.csv should hold and does not."""
    if not blocks.present:
        return "a file with the columns block and cultivar, and a row for each block"
    if blocks.left_out:
        return "a row for each block; none of its rows could be used"
    return (
        "a row for each block below the header, as River,Amberlee under block,cultivar; it has "
        "the header only"
    )
