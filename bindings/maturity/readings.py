"""Oven weighings and meter readings to one dry matter for each fruit."""

from __future__ import annotations

import datetime
import statistics
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.season.table import ROW_NUMBER, Row

#: Duplicates of one fruit further apart than this are doubted, %. The limit of AOAC 934.06 (dried
#: fruit, READ second hand), borrowed.
DUPLICATES_APART_PCT = 0.2

#: Repeat error of one oven value with a fine balance, %.
OVEN_SD_PCT = 0.15

Key = tuple[str, str, datetime.date, int]


@dataclass(frozen=True)
class OvenReading:
    """Oven dry matter of one fruit, % of fresh weight: mean over cheeks of the mean of replicates.

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


def oven_readings(rows: Iterable[Row]) -> list[OvenReading]:
    """One reading for each fruit of oven.csv, in the order of its keys."""
    groups = _grouped(rows)
    return [_oven_reading(key[0], groups[key]) for key in sorted(groups)]


def meter_readings(rows: Iterable[Row]) -> list[MeterReading]:
    """One reading for each fruit and instrument of meter.csv, in the order of keys and names."""
    readings = []
    for (key, meter, setting), group in _grouped(rows, "meter", "setting").items():
        instrument = meter if setting is None else f"{meter} ({setting})"
        mean = statistics.fmean(row["dm_pct"] for row in group)
        readings.append(MeterReading(key, instrument, mean))
    return sorted(readings, key=lambda one: (one.key, one.instrument))


def _oven_reading(key: Key, rows: list[Row]) -> OvenReading:
    by_cheek: dict[str | None, list[float]] = {}
    doubts: list[str] = []
    for row in rows:
        values = by_cheek.setdefault(row["cheek"], [])
        weights = [row[name] for name in ("dish_g", "dish_fresh_g", "dish_dried_g")]
        if None not in weights:
            values.append(_core.dry_matter_pct(*weights))
            stated = row["dm_pct"]
            if stated is not None and abs(stated - values[-1]) > DUPLICATES_APART_PCT:
                doubts.append(
                    f"oven.csv row {row[ROW_NUMBER]} states dm_pct {stated:g}, its weights give "
                    f"{values[-1]:.2f}: the weights are used"
                )
        elif row["dm_pct"] is not None:
            values.append(row["dm_pct"])
    read = {cheek: values for cheek, values in by_cheek.items() if values}
    for cheek, values in read.items():
        apart = max(values) - min(values)
        if apart > DUPLICATES_APART_PCT:
            where = "" if cheek is None else f" of cheek {cheek}"
            doubts.append(
                f"duplicates{where} are {apart:.2f} % apart, more than {DUPLICATES_APART_PCT:g}: "
                "their mean is used; weigh again where a sample is left"
            )
    cheeks = [statistics.fmean(values) for values in read.values()]
    return OvenReading(
        key=key,
        dm_pct=statistics.fmean(cheeks) if cheeks else None,
        sd_pct=OVEN_SD_PCT,
        still_drying=sum(len(values) for values in read.values()) < len(rows),
        picked_on_purpose=any(row["picked_on_purpose"] for row in rows),
        doubts=tuple(doubts),
    )
