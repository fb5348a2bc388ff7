"""`maturity forecast`: when each block is likely to meet its rule."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity.block_visit import in_100
from maturity.commands.dates import A_DAY
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.limits import photo_limit_options
from maturity.commands.picking_table import (
    crew_days_of,
    heat_outlooks,
    picking_of,
    show_picking,
    show_sentences,
)
from maturity.commands.score import run_score
from maturity.commands.screen import output, show_problems
from maturity.commands.season_options import measurements_option, threads_option
from maturity.heat_outlook import HeatOutlook
from maturity.outlook import Outlook
from maturity.photo_limits import PhotoLimits
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
@measurements_option
@click.option(
    "--crews",
    type=click.FloatRange(min=0, min_open=True),
    help="Crews at work each day: plans picking days (or `crews` in prices.csv).",
)
@click.option(
    "--crew-days",
    metavar="BLOCK=DAYS",
    multiple=True,
    help="Work of a block, crews times days (or `crew days BLOCK` in prices.csv).",
)
@click.option("--first-day", type=A_DAY, help="First picking day (default: today).")
@click.option(
    "--within",
    metavar="DAYS",
    type=click.IntRange(min=0),
    help="A block should be picked within so many days of its date (the last visit where that "
    "found it ready, else the forecast): your own limit.",
)
@threads_option
@photo_limit_options
def forecast(
    season: Path,
    json_file: Path | None,
    results: Path | None,
    crews: float | None,
    crew_days: tuple[str, ...],
    first_day: datetime.datetime | None,
    within: int | None,
    threads: int,
    max_megapixels: float,
    max_seconds: float,
) -> None:
    """Say when each block of SEASON is likely to meet its rule, from its visits so far.

    Against calendar days, and against heat units where weather.csv and blocks.csv have them.
    """
    given = crew_days_of(crew_days)
    limits = PhotoLimits(max_megapixels, max_seconds)
    result = run_score(season, results=results, threads=threads, limits=limits)
    missing = blocks_without_forecast(result)
    heat = heat_outlooks(result)
    begin = datetime.date.today() if first_day is None else first_day.date()
    picking = picking_of(result, given, crews, begin, within)
    if json_file is not None:
        outlooks = [outlook.to_dict() for outlook in result.outlooks]
        write_json(
            json_file,
            {
                "version": result.version,
                "forecasts": outlooks,
                "without_forecast": missing,
                "heat": [one.to_dict() for one in heat],
                "picking": [one.to_dict() for one in picking],
                "notes": result.notes(),
                "problems": [one.to_dict() for one in result.season.problems],
            },
        )
    console = output()
    for outlook in result.outlooks:
        _show(outlook, [one for one in heat if one.block == outlook.block])
    shown = {outlook.block for outlook in result.outlooks}
    for one in heat:
        if one.block not in shown:
            show_sentences(console, one.block, one.sentences())
    for name, reason in missing.items():
        console.print(Text(f"{name}: no forecast; {reason}."))
    for note in result.notes():
        console.print(Text(f"Note: {note}."))
    show_picking(console, picking)
    console.print(
        Text("A forecast knows nothing of withholding periods, rain or a change of growth.")
    )
    if picking:
        console.print(Text("The picking days do wait for the periods in sprays.csv."))
    problems = show_problems(console, result.season, used=USED_TABLES)
    failed = (
        missing
        or problems
        or any(outlook.forecast is None for outlook in result.outlooks)
        or any(one.missing for one in heat)
        or any(one.turn.not_planned for one in picking)
    )
    sys.exit(LEFT_OUT if failed else DONE)


#: Tables that a forecast and picking days rest on; mistakes elsewhere change nothing here.
USED_TABLES = (
    *("blocks", "policy", "sprays", "photos", "fruit", "oven", "meter"),
    *("weather", "prices"),
)


def blocks_without_forecast(result: SeasonScore) -> dict[str, str]:
    """Blocks without two visits under one row of policy, with the reason."""
    missing = dict(result.silent_blocks)
    for visit in result.visits:
        if not any(outlook.belongs_to(visit) for outlook in result.outlooks):
            missing[visit.block] = "one visit only, and a gain takes two"
    return missing


def _show(outlook: Outlook, heat: list[HeatOutlook]) -> None:
    console = output()
    market = "" if outlook.market is None else f" ({outlook.market})"
    console.print(Text(f"{outlook.block}{market}, last visit {outlook.visits[-1].date}"))
    said = [outlook.sentence(), *outlook.fall_sentences(), outlook.range_sentence()]
    said += [sentence for one in heat for sentence in one.sentences()]
    for sentence in said:
        if sentence:
            console.print(Padding(Text(sentence), (0, 0, 0, 2), expand=False))
    table = Table(box=None, pad_edge=False, padding=(0, 3, 0, 2))
    table.add_column(Text("Day"))
    table.add_column(Text("Chance that the rule is met"))
    for row in outlook.chances():
        if row["probability"] is not None:
            table.add_row(row["date"], f"{in_100(100 * row['probability'])} in 100")
    console.print(table)
    console.print()
