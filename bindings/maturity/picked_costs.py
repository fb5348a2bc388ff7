"""What a share of immature fruit costs, from the user's own prices and masses."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from maturity import _core
from maturity.season.table import Row

#: what in prices.csv, and the unit it must have (money/kg: any currency).
_NEEDED = {"price": "/kg", "fruit mass": "kg", "bin mass": "kg"}
_TRAY = "fruit in a tray"


@dataclass(frozen=True)
class Prices:
    """The user's figures: money for a kg, kg of a fruit and of a bin, fruit in a tray."""

    per_kg: float
    fruit_kg: float
    bin_kg: float
    fruit_in_tray: float | None

    @property
    def fruit_in_bin(self) -> float:
        """Fruit in a full bin."""
        return self.bin_kg / self.fruit_kg

    def cost(
        self, share: float, interval: tuple[float, float], *, bins: int = 1
    ) -> _core.ShareCost:
        """Fruit, kg, trays and money of a share in so many bins."""
        return _core.cost_of_share(
            share,
            interval,
            fruit=bins * self.fruit_in_bin,
            fruit_mass_g=1000 * self.fruit_kg,
            price_per_kg=self.per_kg,
            fruit_per_tray=self.fruit_in_tray,
        )


def read_prices(rows: list[Row]) -> tuple[Prices | None, list[str]]:
    """The figures of prices.csv; None with a note where one is missing or has another unit."""
    figures = {row["what"].lower(): row for row in rows}
    if not rows:
        return None, []
    for what, unit in _NEEDED.items():
        row = figures.get(what)
        if row is None or not row["unit"].lower().endswith(unit) or row["value"] <= 0:
            return None, [f"no cost: prices.csv needs {what!r} above 0 in a unit of {unit}"]
    tray = figures.get(_TRAY)
    notes = []
    if tray is not None and (tray["unit"].lower() != "fruit" or tray["value"] <= 0):
        notes = [f"no trays: prices.csv needs {_TRAY!r} above 0 in the unit fruit"]
        tray = None
    price, fruit, load = (float(figures[what]["value"]) for what in _NEEDED)
    return Prices(price, fruit, load, None if tray is None else float(tray["value"])), notes


def as_known(cost: _core.CostRange) -> tuple[float, float, float]:
    """Value and interval without digits that the interval makes meaningless.

    The last digit kept is worth at most a quarter of the interval's width; what is there is never
    rounded to nothing, neither the value nor the low end.
    """
    low, high = cost.interval
    if not high > low:
        return cost.value, low, high
    step = 10.0 ** math.floor(math.log10((high - low) / 4))
    if cost.value > 0:
        step = min(step, _digit(cost.value))
    of_low = min(step, _digit(low)) if low > 0 else step
    steps = ((cost.value, step), (low, of_low), (high, step))
    value, low, high = (one * round(number / one) for number, one in steps)
    return value, low, high


def _digit(number: float) -> float:
    """What the first digit of a number is worth."""
    return float(10.0 ** math.floor(math.log10(number)))


def cost_text(cost: _core.ShareCost) -> str:
    """Fruit, mass, trays and money in words, each with its interval."""
    parts = [f"{_range(cost.fruit)} fruit", f"{_range(cost.mass_kg)} kg"]
    if cost.trays is not None:
        parts.append(f"{_range(cost.trays)} trays")
    if cost.money is not None:
        parts.append(f"worth {_range(cost.money)}")
    return ", ".join(parts)


def _range(cost: _core.CostRange) -> str:
    value, low, high = as_known(cost)
    return f"{_plain(value)} ({_plain(low)} to {_plain(high)})"


def _plain(number: float) -> str:
    if number >= 10 or number == round(number):
        return f"{number:.0f}"
    return format(Decimal(f"{number:.2g}"), "f")


def cost_dict(cost: _core.ShareCost | None) -> dict[str, Any] | None:
    """A cost as JSON holds it, unrounded."""
    return None if cost is None else cost.to_dict()
