"""`maturity measure`: photos to outlines and descriptors, without a season folder."""

from __future__ import annotations

import itertools
import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click
from rich.text import Text

from maturity import _core
from maturity.commands.dataset import measure_dataset
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.limits import photo_limit_options
from maturity.commands.measured_table import fruit_columns, photo_rows, show_measured
from maturity.commands.screen import output, photo_progress
from maturity.commands.season_options import threads_option
from maturity.measuring import finished_photos
from maturity.overlay import OVERLAY_SIDE_PX, open_upright, overlay_names, write_overlay
from maturity.photo_limits import PhotoLimits
from maturity.plain_text import plain_text
from maturity.season.photo_files import photos_below
from maturity.spool import Spool
from maturity.tables import sweep_drafts, write_csv, write_pieces

_FILE = click.Path(dir_okay=False, path_type=Path)


@click.command(epilog="Example: maturity measure photos/ --csv fruit.csv --overlays overlays/")
@click.argument("paths", metavar="PATH...", nargs=-1, required=True, type=click.Path())
@click.option("--json", "json_file", type=_FILE, help="Write all results as JSON.")
@click.option("--csv", "csv_file", type=_FILE, help="Write one row for each fruit.")
@click.option(
    "--overlays",
    type=click.Path(file_okay=False, path_type=Path),
    help="Write each photo with its numbered outlines here.",
)
@click.option(
    "--state-names",
    is_flag=True,
    help="Add to the table the words of a published list for describing varieties.",
)
@click.option(
    "--dataset",
    metavar="FOLDER",
    help="Add results to a Parquet dataset; a folder or URL. Photos that it holds are passed over.",
)
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Let a Dask cluster measure, like tcp://10.0.0.5:8786. Needs --dataset.",
)
@threads_option
@photo_limit_options
def measure(
    paths: tuple[str, ...],
    json_file: Path | None,
    csv_file: Path | None,
    overlays: Path | None,
    state_names: bool,
    dataset: str | None,
    cluster: str | None,
    threads: int,
    max_megapixels: float,
    max_seconds: float,
) -> None:
    """Measure photos, or all photos in folders: outlines, sizes, shape."""
    if state_names and csv_file is None:
        raise click.UsageError("--state-names adds columns to the table: give --csv FILE too")
    if cluster is not None and dataset is None:
        raise click.UsageError(
            "--cluster keeps its results in a dataset: give --dataset FOLDER too"
        )
    if dataset is not None:
        if json_file is not None or overlays is not None or csv_file is not None:
            raise click.UsageError(
                "--dataset holds all results; --json, --csv and --overlays are for runs without it"
            )
        limits = PhotoLimits(max_megapixels, max_seconds)
        sys.exit(measure_dataset(paths, dataset, cluster, threads, limits))
    files, skipped = photo_paths(paths)
    settings = PhotoLimits(max_megapixels, max_seconds).settings(threads)
    with Spool(whole=json_file is not None) as spool:
        drawn = None if overlays is None else _Overlays(overlays, files)
        names = _measure(files, settings, spool, drawn)
        if drawn is not None:
            skipped += drawn.missing()
        if json_file is not None:
            write_pieces(json_file, itertools.chain(spool.json_pieces(), ["\n"]))
        if csv_file is not None:
            columns = fruit_columns(names, state_names)
            rows = (
                row
                for place, photo in spool.results()
                for row in photo_rows(files[place], photo, state_names)
            )
            write_csv(csv_file, columns, rows)
        doubtful = show_measured(output(), files, spool)
    if state_names:
        output().print(Text(_core.state_name_warning))
    for line in skipped:
        click.echo(line, err=True)
    sys.exit(LEFT_OUT if skipped or doubtful else DONE)


def _measure(
    files: list[str], settings: _core.MeasureSettings, spool: Spool, drawn: _Overlays | None
) -> set[str]:
    """Measure into the spool and draw; returns the names of the descriptors found."""
    places = {file: place for place, file in enumerate(files)}
    names: set[str] = set()
    with photo_progress() as progress:
        named = ((file, os.fsencode(file)) for file in files)
        for done, (file, photo) in enumerate(finished_photos(named, settings), start=1):
            fields = spool.put(places[file], photo)
            for fruit in fields["fruits"]:
                names.update(fruit["descriptors"])
            if drawn is not None:
                drawn.draw(file, fields)
            if progress is not None:
                progress(done, len(files))
    return names


class _Overlays:
    """Photos with their numbered outlines, each drawn as soon as it is measured."""

    def __init__(self, folder: Path, files: list[str]) -> None:
        self._folder = folder
        self._names = overlay_names(files)
        sweep_drafts(folder)
        self._missing: dict[str, str] = {}

    def draw(self, file: str, fields: dict[str, Any]) -> None:
        if fields["error"] is not None:
            return
        try:
            picture = open_upright(Path(file), OVERLAY_SIDE_PX)
        except OSError as error:
            self._missing[file] = f"no overlay of {plain_text(file)}: {error}"
        else:
            write_overlay(picture, fields, self._folder / self._names[file])

    def missing(self) -> list[str]:
        """Why photos have no overlay, in the order of the photos."""
        return [self._missing[file] for file in self._names if file in self._missing]


def photo_paths(paths: Iterable[str]) -> tuple[list[str], list[str]]:
    """Photo files as given, and those inside folders, each once; and what was not looked into.

    Raises
    ------
    FileNotFoundError
        A path that does not exist, or no photo at all.
    """
    found: dict[str, None] = {}
    skipped: list[str] = []
    for text in paths:
        path = Path(text)
        if os.path.isdir(text):
            inside = photos_below(path)
            found.update((str(one), None) for one in inside.photos.values())
            skipped += [
                f"not looked into: {plain_text(str(path / name))}: {reason}"
                for name, reason in inside.skipped.items()
            ]
        elif os.path.lexists(text):
            found[text] = None
        else:
            raise FileNotFoundError(f"no photo or folder {text!r}: check the spelling of the path")
    if not found:
        raise FileNotFoundError(
            f"no photo in {', '.join(paths)}: give photos or a folder of them"
            + "".join(f"; {line}" for line in skipped)
        )
    return list(found), skipped
