"""Oven weighings and meter readings to one dry matter for each fruit."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.season.table import ROW_NUMBER, Row

#: Duplicates of one fruit further apart than this are doubted, %. The limit of AOAC 934.06 (dried
#: fruit, READ second hand), borrowed.
DUPLICATES_APART_PCT = 0.2

Key = tuple[str, str, datetime.date, int]


@dataclass(frozen=True)
class OvenReading:
    """Oven dry matter of one fruit: the mean of its replicates, % of fresh weight.

    `dm_pct` is None while all its samples are still drying. `sd_pct` is the repeat error of the
    oven; it grows where the balance is coarse.
    """

    key: Key
    dm_pct: float | None
    sd_pct: float
    still_drying: bool
    picked_on_purpose: bool
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class MeterReading:
    """Meter dry matter of one fruit: the mean of its readings with one instrument and setting."""

    key: Key
    instrument: str
    dm_pct: float


def _key(row: Row) -> Key:
    return (row["block"], row["tree"], row["date"], row["fruit"])


def _grouped(rows: Iterable[Row], *more: str) -> dict[tuple[Any, ...], list[Row]]:
    groups: dict[tuple[Any, ...], list[Row]] = {}
    for row in rows:
        groups.setdefault((_key(row), *(row[name] for name in more)), []).append(row)
    return groups
