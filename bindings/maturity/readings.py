"""Oven weighings and meter readings to one dry matter for each fruit."""

from __future__ import annotations

import dataclasses
import datetime
import statistics
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.oven_series import dried_sample
from maturity.season.table import ROW_NUMBER, Row

#: Repeat error of one oven value with a fine balance, %: duplicates agree within about 0.2.
OVEN_SD_PCT = 0.15

#: Cheeks further apart than this many of the usual SD, and than so many points of %, are named. Of
#: normal differences one in ten thousand is. A choice, no source.
_FAR_CHEEKS_SD, _FAR_CHEEKS_PCT, _MEDIAN_PER_SD = 4.0, 2.0, 0.6745

Key = tuple[str, str, datetime.date, int]

#: Dryer, its temperature (degrees C), and whether the skin was left on; None: not said.
DryingWay = tuple[str, float | None, bool | None]


@dataclass(frozen=True)
class OvenReading:
    """Oven dry matter of one fruit, % of fresh weight: mean over cheeks of the mean of replicates.

    `dm_pct` is None while all its samples are still drying. `sd_pct` is the repeat error of the
    oven, or the spread of duplicates where that is larger; it grows where the balance is coarse.
    """

    key: Key
    dm_pct: float | None
    sd_pct: float
    still_drying: bool
    picked_on_purpose: bool
    doubts: tuple[str, ...]
    method_doubts: tuple[str, ...] = ()
    #: The ways its samples were dried.
    ways: tuple[DryingWay, ...] = ()
    #: Each cheek's own value and its error.
    cheeks: tuple[tuple[float, float], ...] = ()
    #: How far a cheek lies from its fruit (SD, %), where enough fruit were read on both.
    cheek_sd_pct: float | None = None
    #: Its cheeks lie far further apart than those of other fruit.
    odd_cheeks: bool = False


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


def oven_readings(
    rows: Iterable[Row], duplicate_limit_pct: float = _core.duplicate_limit_pct
) -> list[OvenReading]:
    """One reading for each fruit of oven.csv, in the order of its keys.

    Duplicates further apart than `duplicate_limit_pct` are named; their mean is used. Where five
    fruit or more were read on both cheeks, what a cheek lies off its fruit by counts as error of
    all: a fruit known by one cheek is known less well, and fruit differ less than cheeks do.
    """
    groups = _grouped(rows)
    read = [_oven_reading(key[0], groups[key], duplicate_limit_pct) for key in sorted(groups)]
    read = _name_odd_cheeks(read)
    both = [one.cheeks[:2] for one in read if len(one.cheeks) > 1 and not one.odd_cheeks]
    errors = [sd for pair in both for _, sd in pair]
    spread = _core.cheek_sd_pct(
        [(one[0], other[0]) for one, other in both], statistics.median(errors) if errors else 0.0
    )
    return read if spread is None else [_with_cheek_spread(one, spread) for one in read]


def _name_odd_cheeks(read: list[OvenReading]) -> list[OvenReading]:
    """Name pairs of cheeks far further apart than others: one slip must not widen every block."""
    pairs = [one for one in read if len(one.cheeks) > 1]
    gaps = {one.key: abs(one.cheeks[0][0] - one.cheeks[1][0]) for one in pairs}
    usual = statistics.median(gaps.values()) / _MEDIAN_PER_SD if gaps else 0.0
    limit = max(_FAR_CHEEKS_PCT, _FAR_CHEEKS_SD * usual)
    return [
        one
        if gaps.get(one.key, 0.0) <= limit
        else dataclasses.replace(
            one,
            odd_cheeks=True,
            doubts=(
                *one.doubts,
                f"its cheeks are {gaps[one.key]:.1f} % apart, far more than those of other fruit "
                f"(SD {usual:.1f}): check both weighings; their mean is used",
            ),
        )
        for one in read
    ]


def _with_cheek_spread(one: OvenReading, spread: float) -> OvenReading:
    if not one.cheeks:
        return one
    error = _core.fruit_error_sd_pct([sd for _, sd in one.cheeks], spread)
    return dataclasses.replace(one, sd_pct=error, cheek_sd_pct=spread)


