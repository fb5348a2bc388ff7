"""Each day of a block and method on a p-chart with limits for unequal samples, and its cost."""

from __future__ import annotations

from typing import Any

from maturity import _core
from maturity.picked_costs import Prices
from maturity.picked_likeness import assumed_effect
from maturity.picked_loads import Load


def day_rows(
    checks: list[_core.BinCheck], loads: list[Load], prices: Prices | None, *, judged_apart: bool
) -> list[dict[str, Any]]:
    """A row for each day of each block and method, all crews together.

    `judged_apart`: ways of judging stand as methods of their own; the cost is then that of the bins
    looked into in that way, since nobody knows how those not looked into would have been judged.
    """
    rows = []
    for place in sorted({(one.block, one.method) for one in checks}):
        here = [one for one in checks if (one.block, one.method) == place]
        days = sorted({one.date for one in here})
        found = [sum(one.found for one in here if one.date == day) for day in days]
        checked = [sum(one.checked for one in here if one.date == day) for day in days]
        # How much bins vary is taken within each day: between days is what the chart asks about.
        by_day = [_as(one, method=one.date) for one in here]
        bins = _core.compare_crews(by_day, shuffles=1)
        known = bins.design_effect
        sizes = sum(one.checked**2 for one in here) / sum(one.checked for one in here)
        effect = assumed_effect(sizes) if known is None else known
        chart = _core.p_chart(found, checked, centre=None, design_effect=effect)
        for day, count, looked_at, point in zip(days, found, checked, chart.points):
            today = [one for one in here if one.date == day]
            interval = _core.clustered_interval(
                count,
                looked_at,
                design_effect=effect,
                spare_bins=0 if known is None else bins.spare_bins,
            )
            rows.append(
                {
                    "block": place[0],
                    "method": place[1] or None,
                    "date": day,
                    "checked": looked_at,
                    "immature": count,
                    "interval": list(interval),
                    **point.to_dict(),
                    "centre": chart.centre,
                    "design_effect": effect,
                    "design_effect_known": known is not None,
                    # A single day is its own centre line and tells nothing.
                    "beyond_limits": (point.above or point.below) if len(days) > 1 else None,
                    **_cost(point.share, interval, _bins(today, loads, judged_apart), prices),
                }
            )
    return rows


def _as(one: _core.BinCheck, **changes: str) -> _core.BinCheck:
    given: dict[str, Any] = {**one.to_dict(), **changes}
    return _core.BinCheck(**given)


def _bins(today: list[_core.BinCheck], loads: list[Load], judged_apart: bool) -> tuple[int, bool]:
    """Bins of that day that are known of, and whether those are all."""
    one = today[0]
    mine = [load for load in loads if (load.block, load.method) == (one.block, one.method)]
    mine = [load for load in mine if load.date.isoformat() == one.date]
    if judged_apart or not mine:
        return len(today), False
    return sum(load.bins or load.bins_looked for load in mine), all(load.bins for load in mine)


def _cost(
    share: float, interval: tuple[float, float], bins: tuple[int, bool], prices: Prices | None
) -> dict[str, Any]:
    """What the share cost that day, in the bins that are known of."""
    if prices is None:
        return {"bins": bins[0], "cost": None}
    cost = prices.cost(share, interval, bins=bins[0])
    return {"bins": bins[0], "all_bins_known": bins[1], "cost": cost}
