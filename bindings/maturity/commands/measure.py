"""`maturity measure`: photos to outlines and descriptors, without a season folder."""

from __future__ import annotations

import os
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any

import click
from rich.table import Table
from rich.text import Text

from maturity import _core
from maturity.commands.dataset import measure_dataset
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.limits import photo_limit_options
from maturity.commands.screen import output, photo_progress, show_flags
from maturity.commands.season_options import threads_option
from maturity.measuring import finished_photos
from maturity.overlay import OVERLAY_SIDE_PX, open_upright, overlay_names, write_overlay
from maturity.photo_limits import PhotoLimits
from maturity.plain_text import plain_text
from maturity.season.photo_files import photos_below
from maturity.tables import write_csv, write_text

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
    measured: dict[str, _core.PhotoMeasurement] = {}
    with photo_progress() as progress:
        for name, photo in finished_photos({file: os.fsencode(file) for file in files}, settings):
            measured[name] = photo
            if progress is not None:
                progress(len(measured), len(files))
    photos = [measured[file] for file in files]
    results = {file: photo.to_dict() for file, photo in zip(files, photos)}
    if json_file is not None:
        write_text(json_file, _core.to_json(photos, True) + "\n")
    if csv_file is not None:
        columns, rows = fruit_rows(results, state_names)
        write_csv(csv_file, columns, rows)
    if overlays is not None:
        for file, name in overlay_names(files).items():
            if results[file]["error"] is None:
                try:
                    picture = open_upright(Path(file), OVERLAY_SIDE_PX)
                except OSError as error:
                    skipped.append(f"no overlay of {plain_text(file)}: {error}")
                else:
                    write_overlay(picture, results[file], overlays / name)
    _show(results)
    if state_names:
        output().print(Text(_core.state_name_warning))
    for line in skipped:
        click.echo(line, err=True)
    doubtful = bool(skipped) or any(one["error"] or one["flags"] for one in results.values())
    unusable = any(not fruit["usable"] for one in results.values() for fruit in one["fruits"])
    sys.exit(LEFT_OUT if doubtful or unusable else DONE)


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


#: Characters of the published list, in the order of their columns.
_CHARACTERS = (
    "fruit shape",
    "apex shape",
    "depth of stalk cavity",
    "slope of ventral shoulder",
    "beak type",
    "sinus type",
)


def fruit_rows(
    results: dict[str, Any], state_names: bool = False
) -> tuple[list[str], list[dict[str, Any]]]:
    """Columns and rows of the table of fruit; a photo without fruit has a row of its own."""
    names = sorted({n for one in results.values() for f in one["fruits"] for n in f["descriptors"]})
    fields = ("fruit", "usable", "length_mm", "width_mm", "mass_g_estimate", "ventral_side")
    rows: list[dict[str, Any]] = []
    for path, photo in results.items():
        shared = {
            "photo": plain_text(path),
            "error": photo["error"],
            "photo_flags": " ".join(photo["flags"]),
            "mm_per_px": photo["mm_per_px"],
            "tilt_deg": photo["tilt_deg"],
        }
        for fruit in photo["fruits"] or [None]:
            row = dict(shared)
            if fruit is not None:
                row.update({field: fruit[field] for field in fields})
                row["fruit_flags"] = " ".join(fruit["flags"])
                row.update(fruit["descriptors"])
                row.update({f"{n}_se": v for n, v in fruit["descriptor_se"].items()})
                if state_names and fruit["usable"]:
                    row.update(_named_states(fruit["descriptors"]))
            rows.append(row)
    columns = ["photo", "error", "photo_flags", "mm_per_px", "tilt_deg", *fields, "fruit_flags"]
    for name in names:
        columns += [name, f"{name}_se"]
    if state_names:
        columns += [_state_column(one) for one in _CHARACTERS]
        columns += ["state_scheme", "state_edition", "state_note"]
    return columns, rows


def _state_column(character: str) -> str:
    return "state_" + character.replace(" ", "_")


def _named_states(descriptors: dict[str, float | None]) -> dict[str, str]:
    """Cells of one fruit; the note travels with them, as tables leave their documentation."""
    cells = {}
    for one in _core.state_names(descriptors):
        cells[_state_column(one["character"])] = one["state"]
        cells["state_scheme"], cells["state_edition"] = one["scheme"], one["edition"]
        cells["state_note"] = "boundaries are this project's own"
    return cells


def _show(results: dict[str, Any]) -> None:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    flags: list[str] = []
    for heading in ("Photo", "Fruit", "Usable", "Length, mm", "What is doubtful"):
        table.add_column(Text(heading), overflow="fold")
    folder = os.path.commonpath([os.path.dirname(path) for path in results])
    for path, photo in results.items():
        usable = sum(fruit["usable"] for fruit in photo["fruits"])
        doubts = [photo["error"]] if photo["error"] else list(photo["flags"])
        flags += photo["flags"]
        for fruit in photo["fruits"]:
            flags += fruit["flags"]
            if fruit["flags"]:
                doubts.append(f"fruit {fruit['fruit']}: {', '.join(fruit['flags'])}")
        name = os.path.relpath(path, folder) if folder else path
        counts = (str(len(photo["fruits"])), str(usable), _lengths(photo["fruits"]))
        cells = (plain_text(name), *counts, "; ".join(doubts))
        table.add_row(*(Text(cell) for cell in cells))
    console = output()
    console.print(table)
    show_flags(console, flags)


def _lengths(fruits: list[dict[str, Any]]) -> str:
    """Shortest and longest usable fruit; blank where the board gives no scale."""
    known = [one["length_mm"] for one in fruits if one["usable"] and one["length_mm"] is not None]
    if not known:
        return ""
    low, high = f"{min(known):.0f}", f"{max(known):.0f}"
    return low if low == high else f"{low} to {high}"
