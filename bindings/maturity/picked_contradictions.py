"""Rows of one look into a bin that cannot all be right: such a look is left out whole."""

from __future__ import annotations

from maturity.picked_findings import BEFORE_HARVEST, HANDLING, STORAGE
from maturity.season.problems import Problem
from maturity.season.table import ROW_NUMBER, Row

_KEY = ("date", "block", "crew", "seen_at", "method", "bin")
#: Columns that every row has, so that a blank one could not be read.
_NEVER_BLANK = ("date", "block", "crew", "seen_at")


def lost_row(rows: list[Row], left_out: list[Row]) -> Problem | None:
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


Bin = tuple[object, ...]


def _bin_of(row: Row) -> Bin:
    return tuple(row[name] for name in ("date", "block", "crew", "bin", "seen_at"))


def methods_of_bins(rows: list[Row]) -> dict[Bin, list[str]]:
    """Methods that rows of one named bin give, in the order of the file."""
    methods: dict[Bin, list[str]] = {}
    for row in rows:
        known = methods.setdefault(_bin_of(row), [])
        if row["bin"] and (row["method"] or "") not in known:
            known.append(row["method"] or "")
    return methods


def two_methods(rows: list[Row], methods: dict[Bin, list[str]]) -> Problem | None:
    """A bin that stands under two methods would be counted twice, each time with half its rows."""
    known = methods[_bin_of(rows[0])]
    if len(known) < 2:
        return None
    given = " and ".join(repr(name) for name in known)
    return _problem(rows[0], "method", f"one method for a bin of a crew and day, not {given}")


def contradiction(rows: list[Row]) -> Problem | None:
    first = rows[0]
    seen: dict[str, Row] = {}
    for row in rows:
        if row["fruit_checked"] != first["fruit_checked"]:
            expected = f"{first['fruit_checked']} as in row {first[ROW_NUMBER]} of the same look"
            return _problem(row, "fruit_checked", expected)
        if row["load"] and load_of(rows) != row["load"]:
            return _problem(row, "load", f"{load_of(rows)!r} as in another row of the same look")
        if row["finding"] in seen:
            other = seen[row["finding"]][ROW_NUMBER]
            expected = f"each finding of a look once; row {other} has it too"
            return _problem(row, "finding", expected)
        seen[row["finding"]] = row
    return _impossible_sum(seen)


def load_of(rows: list[Row]) -> str:
    """The load of a look; it need not stand in every row."""
    return next((row["load"] for row in rows if row["load"]), "")


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
                f"at least {none['fruit_checked'] - listed} (a row none counts the fruit on which "
                f"nothing was found), since the findings of this look are {listed} at most"
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
