"""`maturity check`: picked fruit by crew, block, method and day."""

from __future__ import annotations

import sys
from pathlib import Path

import click
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity import _core
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.screen import output
from maturity.picked_fruit import PickedChecks, check_season
from maturity.picked_looks import BEFORE_HARVEST
from maturity.tables import write_json

_DIFFERS = {True: "yes", False: "no more than chance", None: "cannot tell"}
_SAFETY = (
    "General cautions: keep sap off skin and eyes and wash it off; shade, rest and water within "
    "reach in heat; ladders, platforms and blades by local rules. Seek help when unwell."
)


@click.command(epilog="Example: maturity check sample-images/season --json checks.json")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write everything as JSON.",
)
def check(season: Path, json_file: Path | None) -> None:
    """Say whether immature or damaged fruit of a crew in SEASON is more than chance."""
    made = check_season(season)
    if json_file is not None:
        write_json(json_file, made.to_dict())
    show_checks(output(), made)
    sys.exit(DONE if made.complete else LEFT_OUT)


def show_checks(console: Console, made: PickedChecks) -> None:
    """Tables of crews, of each block and method, of days and of damage, and what is in doubt."""
    if made.immature is None:
        console.print(Text("Immature fruit were not looked for: no row `immature` in picked.csv."))
    else:
        console.print(Text("Immature fruit by crew"))
        _show_crews(console, made.immature)
        _say(console, _how_sure(made.immature))
        if any(look.by_eye for look in made.looked):
            _say(console, "Some were judged by eye, or nobody says how: cut or measure to be sure.")
        _show_misses(console, made)
        for crew, cost in made.costs.items():
            _say(console, _cost_sentence(crew, cost))
    if len(made.by_place) > 1:
        for (block, method), compared in made.by_place.items():
            console.print(Text(f"\nImmature fruit, {block}, {method or 'method not given'}"))
            _show_crews(console, compared)
    _show_days(console, made)
    for seen_at, compared in made.damaged.items():
        title = "at arrival" if seen_at == "arrival" else "after holding"
        console.print(Text(f"\nFruit damaged in handling, {title}"))
        _show_crews(console, compared)
    _show_findings(console, made)
    _show_doubts(console, made)
    console.print(Text(f"\nIntervals are 95 % and know bins. {_SAFETY}"))


def _say(console: Console, text: str) -> None:
    console.print(Padding(Text(text), (0, 0, 0, 2), expand=False))


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 2))
    for index, heading in enumerate(headings):
        table.add_column(Text(heading), justify="right" if index else "left", overflow="fold")
    return table


def _show_crews(console: Console, compared: _core.CrewComparison) -> None:
    table = _table("Crew", "Bins", "Checked", "Found", "In 100", "95 %", "Differs")
    for one in compared.crews:
        table.add_row(
            Text(one.crew),
            str(one.bins),
            str(one.checked),
            str(one.found),
            f"{100 * one.share:.1f}",
            _range(one.interval, 100),
            _DIFFERS[one.differs],
        )
    console.print(table)
    for one in compared.crews:
        if one.reason_sentence is not None:
            _say(console, f"{one.crew}: {one.reason_sentence}.")


def _range(interval: tuple[float, float], times: float) -> str:
    low, high = (times * end for end in interval)
    return f"{low:.1f} to {high:.1f}"


def _how_sure(compared: _core.CrewComparison) -> str:
    if compared.design_effect is None:
        return "Too few bins to tell whether fruit of one bin are alike: intervals may be short."
    alike = f"Bins vary {compared.design_effect:.1f} times as much as single fruit would."
    return f"{alike} Crews are compared within block and method only."


def _show_misses(console: Console, made: PickedChecks) -> None:
    """What a check of this size lets pass, said with numbers."""
    sizes = sorted(look.checked for look in made.looked)
    size = sizes[len(sizes) // 2]
    chance = _core.acceptance_probability(size, 0, 0.05, lot=None)
    _say(
        console,
        f"A look at {size} fruit finds none in {100 * chance:.0f} of 100 loads of which 1 in 20 "
        "fruit is immature.",
    )


def _cost_sentence(crew: str, cost: _core.ShareCost) -> str:
    if cost.money is None:
        return ""
    mass = f"{cost.mass_kg.value:.0f} kg ({_whole(cost.mass_kg.interval)})"
    return f"{crew}: in a bin {mass}, worth {cost.money.value:.0f} ({_whole(cost.money.interval)})."


def _whole(interval: tuple[float, float]) -> str:
    return f"{interval[0]:.0f} to {interval[1]:.0f}"


def _show_days(console: Console, made: PickedChecks) -> None:
    days = [row for row in made.days if row["beyond_limits"] is not None]
    if not days:
        return
    console.print(Text("\nImmature fruit by day"))
    table = _table("Day", "Block", "Method", "Checked", "Found", "In 100", "Limits")
    for row in days:
        limits = _range(row["limits"], 100) + (" beyond" if row["beyond_limits"] else "")
        table.add_row(
            row["date"],
            Text(row["block"]),
            Text(row["method"] or "not given"),
            str(row["checked"]),
            str(row["immature"]),
            f"{100 * row['share']:.1f}",
            limits,
        )
    console.print(table)


def _show_findings(console: Console, made: PickedChecks) -> None:
    table = _table("Crew", "Seen at", "Finding", "Found", "Checked")
    for crew in made.crews:
        for seen_at in ("arrival", "held"):
            for name, one in made.findings(crew, seen_at).items():
                early = " (before harvest)" if name in BEFORE_HARVEST else ""
                finding = name.replace("_", " ") + early
                table.add_row(Text(crew), seen_at, finding, str(one["count"]), str(one["checked"]))
    if table.row_count:
        console.print(Text("\nFindings"))
        console.print(table)
        _say(console, "Sap burn and bruises show late: hold a sample (common practice, no source).")


def _show_doubts(console: Console, made: PickedChecks) -> None:
    for first, second in made.similar_names:
        console.print(
            Text(f"\n{first!r} and {second!r} are counted as two crews: write one name if one.")
        )
    for title, lines in (
        ("Notes", made.notes),
        ("Problems in the files", [str(one) for one in made.problems]),
    ):
        if lines:
            console.print(Text(f"\n{title} ({len(lines)}):"))
        for line in lines:
            _say(console, line)
