"""Tables of what was picked, all of them invented: checks, timings, limits, prices, forecast."""

from __future__ import annotations

import datetime
from typing import Any

import numpy as np

from orchard import VISITS, generator

PICKED_HEADERS = {
    "picked": "date block crew bin load load_bins method time seen_at fruit_checked finding count "
    "judged_by",
    "prices": "what value unit",
    "contact": "date block crew method bin time to_wash_s in_wash_s",
    "limits": "what value unit source source_date",
    "weather_ahead": "date tmin_c tmax_c source",
}
_DAYS = [VISITS[1] + datetime.timedelta(days=3 + day) for day in range(3)]

#: Chance of each finding on one fruit; crew Tern picks too early and handles roughly.
_CREWS = {
    "Bower": {"immature": 0.04, "sap_burn": 0.02, "rub": 0.02, "cut": 0.006},
    "Kite": {"immature": 0.05, "sap_burn": 0.03, "rub": 0.02, "cut": 0.01},
    "Tern": {"immature": 0.15, "sap_burn": 0.06, "rub": 0.03, "cut": 0.01},
}
_HELD = {"Bower": 0.03, "Kite": 0.035, "Tern": 0.09}


def _picked() -> list[dict[str, Any]]:
    """Three days of picking in the cleared block: a look on arrival, and one at held fruit."""
    rng, later = generator(12), generator(14)
    rows = []
    for day, picked_on in enumerate(_DAYS):
        date = picked_on.isoformat()
        for crew_place, crew in enumerate(_CREWS):
            for load in range(2):
                key: dict[str, Any] = {
                    "date": date,
                    "block": "Saddle",
                    "crew": crew,
                    "bin": 1 + load + 2 * crew_place + 6 * day,
                    "load": f"{date[5:]}{'ab'[load]}",
                    "load_bins": 6,
                    "method": "snip and pole",
                    "time": ["07:30", "10:15"][load],
                }
                rows += _look(rng, {**key, "seen_at": "arrival"}, 50, _CREWS[crew], "cut, shed")
            blank = dict.fromkeys(("bin", "load", "load_bins", "time"), "")
            held = {**key, **blank, "seen_at": "held"}
            late = {"browning": _HELD[crew], "bruise": 0.03}
            early = {name: chance for name, chance in _CREWS[crew].items() if name != "immature"}
            rows += _look(later, held, 30, {**early, **late}, "shed")
    return rows


def _look(
    rng: np.random.Generator,
    key: dict[str, Any],
    checked: int,
    chances: dict[str, float],
    judged_by: str,
) -> list[dict[str, Any]]:
    found = {name: rng.random(checked) < chance for name, chance in chances.items()}
    handling = [marks for name, marks in found.items() if name != "immature"]
    counts = {name: int(marks.sum()) for name, marks in found.items()}
    counts["damaged_fruit"] = int(np.any(handling, axis=0).sum())
    counts["none"] = int(checked - np.any(list(found.values()), axis=0).sum())
    return [
        {**key, "fruit_checked": checked, "finding": name, "count": count, "judged_by": judged_by}
        for name, count in counts.items()
    ]


def _prices() -> list[dict[str, Any]]:
    return [
        {"what": "price", "value": 3.1, "unit": "money/kg"},
        {"what": "fruit mass", "value": 0.38, "unit": "kg"},
        {"what": "bin mass", "value": 450, "unit": "kg"},
        {"what": "fruit in a tray", "value": 16, "unit": "fruit"},
        {"what": "crew day", "value": 1850, "unit": "money/day"},
    ]


#: Median seconds from the stem to the wash; crew Kite slows down from day to day.
_TO_WASH_S = {"Bower": (3.5, 0.0), "Kite": (3.5, 0.9), "Tern": (6.0, 0.0)}


def _contact() -> list[dict[str, Any]]:
    """Eight fruit of each crew and day, timed with a watch."""
    rng = generator(13)
    rows = []
    for day, date in enumerate(_DAYS):
        for place, (crew, (median, slower)) in enumerate(_TO_WASH_S.items()):
            for fruit in range(8):
                rows.append(
                    {
                        "date": date.isoformat(),
                        "block": "Saddle",
                        "crew": crew,
                        "method": "snip and pole",
                        "bin": 1 + fruit // 4 + 2 * place + 6 * day,
                        "time": ["07:30", "10:15"][fruit // 4],
                        "to_wash_s": f"{(median + slower * day) * rng.lognormal(0, 0.25):.1f}",
                        "in_wash_s": f"{rng.normal(60, 8):.0f}",
                    }
                )
    return rows


def _limits() -> list[dict[str, Any]]:
    limits = [
        ("acceptable immature", 4, "%"),
        ("refused immature", 12, "%"),
        ("failing at most", 12, "%"),
        ("damaged at most", 8, "%"),
        ("time to the wash at most", 5, "s"),
        ("time in the wash at most", 90, "s"),
        ("hot day from", 35, "C"),
    ]
    return [
        {
            "what": what,
            "value": value,
            "unit": unit,
            "source": "example limit, invented",
            "source_date": "2025-08-01",
        }
        for what, value, unit in limits
    ]


def _weather_ahead() -> list[dict[str, Any]]:
    return [
        {"date": date.isoformat(), "tmin_c": low, "tmax_c": high, "source": "invented"}
        for date, low, high in zip(_DAYS, (23, 25, 24), (34, 38, 36))
    ]


def picked_tables() -> dict[str, list[dict[str, Any]]]:
    """Rows of each table by its name."""
    return {
        "picked": _picked(),
        "prices": _prices(),
        "contact": _contact(),
        "limits": _limits(),
        "weather_ahead": _weather_ahead(),
    }
