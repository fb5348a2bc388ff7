"""`maturity report`: one self-contained HTML file about a season."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.limits import photo_limit_options
from maturity.commands.score import run_score
from maturity.commands.season_options import (
    as_of_option,
    calibration_option,
    pool_option,
    results_option,
    threads_option,
)
from maturity.photo_limits import PhotoLimits
from maturity.planning import counted
from maturity.tables import write_json


@click.command(epilog="Example: maturity report sample-images/season --out report.html")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="The file to write (default: report.html in the folder of results).",
)
@calibration_option
@results_option
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write what the report says of the blocks as JSON, as score does.",
)
@as_of_option
@pool_option
@threads_option
@photo_limit_options
def report(
    season: Path,
    out: Path | None,
    calibration: Path | None,
    results: Path | None,
    as_of: datetime.datetime | None,
    pool: bool,
    threads: int,
    max_megapixels: float,
    max_seconds: float,
    json_file: Path | None,
) -> None:
    """Write a report about SEASON that opens offline and prints well."""
    # Loaded here only: matplotlib takes long to load, and other commands do without.
    from maturity.report import write_report

    limits = PhotoLimits(max_megapixels, max_seconds)
    result = run_score(
        season,
        results=results,
        calibration=calibration,
        as_of=as_of,
        threads=threads,
        limits=limits,
        pool=pool,
    )
    folder = season / "results" if results is None else results
    target = folder / "report.html" if out is None else out
    write_report(result, target)
    if json_file is not None:
        write_json(json_file, result.to_write())
    click.echo(f"Report: {target.resolve()}")
    if not result.complete:
        left, wrong = len(result.left_out), len(result.season.problems)
        untold = {
            one.block
            for one in result.latest()
            if one.estimate is None or one.estimate.mean_dm_pct is None
        }
        silent = len({*result.silent_blocks, *untold})
        click.echo(
            f"{left} left out, {counted(wrong, 'problem')} in the files, "
            f"{counted(silent, 'block')} without an estimate: named in the report."
        )
    sys.exit(DONE if result.complete else LEFT_OUT)
