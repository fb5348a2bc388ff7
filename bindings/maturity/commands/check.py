"""`maturity check`: picked fruit by crew, block, method, day and load."""

from __future__ import annotations

import sys
from pathlib import Path

import click

from maturity.commands.check_sections import show_checks, show_cut_order
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.score import run_score
from maturity.commands.screen import output
from maturity.cut_first import cut_first as order_of_cutting
from maturity.picked_bins import write_bins
from maturity.picked_fruit import check_season
from maturity.tables import write_json


@click.command(epilog="Example: maturity check sample-images/season --json checks.json")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write everything as JSON.",
)
@click.option(
    "--csv",
    "csv_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write every bin looked into as CSV, with its shares and intervals.",
)
@click.option(
    "--charts",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for the charts as SVG: crews, days, what a check lets pass (also in the report).",
)
@click.option(
    "--cut-first",
    metavar="BLOCK",
    help="Also list which photographed fruit of this block to cut first (measures its photos).",
)
def check(
    season: Path,
    json_file: Path | None,
    csv_file: Path | None,
    charts: Path | None,
    cut_first: str | None,
) -> None:
    """Say whether immature or damaged fruit of a crew in SEASON is more than chance.

    Also: what to do with each load by the limits of limits.csv, what usually causes the damage
    found, what it costs, and timings between tree and wash.
    """
    made = check_season(season)
    if json_file is not None:
        write_json(json_file, made.to_dict())
    if csv_file is not None:
        write_bins(csv_file, made.bins)
    if charts is not None:
        # Loaded here only: matplotlib takes long to load, and the rest does without.
        from maturity.report.picked_charts import write_charts

        for path in write_charts(made, charts):
            click.echo(f"Chart: {path}", err=True)
    show_checks(output(), made)
    if cut_first is not None:
        show_cut_order(output(), order_of_cutting(run_score(season, results=None), cut_first))
    sys.exit(DONE if made.complete else LEFT_OUT)
