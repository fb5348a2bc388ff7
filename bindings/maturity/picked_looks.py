"""picked.csv to looks: so many fruit of one bin looked at once, with all their findings."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass, field

from maturity.picked_contradictions import (
    contradiction,
    load_of,
    lost_row,
    methods_of_bins,
    two_methods,
)
from maturity.picked_findings import BEFORE_HARVEST, HANDLING, STORAGE
from maturity.season.problems import Problem
from maturity.season.table import Row

#: Words of `judged_by` that mean somebody cut or measured; anything else is by eye or not said.
MEASURED = ("cut", "oven", "meter")
#: Words that turn or doubt the one beside them.
_NOT_MEASURED = {"not", "no", "never", "without", "un", "non", "eye", "eyes", "or"}


@dataclass
class Look:
    """One look into one bin at one moment.

    `counts` has the findings as written. `judged_by` says how immature fruit were told.
    `damage_known` False: damaged fruit are not counted here, see `drop_unknown_damage`.
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
    damage_known: bool = True

    def count(self, finding: str) -> int | None:
        """Fruit with this finding; None where it was not looked for.

        A row `none` closes the record: what is then not listed was not found. After holding that
        does not go for `immature`, since ripe fruit no longer show it.
        """
        if finding == "damaged_fruit":
            return self._damaged()
        known = self.counts.get(finding)
        if known is not None or "none" not in self.counts:
            return known
        if finding == "immature" and self.seen_at == "held":
            return None
        return 0

    def _damaged(self) -> int | None:
        """Fruit with any handling mark; None where the marks of a look do not say."""
        if not self.damage_known or "damaged_fruit" in self.counts:
            return self.counts.get("damaged_fruit") if self.damage_known else None
        marks = self.marks
        if len(marks) == 1:
            return marks[0]
        none = self.counts.get("none")
        if none is None or not marks:
            return None if none is None else 0
        other = ("immature", *BEFORE_HARVEST, *STORAGE)
        # Without other findings every fruit that is not with `none` has some mark.
        return None if any(self.counts.get(name) for name in other) else self.checked - none

    @property
    def marks(self) -> list[int]:
        """Counts of the handling marks that were found."""
        return [self.counts[name] for name in HANDLING if self.counts.get(name)]

    @property
    def by_eye(self) -> bool:
        """True where immature fruit were told by eye, or where nobody says how."""
        words = set(self._judged_words)
        return words.isdisjoint(MEASURED) or not words.isdisjoint(_NOT_MEASURED)

    @property
    def by_meter(self) -> bool:
        """True where a meter told immature fruit."""
        return "meter" in self._judged_words and not self.by_eye

    @property
    def _judged_words(self) -> list[str]:
        return re.findall(r"[a-z]+", (self.judged_by or "").lower())


def picked_looks(
    rows: list[Row], left_out: list[Row] | None = None
) -> tuple[list[Look], list[Problem]]:
    """Looks in the order of the file, and what had to be left out.

    A look whose rows disagree about the number checked, or that states a finding twice, is left out
    whole, because any of its numbers may be the wrong one. So is a look that lost a row in reading
    (`left_out`): what is gone would count as not found.
    """
    grouped: dict[tuple[object, ...], list[Row]] = {}
    for row in rows:
        # Without the name of a bin the time tells two looks apart.
        moment = None if row["bin"] else row["time"]
        key = (row["date"], row["block"], row["crew"], row["method"], row["seen_at"])
        grouped.setdefault((*key, row["bin"], moment), []).append(row)
    looks: list[Look] = []
    problems: list[Problem] = []
    methods = methods_of_bins(rows)
    for group in grouped.values():
        problem = (
            lost_row(group, left_out or []) or contradiction(group) or two_methods(group, methods)
        )
        if problem is None:
            looks.append(_look(group))
        else:
            problems.append(problem)
    return looks, problems


def drop_unknown_damage(looks: list[Look]) -> list[str]:
    """Take damaged fruit as unknown for a whole crew, day and look time, and say so.

    Where several marks of one look do not say how many fruit they are on, that look would drop out
    and the clean ones beside it stay: too small a share.
    """
    grouped: dict[tuple[str, datetime.date, str], list[Look]] = {}
    for look in looks:
        grouped.setdefault((look.crew, look.date, look.seen_at), []).append(look)
    notes = []
    for (crew, date, seen_at), group in grouped.items():
        unknown = [look for look in group if look.count("damaged_fruit") is None]
        if unknown and any(look.marks for look in group):
            for look in group:
                look.damage_known = False
            when = "on arrival" if seen_at == "arrival" else "after holding"
            notes.append(
                f"crew {crew}, {date}, {when}: damaged fruit not counted, since of {len(unknown)} "
                f"of {len(group)} looks nobody can say how many fruit were damaged (write a row "
                "damaged_fruit: fruit with any handling mark)"
            )
    return notes


def similar_names(looks: list[Look]) -> list[str]:
    """Methods, and bins of one crew and day, that differ by case or spaces only: offered as one."""
    written: dict[tuple[object, ...], set[str]] = {}
    for look in looks:
        names = {"methods": (look.method, ()), "bins": (look.bin, (look.date, look.crew))}
        for what, (name, where) in names.items():
            key = (what, *where, "".join(name.casefold().split()))
            written.setdefault(key, set()).add(name)
    return [
        f"{key[0]} {' and '.join(repr(name) for name in sorted(names))} are counted as "
        f"{len(names)}: write one name if one"
        for key, names in written.items()
        if len(names) > 1
    ]


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
        judged_by=_judged_by(rows),
        load=load_of(rows),
        load_bins=next((row["load_bins"] for row in rows if row["load_bins"] is not None), None),
    )


def _judged_by(rows: list[Row]) -> str | None:
    """How immature fruit were told: a clean bin has no row `immature`, and says it elsewhere."""
    by_finding = {row["finding"]: row["judged_by"] for row in rows}
    stated: list[str] = [row["judged_by"] for row in rows if row["judged_by"]]
    if "immature" in by_finding:
        return by_finding["immature"] or by_finding.get("none") or None
    return by_finding.get("none") or next(iter(stated), None)
