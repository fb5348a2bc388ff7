"""`maturity forecast`: when each block is likely to meet its rule."""

from __future__ import annotations

import sys
from pathlib import Path

import click
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity.block_visit import in_100
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.score import run_score
from maturity.commands.screen import output
from maturity.outlook import Outlook
from maturity.scoring import SeasonScore
from maturity.tables import write_json


@click.command(epilog="Example: maturity forecast sample-images/season --json forecast.json")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the forecasts as JSON.",
)
@click.option(
    "--results",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for measurements (default: SEASON/results).",
)
@click.option("--threads", type=click.IntRange(min=0), default=0, help="0: one for each core.")
def forecast(season: Path, json_file: Path | None, results: Path | None, threads: int) -> None:
    """Say when each block of SEASON is likely to meet its rule, from its visits so far."""
    result = run_score(season, results=results, threads=threads)
    missing = blocks_without_forecast(result)
    if json_file is not None:
        outlooks = [outlook.to_dict() for outlook in result.outlooks]
        write_json(
            json_file,
            {"version": result.version, "forecasts": outlooks, "without_forecast": missing},
        )
    console = output()
    for outlook in result.outlooks:
        _show(outlook)
    for name, reason in missing.items():
        console.print(Text(f"{name}: no forecast; {reason}."))
    console.print(
        Text("A forecast knows nothing of withholding periods, rain or a change of growth.")
    )
    failed = missing or any(outlook.forecast is None for outlook in result.outlooks)
    sys.exit(LEFT_OUT if failed else DONE)


def blocks_without_forecast(result: SeasonScore) -> dict[str, str]:
    """Blocks without two visits under one row of policy, with the reason."""
    missing = dict(result.silent_blocks)
    for visit in result.visits:
        if not any(outlook.belongs_to(visit) for outlook in result.outlooks):
            missing[visit.block] = "one visit only, and a gain takes two"
    return missing


def _show(outlook: Outlook) -> None:
    console = output()
    market = "" if outlook.market is None else f" ({outlook.market})"
    console.print(Text(f"{outlook.block}{market}, last visit {outlook.visits[-1].date}"))
    console.print(Padding(Text(outlook.sentence()), (0, 0, 0, 2), expand=False))
    table = Table(box=None, pad_edge=False, padding=(0, 3, 0, 2))
    table.add_column(Text("Day"))
    table.add_column(Text("Chance that the rule is met"))
    for row in outlook.chances():
        if row["probability"] is not None:
            table.add_row(row["date"], f"{in_100(100 * row['probability'])} in 100")
    console.print(table)
    console.print()
