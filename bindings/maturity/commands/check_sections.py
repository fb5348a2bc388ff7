"""What `maturity check` shows: a section each for crews, days, loads, damage, timings, people."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity import _core
from maturity.cut_first import CutOrder
from maturity.people_note import CAUTIONS, DEFER
from maturity.picked_bins import bins_sentence, standing_out
from maturity.picked_costs import cost_text
from maturity.picked_fruit import PickedChecks
from maturity.picked_findings import BEFORE_HARVEST, STORAGE
from maturity.picked_sentences import (
    SEEN_AT_WORDS,
    crew_sentence,
    day_costs,
    days_notes,
    how_sure,
    intervals_note,
    judging_notes,
    late_sentence,
    loads_counted,
    two_looks_note,
    verdict,
    what_passes,
)
from maturity.sap_log import trends_note
from maturity.season.problems import alike_problems


#: Loads that need action and are listed on the screen.
_MOST_LOADS = 20
#: Bins that stand out and are listed on the screen.
_MOST_BINS = 12
#: Fruit listed for cutting: about as many as a person cuts in one go.
_CUT_FIRST = 12


def show_checks(console: Console, made: PickedChecks) -> None:
    """All sections, and what is in doubt."""
    _show_immature(console, made)
    _show_bins(console, made, "immature")
    _show_days(console, made)
    _show_loads(console, made)
    _show_damage(console, made)
    _show_contact(console, made)
    _show_people(console, made)
    _show_doubts(console, made)
    console.print(Text(f"\n{intervals_note(made)}"))


def _title(console: Console, text: str) -> None:
    console.print(Text(f"\n{text}", style="bold"))


def _say(console: Console, text: str, indent: int = 2) -> None:
    console.print(Padding(Text(text), (0, 0, 0, indent), expand=False))


def _table(*headings: str, named: int = 1) -> Table:
    """A table whose first columns hold names: only those fold where the screen is narrow."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for index, heading in enumerate(headings):
        name = index < named
        table.add_column(
            Text(heading), justify="left" if name else "right", overflow="fold", no_wrap=not name
        )
    return table


def _range(interval: tuple[float, float], times: float) -> str:
    low, high = (times * end for end in interval)
    return f"{low:.1f} to {high:.1f}"


def _show_immature(console: Console, made: PickedChecks) -> None:
    if made.immature is None:
        console.print(Text("Immature fruit were not looked for: no row `immature` in picked.csv."))
        return
    console.print(Text("Immature fruit by crew", style="bold"))
    _show_crews(console, made.immature, "immature fruit")
    _say(console, how_sure(made.immature))
    for note in judging_notes(made):
        _say(console, note)
    for crew, cost in made.costs.items():
        _say(console, f"{crew}, in a bin: {cost_text(cost)}.")
    for (block, method), compared in made.by_place.items():
        ranked = [one for one in compared.crews if one.shrunk_share is not None]
        if len(made.by_place) > 1:
            _title(console, f"Immature fruit, {block}, {method or 'method not given'}")
            _show_crews(console, compared, "immature fruit")
        if ranked:
            _say(
                console,
                "Lowest first; what few fruit say is moved towards the other crews: "
                f"{_ranking(ranked)}.",
            )


def _ranking(crews: list[_core.CrewShare]) -> str:
    ordered = sorted(crews, key=lambda one: one.shrunk_share or 0.0)
    return ", ".join(
        f"{one.crew} {100 * (one.shrunk_share or 0.0):.1f} (as found {100 * one.share:.1f})"
        for one in ordered
    )


def _show_crews(console: Console, compared: _core.CrewComparison, what: str) -> None:
    own, others = "Same days:\nown", "\nothers"
    table = _table("Crew", "Bins", "Found", "In 100", "95 %", own, others, "Differs")
    for one in compared.crews:
        table.add_row(
            Text(one.crew),
            str(one.bins),
            f"{one.found} of {one.checked}",
            f"{100 * one.share:.1f}",
            _range(one.interval, 100),
            "" if one.own_share is None else f"{100 * one.own_share:.1f}",
            "" if one.others_share is None else f"{100 * one.others_share:.1f}",
            verdict(one).replace("no more than ", ""),
        )
    console.print(table)
    for one in compared.crews:
        sentence = crew_sentence(one, what)
        if sentence is not None:
            _say(console, sentence)


def _show_bins(console: Console, made: PickedChecks, finding: str) -> None:
    """Bins that stand out for immature or damaged fruit; all of them are in --json and --csv."""
    said = bins_sentence(made.bins, finding)
    if said is None:
        return
    out = standing_out(made.bins, finding)
    if out:
        what = "immature" if finding == "immature" else "damaged"
        _title(console, f"Bins with more {what} fruit")
        table = _table("Day", "Block", "Crew", "Bin", "Found", "In 100", "95 %", "Others", named=4)
        for row in out[:_MOST_BINS]:
            one = row.outcome(finding)
            assert one is not None and one.others_share is not None
            look = row.look
            table.add_row(
                look.date.isoformat(),
                Text(look.block),
                Text(look.crew),
                Text(look.bin or "no name"),
                f"{look.count(finding)} of {look.checked}",
                f"{100 * one.share:.1f}",
                _range(one.interval, 100),
                f"{100 * one.others_share:.1f}",
            )
        console.print(table)
    more = f" {len(out) - _MOST_BINS} more are not listed here." if len(out) > _MOST_BINS else ""
    _say(console, f"{said}{more} Every bin: --csv FILE or --json FILE.")


