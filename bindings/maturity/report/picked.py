"""The report's section about picked fruit: texts, tables and charts, ready for the template."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from maturity import _core
from maturity.people_note import CAUTIONS, DEFER
from maturity.picked_bins import BinRow, bins_sentence, standing_out
from maturity.picked_costs import cost_text
from maturity.picked_fruit import PickedChecks, check_season
from maturity.picked_findings import BEFORE_HARVEST, STORAGE
from maturity.picked_sentences import (
    SEEN_AT_WORDS,
    crew_sentence,
    day_costs,
    days_notes,
    how_sure,
    judging_notes,
    late_sentence,
    loads_counted,
    two_looks_note,
    verdict,
    what_passes,
)
from maturity.report.charts import Chart
from maturity.report.picked_charts import crews_chart, days_charts, passing_chart
from maturity.sap_log import trends_note
from maturity.season.problems import alike_problems
from maturity.season.season import Season

_MANY_LOADS = 40
_MANY_BINS = 40


@dataclass
class CrewRow:
    """One crew of one table."""

    crew: str
    counts: str
    share: str
    interval: str
    own: str
    others: str
    drawn: str
    differs: str


@dataclass
class PickedSection:
    """What the report says of picked fruit; `silent` says why there is nothing."""

    made: PickedChecks | None = None
    silent: str | None = None
    #: Title, rows and sentences of each table of crews.
    tables: list[tuple[str, list[CrewRow], list[str]]] = field(default_factory=list)
    crews: Chart | None = None
    days: list[Chart] = field(default_factory=list)
    passing: Chart | None = None
    findings: list[dict[str, str]] = field(default_factory=list)

    @property
    def sure(self) -> list[str]:
        """How crews were compared, and what was only judged by eye."""
        if self.made is None or self.made.immature is None:
            return ["Immature fruit were not looked for."]
        return [how_sure(self.made.immature), *judging_notes(self.made)]

    @property
    def bins(self) -> list[tuple[str, list[dict[str, str]]]]:
        """How many bins stand out for immature and for damaged fruit, and which."""
        rows = [] if self.made is None else self.made.bins
        said = [(bins_sentence(rows, name), name) for name in ("immature", "damaged_fruit")]
        return [
            (text, [_bin(row, name) for row in standing_out(rows, name)[:_MANY_BINS]])
            for text, name in said
            if text is not None
        ]

    @property
    def limits_of_days(self) -> list[str]:
        """What the limits of days are."""
        return [] if self.made is None else days_notes(self.made)

    @property
    def no_trend(self) -> str | None:
        """Why nothing is said of trends of timings."""
        return None if self.made is None else trends_note(self.made.contact)

    @property
    def loads(self) -> list[Any]:
        """The latest loads that were decided on."""
        return self._judged[-_MANY_LOADS:]

    @property
    def _judged(self) -> list[Any]:
        loads = [] if self.made is None else self.made.loads
        return [one for one in loads if one.decisions or one.tolerances is not None]

    @property
    def loads_not_shown(self) -> int:
        """Loads that are in the JSON only."""
        return len(self._judged) - len(self.loads)

    @property
    def counted(self) -> list[str]:
        """Loads that are accepted, and those without a decision and why."""
        return [] if self.made is None else loads_counted(self.made)

    @property
    def late(self) -> list[str]:
        """What shows late, and what a single look misses."""
        if self.made is None:
            return []
        rose = [late_sentence(row) for row in self.made.two_looks]
        return [text for text in rose if text is not None] + [two_looks_note(self.made)]

    @property
    def passes(self) -> list[str]:
        """What a check of this size lets pass."""
        return [] if self.made is None else what_passes(self.made)

    @property
    def costs(self) -> list[str]:
        """By crew and by day, in the user's own figures."""
        if self.made is None:
            return []
        crews = [f"{crew}, in a bin: {cost_text(one)}." for crew, one in self.made.costs.items()]
        return crews + day_costs(self.made)

    @property
    def problems(self) -> list[str]:
        """Of the tables it rests on, those that are alike in one."""
        return [] if self.made is None else list(map(str, alike_problems(self.made.problems)))

    @property
    def cautions(self) -> list[str]:
        """For the people who pick."""
        return [*CAUTIONS, DEFER]


def picked_section(season: Season) -> PickedSection | None:
    """The section; None where the season has no picked.csv, or only its header."""
    picked = season.tables["picked"]
    if not (picked.rows or picked.left_out) and not any(
        one.file == "picked.csv" for one in season.problems
    ):
        return None
    try:
        made = check_season(season)
    except ValueError as error:
        return PickedSection(silent=str(error).splitlines()[0])
    section = PickedSection(
        made,
        crews=crews_chart(made),
        days=days_charts(made),
        passing=passing_chart(made),
        findings=_findings(made),
    )
    if made.immature is not None:
        title = "Immature fruit by crew"
        section.tables.append(_table(title, made.immature, "immature fruit"))
        if len(made.by_place) > 1:
            for (block, method), compared in made.by_place.items():
                title = f"Immature fruit, {block}, {method or 'method not given'}"
                section.tables.append(_table(title, compared, "immature fruit"))
    for seen_at, compared in made.damaged.items():
        title = f"Fruit damaged in handling, {SEEN_AT_WORDS[seen_at]}"
        section.tables.append(_table(title, compared, "damaged fruit"))
    return section


def _table(
    title: str, compared: _core.CrewComparison, what: str
) -> tuple[str, list[CrewRow], list[str]]:
    rows = [
        CrewRow(
            crew=one.crew,
            counts=f"{one.found} of {one.checked}, {one.bins} bins",
            share=f"{100 * one.share:.1f}",
            interval=" to ".join(f"{100 * end:.1f}" for end in one.interval),
            own="" if one.own_share is None else f"{100 * one.own_share:.1f}",
            others="" if one.others_share is None else f"{100 * one.others_share:.1f}",
            drawn="" if one.shrunk_share is None else f"{100 * one.shrunk_share:.1f}",
            differs=verdict(one),
        )
        for one in sorted(compared.crews, key=lambda one: (one.shrunk_share or 0.0, one.crew))
    ]
    sentences = [crew_sentence(one, what) for one in compared.crews]
    return title, rows, [text for text in sentences if text is not None]


def _bin(row: BinRow, finding: str) -> dict[str, str]:
    one = row.outcome(finding)
    assert one is not None and one.others_share is not None
    place = ", ".join(part for part in (row.look.block, row.look.method) if part)
    return {
        "day": row.look.date.isoformat(),
        "place": place,
        "crew": row.look.crew,
        "bin": row.look.bin or "without name",
        "counts": f"{row.look.count(finding)} of {row.look.checked}",
        "share": f"{100 * one.share:.1f}",
        "interval": " to ".join(f"{100 * end:.1f}" for end in one.interval),
        "others": f"{100 * one.others_share:.1f}",
    }


def _findings(made: PickedChecks) -> list[dict[str, str]]:
    rows = []
    for row in made.two_looks:
        if row.finding == "damaged_fruit":
            continue
        origin = "handling"
        if row.finding in BEFORE_HARVEST:
            origin = "before harvest"
        elif row.finding in STORAGE:
            origin = "storage"
        looks = [
            "not looked for" if look is None else f"{look[0]} of {look[1]}"
            for look in (row.arrival, row.held)
        ]
        rows.append(
            {
                "crew": row.crew,
                "finding": row.finding.replace("_", " "),
                "origin": origin,
                "arrival": looks[0],
                "held": looks[1],
            }
        )
    return rows
