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


#: Words of `judged_by` that mean somebody cut or measured; anything else is by eye or not said.
MEASURED = ("cut", "oven", "meter")
#: Words that turn or doubt the one beside them.
_NOT_MEASURED = {"not", "no", "never", "without", "un", "non", "eye", "eyes", "or"}
#: From picking to the shed, marks that were there before, and rots of the store.
HANDLING = _of_kind("handling")
BEFORE_HARVEST = _of_kind("before_harvest")
STORAGE = _of_kind("storage")


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
    for group in grouped.values():
        problem = _lost_row(group, left_out or []) or _contradiction(group)
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


_KEY = ("date", "block", "crew", "seen_at", "method", "bin")
#: Columns that every row has, so that a blank one could not be read.
_NEVER_BLANK = ("date", "block", "crew", "seen_at")


def _lost_row(rows: list[Row], left_out: list[Row]) -> Problem | None:
    """A row of this look, or one that may be of it, that could not be used."""
    first = rows[0]
    closed = any(row["finding"] == "none" for row in rows)
    for lost in left_out:
        unread = [name for name in _NEVER_BLANK if lost.get(name) is None]
        same = all(lost.get(name) == first[name] for name in _KEY if name not in unread)
        if not first["bin"]:
            same = same and lost.get("time") == first["time"]
        # Of which look a row is whose place cannot be read matters where it would become a zero.
        if same and (not unread or (closed and len(unread) == 1)):
            where = f"bin {first['bin']}" if first["bin"] else "a look"
            expected = f"every row of a look to be usable; this row of {where} is not"
            effect = f"{where} of crew {first['crew']}, {first['date']}, left out whole"
            return Problem("picked.csv", lost[ROW_NUMBER], None, None, expected, effect)
    return None


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
    if none is not None:
        listed = _listed({name: row["count"] for name, row in seen.items()})
        failing = none["fruit_checked"] - none["count"]
        if failing > listed:
            expected = (
                f"at least {none['fruit_checked'] - listed}, since the findings of this look are "
                f"{listed} at most"
            )
            return _problem(none, "count", expected)
    damaged = seen.get("damaged_fruit")
    marks: dict[str, int] = {name: row["count"] for name, row in seen.items() if name in HANDLING}
    if damaged is None or not marks:
        return None
    most = max(marks, key=lambda name: marks[name])
    if damaged["count"] < marks[most]:
        return _problem(damaged, "count", f"at least the {marks[most]} fruit with {most}")
    return None


def _listed(counts: dict[str, int]) -> int:
    """Most fruit that the findings of a look account for.

    `damaged_fruit` says again what its own marks say, so it counts only where there are none.
    """
    marks = sum(counts.get(name, 0) for name in HANDLING)
    others = sum(counts.get(name, 0) for name in ("immature", *BEFORE_HARVEST, *STORAGE))
    return others + (marks or counts.get("damaged_fruit", 0))


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
        judged_by=_judged_by(rows),
        load=first["load"] or "",
        load_bins=first["load_bins"],
    )


def _judged_by(rows: list[Row]) -> str | None:
    """How immature fruit were told: a clean bin has no row `immature`, and says it elsewhere."""
    by_finding = {row["finding"]: row["judged_by"] for row in rows}
    stated: list[str] = [row["judged_by"] for row in rows if row["judged_by"]]
    if "immature" in by_finding:
        return by_finding["immature"] or by_finding.get("none") or None
    return by_finding.get("none") or next(iter(stated), None)
