"""Each day of a block and method on a p-chart with limits for unequal samples, and its cost."""

from __future__ import annotations

from typing import Any

from maturity import _core
from maturity.picked_costs import Prices
from maturity.picked_loads import Load


def day_rows(
    checks: list[_core.BinCheck], loads: list[Load], prices: Prices | None
) -> list[dict[str, Any]]:
    """A row for each day of each block and method, all crews together."""
    rows = []
    for place in sorted({(one.block, one.method) for one in checks}):
        here = [one for one in checks if (one.block, one.method) == place]
        days = sorted({one.date for one in here})
        found = [sum(one.found for one in here if one.date == day) for day in days]
        checked = [sum(one.checked for one in here if one.date == day) for day in days]
        # How much bins vary is taken within each day: between days is what the chart asks about.
        by_day = [_as(one, method=one.date) for one in here]
        effect = _core.compare_crews(by_day, shuffles=1).design_effect
        chart = _core.p_chart(found, checked, centre=None, design_effect=effect or 1.0)
        for day, count, looked_at, point in zip(days, found, checked, chart.points):
            today = [one for one in here if one.date == day]
            whole_day = _core.compare_crews(today, shuffles=1).whole
            assert whole_day is not None
            rows.append(
                {
                    "block": place[0],
                    "method": place[1] or None,
                    "date": day,
                    "checked": looked_at,
                    "immature": count,
                    "interval": list(whole_day.interval),
                    **point.to_dict(),
                    "centre": chart.centre,
                    # A single day is its own centre line and tells nothing.
                    "beyond_limits": (point.above or point.below) if len(days) > 1 else None,
                    **_cost(whole_day, day, place, loads, prices),
                }
            )
    return rows


def _as(one: _core.BinCheck, **changes: str) -> _core.BinCheck:
    given: dict[str, Any] = {**one.to_dict(), **changes}
    return _core.BinCheck(**given)


def _cost(
    whole_day: _core.WholeShare,
    day: str,
    place: tuple[str, str],
    loads: list[Load],
    prices: Prices | None,
) -> dict[str, Any]:
    """What the share cost that day, in the bins that are known of."""
    mine = [one for one in loads if (one.block, one.method) == place]
    mine = [one for one in mine if one.date.isoformat() == day]
    bins = sum(one.bins or one.bins_looked for one in mine)
    if prices is None or not bins:
        return {"bins": bins or None, "cost": None}
    cost = prices.cost(whole_day.share, whole_day.interval, bins=bins)
    return {"bins": bins, "all_bins_known": all(one.bins for one in mine), "cost": cost}
