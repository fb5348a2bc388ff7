"""picked.csv to looks: so many fruit of one bin looked at once, with all their findings."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

from maturity.season.problems import Problem
from maturity.season.table import ROW_NUMBER, Row

#: From picking to the shed, and marks that were there before.
HANDLING = ("sap_burn", "browning", "rub", "cut", "puncture", "impact_mark", "skin_break", "bruise")
BEFORE_HARVEST = ("blemish", "lenticel")


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
        return self.judged_by is None or "eye" in self.judged_by.lower().split()


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
    seen: dict[str, int] = {}
    for row in rows:
        if row["fruit_checked"] != first["fruit_checked"]:
            expected = f"{first['fruit_checked']} as in row {first[ROW_NUMBER]} of the same look"
            return _problem(row, "fruit_checked", expected)
        if row["finding"] in seen:
            expected = f"each finding of a look once; row {seen[row['finding']]} has it too"
            return _problem(row, "finding", expected)
        seen[row["finding"]] = row[ROW_NUMBER]
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
    )