def _show_days(console: Console, made: PickedChecks) -> None:
    if not made.days:
        return
    _title(console, "Immature fruit by day")
    table = _table("Day", "Block", "Method", "Found", "In 100", "Limits", named=3)
    for row in made.days:
        limits = ""
        if row["beyond_limits"] is not None:
            limits = _range(row["limits"], 100) + (" beyond" if row["beyond_limits"] else "")
        table.add_row(
            row["date"],
            Text(row["block"]),
            Text(row["method"] or "not given"),
            f"{row['immature']} of {row['checked']}",
            f"{100 * row['share']:.1f}",
            limits,
        )
    console.print(table)
    for text in (*days_notes(made), *day_costs(made)):
        _say(console, text)


def _show_loads(console: Console, made: PickedChecks) -> None:
    _title(console, "Loads")
    action = [load for load in made.loads if load.step not in ("accept", None)]
    for load in action[:_MOST_LOADS]:
        counts = ", ".join(f"{count} {name}" for name, count in _counts(load.counts).items())
        step = str(load.step).replace("_", " ").upper()
        name = ", ".join(part for part in (load.name, load.place) if part)
        _say(console, f"{load.date} {name}: {step}. {load.checked} checked, {counts}")
        for sentence in load.sentences():
            _say(console, sentence, indent=4)
    for sentence in loads_counted(made, left_out=len(action[_MOST_LOADS:])):
        _say(console, sentence)
    for sentence in what_passes(made):
        _say(console, sentence)
    _say(console, "The curve of what a check lets pass: --charts DIR, or the report.")


def _counts(counts: dict[str, int]) -> dict[str, int]:
    return {name.replace("_fruit", ""): count for name, count in counts.items()}


def _show_damage(console: Console, made: PickedChecks) -> None:
    for seen_at, compared in made.damaged.items():
        _title(console, f"Fruit damaged in handling, {SEEN_AT_WORDS[seen_at]}")
        _show_crews(console, compared, "damaged fruit")
        _say(console, how_sure(compared))
    _show_bins(console, made, "damaged_fruit")
    table = _table("Crew", "Finding", "On arrival", "After holding", named=2)
    for row in made.two_looks:
        if row.finding == "damaged_fruit":
            continue
        early = " (before harvest)" if row.finding in BEFORE_HARVEST else ""
        early = " (storage)" if row.finding in STORAGE else early
        table.add_row(
            Text(row.crew),
            row.finding.replace("_", " ") + early,
            _of(row.arrival),
            _of(row.held),
        )
    if not table.row_count:
        return
    _title(console, "Findings")
    console.print(table)
    for row in made.two_looks:
        sentence = late_sentence(row)
        if sentence is not None:
            _say(console, sentence)
    _say(console, two_looks_note(made))
    _title(console, "What usually causes it, and what to change")
    for one in made.change:
        name = one["name"].replace("_", " ")
        _say(console, f"{name} ({one['fruit']} fruit): {one['cause']}.")
        for place, change in one["changes"]:
            _say(console, f"{place}: {change}", indent=4)


def _of(look: tuple[int, int] | None) -> str:
    return "" if look is None else f"{look[0]} of {look[1]}"


def _show_contact(console: Console, made: PickedChecks) -> None:
    if not made.contact:
        return
    _title(console, "Sap and time")
    table = _table("Crew", "Measure", "Timed", "Median", "Longest", "Outside", "95 %", named=2)
    several = len({one.method for one in made.contact}) > 1
    for one in made.contact:
        summary = one.summary
        outside, interval = "no limit", ""
        if summary.share_outside is not None and summary.share_interval is not None:
            outside = f"{100 * summary.share_outside:.0f} in 100"
            interval = _range(summary.share_interval, 100)
        table.add_row(
            Text(f"{one.crew}, {one.method or 'method not given'}" if several else one.crew),
            one.short,
            str(summary.count),
            f"{summary.median:g}",
            f"{summary.longest:g}",
            outside,
            interval,
        )
    console.print(table)
    for text in sorted({f"{one.words}: {one.limit_text}" for one in made.contact}):
        _say(console, f"{text}.")
    for one in made.contact:
        if one.summary.rising or one.summary.falling:
            _say(console, f"{one.crew}, {one.words}: {one.trend_text}.")
    note = trends_note(made.contact)
    if note is not None:
        _say(console, note)


def _show_people(console: Console, made: PickedChecks) -> None:
    _title(console, "People")
    for note in made.heat:
        _say(console, note.sentence())
    if not made.heat:
        _say(console, "Heat: no forecast in weather_ahead.csv. Shade, rest, water within reach.")
    for caution in (*CAUTIONS, DEFER):
        _say(console, caution)


def show_cut_order(console: Console, order: CutOrder) -> None:
    """Fruit to cut first, with what the order is worth."""
    _title(console, f"Cut first, {order.visit.block}, {order.visit.date}")
    table = _table("Tree", "Fruit", "Predicted, %", "95 %", "Photo")
    for row in order.fruit[:_CUT_FIRST]:
        table.add_row(
            Text(str(row["tree"])),
            str(row["fruit"]),
            f"{row['mean_dm_pct']:.1f}",
            _range(row["interval"], 1),
            Text(row["photo"] or ""),
        )
    console.print(table)
    _say(console, order.caution())


def _show_doubts(console: Console, made: PickedChecks) -> None:
    for first, second in made.similar_names:
        console.print(
            Text(f"\n{first!r} and {second!r} are counted as two crews: write one name if one.")
        )
    problems = list(map(str, alike_problems(made.problems)))
    for title, lines, count in (
        ("Notes", made.notes, len(made.notes)),
        ("Problems in the files", problems, len(made.problems)),
    ):
        if lines:
            console.print(Text(f"\n{title} ({count}):"))
        for line in lines:
            _say(console, line)
