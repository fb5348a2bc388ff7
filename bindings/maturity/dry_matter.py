"""Weighings to dry matter."""

from __future__ import annotations

from collections.abc import Sequence

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


def judge_drying(
    hours: Sequence[float],
    dish_sample_g: Sequence[float],
    *,
    within_g: float = 0.01,
    agreeing: int = 2,
    hours_apart: float = 1.0,
) -> _core.DryingResult:
    """Whether a sample has dried to constant mass: the last weighings agree.

    Two agreeing weights are the rule of Title 3 California Code of Regulations s.1408.3 (avocado),
    there to 0.01 g; the gap of an hour for an air oven is common practice, no source.

    Parameters
    ----------
    hours : (n,) float
        Time of each weighing, h, rising.
    dish_sample_g : (n,) float
        Dish with sample, g.
    within_g, agreeing, hours_apart : float, int, float
        The rule: so many weighings in a row, so far apart, that differ by no more than that.

    Returns
    -------
    DryingResult
        `state` is finished, still_losing, gained (damp taken up, or a slip) or cannot_tell.

    Raises
    ------
    ValueError
        Hours that do not rise, weights not above 0, lists of different lengths, an odd rule.

    Examples
    --------
    >>> judge_drying([24, 26, 28], [47.31, 46.93, 46.92]).state
    'finished'
    >>> judge_drying([24, 26], [47.31, 46.93]).state
    'still_losing'
    """
    return _core.judge_drying(
        list(hours),
        list(dish_sample_g),
        within_g=within_g,
        agreeing=agreeing,
        hours_apart=hours_apart,
    )
