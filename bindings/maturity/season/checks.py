"""Checks that need more than one cell: impossible weighings, names that no other file knows."""

from __future__ import annotations

import re
from pathlib import PurePosixPath
from typing import Any

from maturity import _core
from maturity.season.doubtful_names import name_doubtful_names
from maturity.season.problems import Problem
from maturity.season.table import ROW_NUMBER, Row, Table


#: Crops that trees.csv may give in place of a count of fruit.
CROP_WORDS = ("light", "medium", "heavy")

#: Where to look first for a weighing that cannot be.
_COLUMN_OF_PROBLEM = {"fresh_not_above_dish": "dish_fresh_g", "not_a_weight": "dish_g"}


def check_tables(tables: dict[str, Table], photos: set[str], problems: list[Problem]) -> None:
    """Leave out rows that cannot be true or belong nowhere; every one is added to `problems`.

    `photos` are the photo files, as named under the folder of photos.
    """
    _known_blocks(tables, problems)
    _possible_weighings(tables["oven"], problems)
    _possible_counts(tables["picked"], problems)
    _possible_days(tables["weather"], problems)
    _known_crops(tables["trees"], problems)
    _known_photos(tables, photos, problems)
    _known_trees(tables, problems)
    name_doubtful_names(tables, problems)


def _problem(table: Table, row: Row, column: str, expected: str, effect: str) -> Problem:
    value: Any = row[column]
    text = None if value is None else str(value)
    return Problem(table.declaration.file, row[ROW_NUMBER], column, text, expected, effect)


def _known_blocks(tables: dict[str, Table], problems: list[Problem]) -> None:
    blocks = [row["block"] for row in tables["blocks"].rows]
    for name, table in tables.items():
        if name == "blocks" or not any(c.name == "block" for c in table.declaration.columns):
            continue
        kept = []
        for row in table.rows:
            if row["block"] is None or row["block"] in blocks:
                kept.append(row)
                continue
            expected = f"a block of blocks.csv ({', '.join(blocks)})"
            problems.append(_problem(table, row, "block", expected, "row left out"))
            table.left_out.append({**row, "block": None})
        table.rows = kept


def _possible_weighings(oven: Table, problems: list[Problem]) -> None:
    """The dish, the fresh and the dried weighing must be in a possible order."""
    _fill_later_weighings(oven)
    kept = []
    for row in oven.rows:
        dish, fresh, dried = (row[n] for n in ("dish_g", "dish_fresh_g", "dish_dried_g"))
        column = expected = ""
        if dish is not None and fresh is not None:
            weighed = _core.read_oven(dish, fresh, dried, None)
            if weighed.problem is not None:
                column = _COLUMN_OF_PROBLEM.get(weighed.problem, "dish_dried_g")
                expected = f"a possible weighing, not {weighed.sentence}"
        elif dried is not None:
            column, expected = "dish_dried_g", "dish_g and dish_fresh_g beside it"
        if expected:
            problems.append(_problem(oven, row, column, expected, "row left out"))
        else:
            kept.append(row)
    oven.rows = kept


def _fill_later_weighings(oven: Table) -> None:
    """A sample weighed again need not repeat its dish and fresh weight."""
    sample = [name for name in oven.declaration.key if name != "hours"]
    first: dict[tuple[Any, ...], Row] = {}
    for row in oven.rows:
        if row["dish_g"] is not None and row["dish_fresh_g"] is not None:
            first.setdefault(tuple(row[name] for name in sample), row)
    for row in oven.rows:
        start = first.get(tuple(row[name] for name in sample))
        if start is not None and row["dish_dried_g"] is not None:
            for name in ("dish_g", "dish_fresh_g"):
                row[name] = start[name] if row[name] is None else row[name]


def _possible_counts(picked: Table, problems: list[Problem]) -> None:
    kept = []
    for row in picked.rows:
        if row["count"] <= row["fruit_checked"]:
            kept.append(row)
            continue
        expected = f"at most the {row['fruit_checked']} fruit checked"
        problems.append(_problem(picked, row, "count", expected, "row left out"))
        picked.left_out.append(row)
    picked.rows = kept


def _possible_days(weather: Table, problems: list[Problem]) -> None:
    kept = []
    for row in weather.rows:
        if row["tmin_c"] <= row["tmax_c"]:
            kept.append(row)
            continue
        expected = f"at most tmax_c, {row['tmax_c']:g}"
        problems.append(_problem(weather, row, "tmin_c", expected, "row left out"))
    weather.rows = kept


def fruit_counted(crop: str) -> int | None:
    """The count that a crop is; None where it is a word."""
    return int(crop) if re.fullmatch("[0-9]{1,7}", crop) else None


def _known_crops(trees: Table, problems: list[Problem]) -> None:
    """A crop that is neither a count nor a word counts for nothing."""
    for row in trees.rows:
        crop = row["crop"]
        if crop is None or crop.lower() in CROP_WORDS or fruit_counted(crop) is not None:
            continue
        expected = f"a whole number of fruit of at least 0, or one of {', '.join(CROP_WORDS)}"
        problems.append(_problem(trees, row, "crop", expected, "row kept, crop not used"))
        row["crop"] = None


def _known_photos(tables: dict[str, Table], photos: set[str], problems: list[Problem]) -> None:
    listed = tables["photos"]
    lost = [row for row in listed.rows if row["photo"] not in photos]
    listed.rows = [row for row in listed.rows if row["photo"] in photos]
    expected = "a photo file under photos/ with this name"
    _name_lost_photos(listed, lost, photos, expected, "row left out", problems)
    for name in ("fruit", "oven", "meter"):
        rows = tables[name].rows
        lost = [row for row in rows if row["photo"] and row["photo"] not in photos]
        or_blank, effect = f"{expected}, or blank", "reading kept without photo"
        _name_lost_photos(tables[name], lost, photos, or_blank, effect, problems)
        for row in lost:
            row["photo"] = None


def _name_lost_photos(
    table: Table,
    lost: list[Row],
    photos: set[str],
    expected: str,
    effect: str,
    problems: list[Problem],
) -> None:
    """Each row whose photo is not there; in one line where no photo is there at all."""
    if len(lost) > 1 and not photos:
        whole = f"photo files under photos/, which holds none; {len(lost)} rows name photos"
        effects = effect.replace("row", "rows", 1).replace("reading ", "readings ", 1)
        problems.append(Problem(table.declaration.file, None, "photo", None, whole, effects))
        return
    for row in lost:
        meant = f"{expected}{_meant(row['photo'], photos)}"
        problems.append(_problem(table, row, "photo", meant, effect))


def _meant(name: str, photos: set[str]) -> str:
    """The one photo of another folder, or in other letters, that goes by this name."""
    bare = PurePosixPath(name).name.lower()
    alike = [one for one in photos if PurePosixPath(one).name.lower() == bare]
    return f"; is {alike[0]!r} meant?" if len(alike) == 1 else ""


def _known_trees(tables: dict[str, Table], problems: list[Problem]) -> None:
    """A tree that trees.csv does not list may be a slip; the row is kept and named."""
    trees = {(row["block"], row["tree"]) for row in tables["trees"].rows}
    mapped = {block for block, _ in trees}
    for name in ("photos", "fruit", "oven", "meter"):
        for row in tables[name].rows:
            block, tree = row["block"], row["tree"]
            if tree is None or block not in mapped or (block, tree) in trees:
                continue
            expected = f"a tree that trees.csv lists for block {block}"
            problems.append(_problem(tables[name], row, "tree", expected, "row kept"))
