"""Names that may be slips and count silently otherwise: a blank cheek, a meter spelt two ways."""

from __future__ import annotations

import collections
import re
from typing import Any

from maturity.season.problems import Problem
from maturity.season.table import ROW_NUMBER, Row, Table


def name_doubtful_names(tables: dict[str, Table], problems: list[Problem]) -> None:
    """Add to `problems` what is kept as it stands; nothing is changed or left out."""
    _blank_cheeks(tables["oven"], (), problems)
    _blank_cheeks(tables["meter"], ("meter", "setting"), problems)
    for column in ("meter", "setting"):
        _spelt_two_ways(
            [tables["meter"]], column, "counted as a meter of its own with its own bias", problems
        )
    both = [tables["trees"], tables["fruit"]]
    _spelt_two_ways(both, "flowering", "counted as a flowering of its own", problems)


def _blank_cheeks(table: Table, more: tuple[str, ...], problems: list[Problem]) -> None:
    """A row without cheek beside rows of the same fruit that name theirs."""
    named: dict[tuple[Any, ...], Row] = {}
    key = ("block", "tree", "date", "fruit", *more)
    for row in table.rows:
        if row["cheek"]:
            named.setdefault(tuple(row[name] for name in key), row)
    for row in table.rows:
        other = named.get(tuple(row[name] for name in key))
        if row["cheek"] or other is None:
            continue
        problems.append(
            Problem(
                table.declaration.file,
                row[ROW_NUMBER],
                "cheek",
                None,
                f"which cheek: row {other[ROW_NUMBER]} names {other['cheek']!r} of this fruit",
                "row kept, counted as a cheek of its own",
            )
        )


def _spelt_two_ways(tables: list[Table], column: str, effect: str, problems: list[Problem]) -> None:
    """Names that differ only in capitals, spaces or how a number is written.

    Named at the first row of the rarer spelling.
    """
    first: dict[str, tuple[str, int]] = {}
    counts: collections.Counter[str] = collections.Counter()
    for table in tables:
        for row in table.rows:
            if row[column]:
                first.setdefault(row[column], (table.declaration.file, row[ROW_NUMBER]))
                counts[row[column]] += 1
    alike: dict[str, list[str]] = {}
    for name in counts:
        alike.setdefault(_plain(name), []).append(name)
    for names in alike.values():
        usual = max(names, key=lambda name: counts[name])
        for name in names:
            if name == usual:
                continue
            (file, row_number), (other, other_row) = first[name], first[usual]
            where = f"row {other_row}" + ("" if other == file else f" of {other}")
            problems.append(
                Problem(
                    file,
                    row_number,
                    column,
                    name,
                    f"{usual!r} as in {where}, if it is the same one",
                    f"{_rows(counts[name])} kept, {effect}",
                )
            )


def _plain(name: str) -> str:
    """Small letters without spaces; of 01 and 1.0, which tables make of 1, that 1."""
    bare = "".join(name.split()).lower()
    number = re.fullmatch(r"0*([0-9]+)([.,]0+)?", bare)
    return number[1] if number else bare


def _rows(count: int) -> str:
    return "row" if count == 1 else f"{count} rows"
