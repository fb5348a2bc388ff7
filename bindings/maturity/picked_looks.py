"""picked.csv to looks: so many fruit of one bin looked at once, with all their findings."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field
from typing import Any

from maturity import _core
from maturity.season.problems import Problem
from maturity.season.table import ROW_NUMBER, Row

#: All findings with what usually causes them, by name.
FINDINGS: dict[str, dict[str, Any]] = {one["name"]: one for one in _core.picked_findings()}


def _of_kind(kind: str) -> tuple[str, ...]:
    return tuple(name for name, one in FINDINGS.items() if one["kind"] == kind)


#: Words of `judged_by` that mean nobody cut or measured.
_BY_EYE = {"eye", "eyes", "sight", "visual", "visually", "looked", "looks"}
#: From picking to the shed, marks that were there before, and rots of the store.
HANDLING = _of_kind("handling")
BEFORE_HARVEST = _of_kind("before_harvest")
STORAGE = _of_kind("storage")


@dataclass
class Look:
    """One look into one bin at one moment.

    `counts` has the findings as written. `judged_by` says how immature fruit were told.
    """

    block: str
    method: str
    date: datetime.date
    crew: str
    bin: str
    seen_at: str
    checked: int
    counts: dict[str, int] = field(default_factory=dict)
    judged_by: str | None = None
    load: str = ""
    load_bins: int | None = None

    def count(self, finding: str) -> int | None:
        """Fruit with this finding; None where it was not looked for.

        A row `none` closes the record: what is then not listed was not found. After holding that
        does not go for `immature`, since ripe fruit no longer show it.
        """
        known = self.counts.get(finding)
        if known is not None or "none" not in self.counts:
            return known
        if finding == "immature" and self.seen_at == "held":
            return None
        if finding == "damaged_fruit" and any(self.counts.get(name) for name in HANDLING):
            return None
        return 0

    @property
    def by_eye(self) -> bool:
        """True where immature fruit were told by eye, or where nobody says how."""
        return self.judged_by is None or not _BY_EYE.isdisjoint(self._judged_words)

    @property
    def by_meter(self) -> bool:
        """True where a meter told immature fruit."""
        return "meter" in self._judged_words

    @property
    def _judged_words(self) -> list[str]:
        return re.findall(r"[a-z]+", (self.judged_by or "").lower())


def picked_looks(rows: list[Row]) -> tuple[list[Look], list[Problem]]:
    """Looks in the order of the file, and what had to be left out.

    A look whose rows disagree about the number checked, or that states a finding twice, is left out
    whole, because any of its numbers may be the wrong one.
    """
    grouped: dict[tuple[object, ...], list[Row]] = {}
    for row in rows:
        # Without the name of a bin the time tells two looks apart.
        moment = None if row["bin"] else row["time"]
        key = (row["date"], row["block"], row["crew"], row["method"], row["seen_at"])
        grouped.setdefault((*key, row["bin"], moment), []).append(row)
    looks: list[Look] = []
    problems: list[Problem] = []
    for group in grouped.values():
        problem = _contradiction(group)
        if problem is None:
            looks.append(_look(group))
        else:
            problems.append(problem)
    return looks, problems


def _contradiction(rows: list[Row]) -> Problem | None:
    first = rows[0]
    seen: dict[str, Row] = {}
    for row in rows:
        if row["fruit_checked"] != first["fruit_checked"]:
            expected = f"{first['fruit_checked']} as in row {first[ROW_NUMBER]} of the same look"
            return _problem(row, "fruit_checked", expected)
        if row["finding"] in seen:
            other = seen[row["finding"]][ROW_NUMBER]
            expected = f"each finding of a look once; row {other} has it too"
            return _problem(row, "finding", expected)
        seen[row["finding"]] = row
    return _impossible_sum(seen)


def _impossible_sum(seen: dict[str, Row]) -> Problem | None:
    """Counts of one look that no fruit could give."""
    none = seen.get("none")
    for name, row in seen.items():
        if none is not None and name != "none":
            left = none["fruit_checked"] - none["count"]
            if row["count"] > left:
                without = f"row {none[ROW_NUMBER]} has {none['count']} with none"
                expected = f"at most {left}, since {without}"
                return _problem(row, "count", expected)
    damaged = seen.get("damaged_fruit")
    marks: dict[str, int] = {name: row["count"] for name, row in seen.items() if name in HANDLING}
    if damaged is None or not marks:
        return None
    most = max(marks, key=lambda name: marks[name])
    if damaged["count"] < marks[most]:
        return _problem(damaged, "count", f"at least the {marks[most]} fruit with {most}")
    return None


def _problem(row: Row, column: str, expected: str) -> Problem:
    where = f"bin {row['bin']}" if row["bin"] else "this look"
    effect = f"{where} of crew {row['crew']} left out"
    return Problem("picked.csv", row[ROW_NUMBER], column, str(row[column]), expected, effect)


def _look(rows: list[Row]) -> Look:
    first = rows[0]
    return Look(
        block=first["block"],
        method=first["method"] or "",
        date=first["date"],
        crew=first["crew"],
        bin=first["bin"] or "",
        seen_at=first["seen_at"],
        checked=first["fruit_checked"],
        counts={row["finding"]: row["count"] for row in rows},
        judged_by=next((row["judged_by"] for row in rows if row["finding"] == "immature"), None),
        load=first["load"] or "",
        load_bins=first["load_bins"],
    )
