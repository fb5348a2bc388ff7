"""Weighings to dry matter."""

from __future__ import annotations

from maturity import _core


def dry_matter_pct(dish_g: float, dish_fresh_g: float, dish_dried_g: float) -> float:
    """Dry matter from three weighings, per cent of fresh weight.

    Parameters
    ----------
    dish_g : float
        Clean dish.
    dish_fresh_g, dish_dried_g : float
        Dish with the fresh and with the dried sample.

    Returns
    -------
    float
        100 * (dried - dish) / (fresh - dish).

    Raises
    ------
    ValueError
        Weighings that cannot be: dried below the dish or above the fresh weighing.

    Examples
    --------
    >>> round(dry_matter_pct(45.12, 65.47, 48.23), 6)
    15.282555
    """
    return _core.dry_matter_pct(dish_g, dish_fresh_g, dish_dried_g)
