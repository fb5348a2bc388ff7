"""Heat units and picking days for `maturity forecast`."""

from __future__ import annotations

import datetime
from collections.abc import Sequence

import click
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity.heat_outlook import HeatOutlook, heat_outlook
from maturity.picking import PickingDays, crew_figures, picking_days
from maturity.scoring import SeasonScore


def crew_days_of(given: Sequence[str]) -> dict[str, float]:
    """--crew-days BLOCK=DAYS as a mapping."""
    known = {}
    for text in given:
        block, sign, days = text.rpartition("=")
        try:
            known[block] = float(days)
        except ValueError:
            sign = ""
        if not sign or not block:
            raise click.UsageError(f"--crew-days {text}: expected BLOCK=DAYS, as Quarry=6")
    return known


def heat_outlooks(result: SeasonScore) -> list[HeatOutlook]:
    """Heat units of every block that asks for them; the first row of policy gives the rule."""
    made = []
    for block in result.season.tables["blocks"].rows:
        outlook = next((one for one in result.outlooks if one.block == block["block"]), None)
        one = heat_outlook(result.season, block, outlook)
        if one is not None:
            made.append(one)
    return made


def picking_of(
    result: SeasonScore,
    given: dict[str, float],
    crews: float | None,
    first_day: datetime.date,
    within: int | None,
) -> list[PickingDays]:
    """Picking days where somebody gave crews and crew-days; else nothing."""
    known, crews_known = crew_figures(result.season)
    known.update(given)
    at_work = crews_known if crews is None else crews
    if at_work is None:
        if given:
            raise click.UsageError("--crew-days goes with --crews, or `crews` in prices.csv")
        return []
    if not known:
        raise click.UsageError("--crews goes with --crew-days BLOCK=DAYS, or with prices.csv")
    return picking_days(result, known, crews=at_work, first_day=first_day, within=within)


def show_picking(console: Console, picking: Sequence[PickingDays]) -> None:
    """The picking days as a table."""
    if not picking:
        return
    console.print(Text("Picking days: by date, one block after the other, all crews on it"))
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 2))
    for heading in ("Block", "Crew-days", "From", "To", ""):
        table.add_column(Text(heading), overflow="fold")
    for one in picking:
        days = f"{one.crew_days:g}" if one.crew_days else ""
        start = "" if one.start is None else one.start.isoformat()
        finish = "" if one.finish is None else one.finish.isoformat()
        table.add_row(Text(one.block), days, start, finish, Text(one.note()))
    console.print(table)
    console.print()


def show_sentences(console: Console, title: str, sentences: Sequence[str]) -> None:
    """A heading and what is said under it."""
    console.print(Text(title))
    for sentence in sentences:
        console.print(Padding(Text(sentence), (0, 0, 0, 2), expand=False))
    console.print()
