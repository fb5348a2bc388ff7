"""`maturity calibrate`: what shape and meters say about oven dry matter in a season or more."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from maturity.calibrating import SeasonCalibration, calibrate_season
from maturity.commands.calibration_text import show_calibration
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.screen import output, photo_progress
from maturity.commands.season_options import measurements_option, threads_option
from maturity.tables import write_json
from maturity.visit_scoring import DEFAULT_DESCRIPTORS


@click.command(epilog="Example: maturity calibrate sample-images/season --out calibration.json")
@click.argument("seasons", nargs=-1, required=True, type=click.Path(path_type=Path))
@click.option(
    "--out",
    "--json",
    "out",
    required=True,
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the calibrations here (JSON), for maturity score --calibration.",
)
@click.option(
    "--descriptor",
    "descriptors",
    multiple=True,
    help="Shape descriptor to offer, again for each; default: those that score uses.",
)
@measurements_option
@threads_option
def calibrate(
    seasons: tuple[Path, ...],
    out: Path,
    descriptors: tuple[str, ...],
    results: Path | None,
    threads: int,
) -> None:
    """Hold shape and meters of SEASONS against their oven values, block by block.

    With several season folders (name one after the other) whole seasons are left out in turn as
    well.
    """
    try:
        with photo_progress() as progress:
            made = calibrate_season(
                *seasons,
                results=results,
                descriptors=descriptors or DEFAULT_DESCRIPTORS,
                threads=threads,
                progress=progress,
            )
    except ValueError as error:
        raise click.ClickException(str(error)) from None
    if not made.shape and not made.meters:
        reasons = "; ".join(f"{what}: {reason}" for what, reason in made.missing.items())
        why = f"nothing to calibrate: {reasons or 'no oven value'}"
        raise click.ClickException(why + _problems(made))
    write_json(out, made.to_dict())
    show_calibration(output(), made)
    sys.exit(DONE if made.complete else LEFT_OUT)


def _problems(made: SeasonCalibration) -> str:
    """What may be behind it: slips in the tables, those of the oven first."""
    problems = [
        (problem.file != "oven.csv", name, problem)
        for name, season in made.seasons.items()
        for problem in season.problems
    ]
    if not problems:
        return ""
    _, name, first = min(problems, key=lambda one: one[0])
    of_season = f"season {name}, " if len(made.seasons) > 1 else ""
    many = "1 row or cell" if len(problems) == 1 else f"{len(problems)} rows or cells"
    return f"; {many} could not be used, the first: {of_season}{first}"
