"""contact.csv: how long sap stays on fruit, against limits that the user sets."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.picked_limits import COMMON_PRACTICE, Limits
from maturity.season.table import Row
from maturity.views.picked import contact_frame, contact_html, contact_plot

#: Column, its words and unit, and the names of its lower and upper limit.
MEASURES = {
    "to_wash_s": ("time to the wash", "s", None, "time to the wash at most"),
    "in_wash_s": (
        "time in the wash",
        "s",
        "time in the wash at least",
        "time in the wash at most",
    ),
    "stem_mm": ("stem length", "mm", "stem at least", "stem at most"),
}


@dataclass
class ContactSummary:
    """One measure of one crew and method."""

    crew: str
    method: str
    measure: str
    limits: tuple[float | None, float | None]
    summary: _core.TimingSummary

    to_frame = contact_frame
    plot = contact_plot
    _repr_html_ = contact_html

    @property
    def words(self) -> str:
        """What was timed."""
        return MEASURES[self.measure][0]

    @property
    def short(self) -> str:
        """The same, short, with its unit."""
        return f"{self.words.replace('time ', '').replace('the ', '')}, {self.unit}"

    @property
    def unit(self) -> str:
        """s or mm."""
        return MEASURES[self.measure][1]

    @property
    def limit_text(self) -> str:
        """The user's limit; where none is set, what is common practice."""
        low, high = self.limits
        parts = []
        if low is not None:
            parts.append(f"at least {low:g} {self.unit}")
        if high is not None:
            parts.append(f"at most {high:g} {self.unit}")
        if parts:
            return ", ".join(parts)
        usual = [
            f"{name.rsplit(' at ', 1)[1]} {COMMON_PRACTICE[name]}"
            for name in MEASURES[self.measure][2:]
            if name in COMMON_PRACTICE
        ]
        if not usual:
            return "no limit set"
        return f"no limit set (common practice, no source: at {', at '.join(usual)})"

    @property
    def trend_text(self) -> str:
        """Change from day to day, or why there is none to tell."""
        one = self.summary
        if one.slope_per_day is None or one.slope_interval is None:
            return f"cannot tell from {one.days} day{'s' * (one.days > 1)}: 5 at least"
        low, high = one.slope_interval
        change = f"{one.slope_per_day:+.2g} {self.unit} a day ({low:+.2g} to {high:+.2g})"
        if one.rising:
            return f"rising: {change}"
        return f"falling: {change}" if one.falling else f"no trend beyond chance: {change}"

    def to_dict(self) -> dict[str, Any]:
        """The fields as JSON holds them."""
        return {
            "crew": self.crew,
            "method": self.method or None,
            "measure": self.measure,
            "limits": list(self.limits),
            **self.summary.to_dict(),
        }


def contact_summaries(rows: list[Row], limits: Limits) -> list[ContactSummary]:
    """Share outside, longest and trend of each measure, by crew and method."""
    logs = _logs(rows)
    summaries = []
    for (crew, method, measure), timed in logs.items():
        _, _, low_name, high_name = MEASURES[measure]
        low, high = (None if name is None else limits.value(name) for name in (low_name, high_name))
        # A trend of any of these logs is one of as many chances to cry wolf.
        summary = _core.summarise_timings(timed, low=low, high=high, comparisons=len(logs))
        summaries.append(ContactSummary(crew, method, measure, (low, high), summary))
    return summaries


def _logs(rows: list[Row]) -> dict[tuple[str, str, str], list[tuple[float, float]]]:
    """(day, value) by crew, method and measure."""
    start = min((row["date"] for row in rows), default=datetime.date.min)
    logs: dict[tuple[str, str, str], list[tuple[float, float]]] = {}
    for crew, method in sorted({(row["crew"], row["method"] or "") for row in rows}):
        for measure in MEASURES:
            timed = [
                (float((row["date"] - start).days), float(row[measure]))
                for row in rows
                if (row["crew"], row["method"] or "") == (crew, method) and row[measure] is not None
            ]
            if timed:
                logs[crew, method, measure] = timed
    return logs


def trends_note(summaries: list[ContactSummary]) -> str | None:
    """Why nothing is said of trends; None where some log has days enough."""
    if not summaries or any(one.summary.slope_per_day is not None for one in summaries):
        return None
    return "Fewer than 5 days timed: no trend can be told from days that differ by luck."