def meter_readings(rows: Iterable[Row]) -> list[MeterReading]:
    """One reading for each fruit and instrument of meter.csv, in the order of keys and names.

    The mean over cheeks of the mean of replicates: a cheek read twice weighs as much as the other.
    """
    groups = _grouped(rows)
    readings = []
    for (key,), group in groups.items():
        cells = [
            (f"cheek {_cheek(row)}", row["meter"], row["setting"] or "", row["dm_pct"])
            for row in group
        ]
        cheeks: dict[str, list[float]] = {}
        for value in _core.combine_meter_readings(cells):
            instrument = f"{value.meter} ({value.setting})" if value.setting else value.meter
            cheeks.setdefault(instrument, []).append(value.dm_pct)
        for instrument, values in cheeks.items():
            fruit = _core.combine_duplicates(values, [0.0] * len(values))
            readings.append(MeterReading(key, instrument, fruit.mean_pct))
    return sorted(readings, key=lambda one: (one.key, one.instrument))


def _way(row: Row) -> DryingWay:
    return (row["dryer"] or "", row["dryer_c"], row["skin_on"])


def _method_doubts(row: Row) -> list[str]:
    """Doubts about the way of drying, where it is recorded at all."""
    dryer, dryer_c, hours = row["dryer"], row["dryer_c"], row["hours"]
    if dryer is None and dryer_c is None and hours is None:
        return []
    return _core.oven_method_doubts(dryer or "", dryer_c, hours or None)


def _cheek(row: Row) -> str:
    """Name of the cheek, A and a being one; blank where it is not said."""
    return (row["cheek"] or "").lower()


def _oven_reading(key: Key, rows: list[Row], limit_pct: float) -> OvenReading:
    """Replicates of one cheek are duplicates; two cheeks of a fruit may differ by more."""
    by_cheek: dict[str, list[tuple[float, float]]] = {}
    doubts: list[str] = []
    still_drying = False
    weighings: dict[tuple[str, int | None], list[Row]] = {}
    for row in rows:
        weighings.setdefault((_cheek(row), row["replicate"]), []).append(row)
    for (cheek, _), of_sample in weighings.items():
        last = dried_sample(of_sample, doubts)
        sample = None if last is None else _sample(last, doubts)
        if sample is None:
            still_drying = True
        else:
            by_cheek.setdefault(cheek, []).append(sample)
    cheeks = []
    for cheek, samples in by_cheek.items():
        together = _combined(samples, limit_pct)
        cheeks.append((together.mean_pct, together.error_sd_pct))
        if together.too_far_apart:
            where = f" of cheek {cheek}" if cheek else ""
            doubts.append(
                f"duplicates{where} are {together.apart_pct:.2f} % apart, more than "
                f"{limit_pct:g}: their mean is used; weigh again where a sample is "
                "left"
            )
    fruit = _combined(cheeks, limit_pct) if cheeks else None
    return OvenReading(
        key=key,
        dm_pct=None if fruit is None else fruit.mean_pct,
        sd_pct=max((sd for _, sd in cheeks), default=OVEN_SD_PCT),
        still_drying=still_drying,
        picked_on_purpose=any(row["picked_on_purpose"] for row in rows),
        doubts=tuple(doubts),
        method_doubts=tuple(sorted({text for row in rows for text in _method_doubts(row)})),
        ways=tuple(dict.fromkeys(_way(row) for row in rows if row["dm_pct"] is None)),
        cheeks=tuple(cheeks),
    )


def _combined(values: list[tuple[float, float]], limit_pct: float) -> _core.Duplicates:
    """Values with the standard deviation of their errors, combined by the library."""
    return _core.combine_duplicates([one for one, _ in values], [sd for _, sd in values], limit_pct)


def _sample(row: Row, doubts: list[str]) -> tuple[float, float] | None:
    """Dry matter of one row with the standard deviation of its error; None: still drying."""
    stated: float | None = row["dm_pct"]
    if row["dish_g"] is None or row["dish_fresh_g"] is None:
        return None if stated is None else (stated, OVEN_SD_PCT)
    weighed = _core.read_oven(
        row["dish_g"], row["dish_fresh_g"], row["dish_dried_g"], row["balance_g"]
    )
    if weighed.dm_pct is None or weighed.error_sd_pct is None:
        return None if stated is None else (stated, OVEN_SD_PCT)
    if stated is not None and abs(stated - weighed.dm_pct) > _core.duplicate_limit_pct:
        doubts.append(
            f"oven.csv row {row[ROW_NUMBER]} states dm_pct {stated:g}, its weights give "
            f"{weighed.dm_pct:.2f}: the weights are used"
        )
    return weighed.dm_pct, weighed.error_sd_pct
