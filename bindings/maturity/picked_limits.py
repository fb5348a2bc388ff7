"""limits.csv: the user's own limits for picked fruit. None is built in."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Any

from maturity.season.problems import Problem
from maturity.season.table import ROW_NUMBER, Row

#: What may be limited, and the unit it must have.
UNITS = {
    "acceptable immature": "%",
    "refused immature": "%",
    "acceptable damaged": "%",
    "refused damaged": "%",
    "producer risk": "%",
    "consumer risk": "%",
    "failing at most": "%",
    "damaged at most": "%",
    "decayed at most": "%",
    "time to the wash at most": "s",
    "time in the wash at least": "s",
    "time in the wash at most": "s",
    "stem at least": "mm",
    "stem at most": "mm",
    "hot day from": "C",
}

#: Shown beside a limit that is not set; never used as one.
COMMON_PRACTICE = {
    "time to the wash at most": "5 s",
    "stem at least": "100 mm",
    "stem at most": "200 mm",
}


@dataclass(frozen=True)
class Limit:
    """One limit in the unit of UNITS, and who set it."""

    value: float
    source: str | None = None

    @property
    def share(self) -> float:
        """A limit in per cent as a share, 0 to 1."""
        return self.value / 100


@dataclass(frozen=True)
class LoadRule:
    """What a load should pass with, and what not; shares 0 to 1."""

    acceptable: float
    refused: float
    producer_risk: float
    consumer_risk: float

    def to_dict(self) -> dict[str, Any]:
        """The arguments of the library."""
        return dict(vars(self))


class Limits(dict[str, Limit]):
    """Limits by what they limit; what is not set is not there."""

    def value(self, what: str) -> float | None:
        """The limit in its own unit; None: not set."""
        one = self.get(what)
        return None if one is None else one.value

    def load_rule(self, finding: str) -> LoadRule | None:
        """The rule for loads by `immature` or `damaged` fruit; None: not set."""
        acceptable, refused = self.get(f"acceptable {finding}"), self.get(f"refused {finding}")
        if acceptable is None or refused is None:
            return None
        # 5 and 10 in 100: usual in acceptance sampling (common practice, no source).
        producer = self.get("producer risk", Limit(5.0))
        consumer = self.get("consumer risk", Limit(10.0))
        return LoadRule(acceptable.share, refused.share, producer.share, consumer.share)


def read_limits(rows: list[Row]) -> tuple[Limits, list[Problem]]:
    """Limits that can be used, and what is wrong with those that cannot."""
    limits, problems = Limits(), []
    for row in rows:
        what = " ".join(row["what"].lower().split())
        unit = UNITS.get(what)
        if unit is None:
            close = difflib.get_close_matches(what, UNITS, n=1)
            hint = f"; is {close[0]!r} meant?" if close else ""
            problems.append(_problem(row, "what", f"one of {', '.join(UNITS)}{hint}"))
        elif row["unit"] != unit:
            problems.append(_problem(row, "unit", f"{unit} for {what}"))
        else:
            limits[what] = Limit(row["value"], row["source"])
    for finding in ("immature", "damaged"):
        problems += _unusable_rule(limits, finding)
    for what in ("time in the wash", "stem"):
        low, high = limits.value(f"{what} at least"), limits.value(f"{what} at most")
        if low is not None and high is not None and low > high:
            expected = f"{what} at least {low:g} to be no more than at most {high:g}"
            problems.append(_whole(expected, "neither used"))
            del limits[f"{what} at least"], limits[f"{what} at most"]
    return limits, problems


def _problem(row: Row, column: str, expected: str) -> Problem:
    return Problem(
        "limits.csv", row[ROW_NUMBER], column, str(row[column]), expected, "row left out"
    )


def _whole(expected: str, effect: str) -> Problem:
    return Problem("limits.csv", None, None, None, expected, effect)


def _unusable_rule(limits: Limits, finding: str) -> list[Problem]:
    """Shares that cannot make a rule together are taken out."""
    names = [f"acceptable {finding}", f"refused {finding}"]
    given = [name for name in names if name in limits]
    expected = ""
    rule = limits.load_rule(finding)
    if given and rule is None:
        expected = f"{names[0]} and {names[1]} together"
    elif rule is not None and not rule.acceptable < rule.refused < 1:
        expected = f"{names[0]} below {names[1]}, and that below 100 %"
    elif rule is not None and not (0 < rule.producer_risk < 0.5 and 0 < rule.consumer_risk < 0.5):
        expected = "risks above 0 and below 50 %"
    if not expected:
        return []
    for name in given:
        del limits[name]
    return [_whole(expected, f"no decision on loads by {finding} fruit")]
