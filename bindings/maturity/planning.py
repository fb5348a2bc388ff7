"""What comes next: a forecast from the visits so far, and how many more fruit would settle it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, overload

from maturity import _core

#: Relative costs of a tree, a photo and an oven reading: a planning guess, only ratios matter.
COST_TREE, COST_PHOTO, COST_OVEN = 4.0, 0.5, 6.0

#: Days after the last visit beyond which stated chances came out too high in simulation.
HORIZON_DAYS = 21


def forecast_readiness(
    days: Any,
    psi: Any,
    psi_sd: Any,
    *,
    minimum_dm_pct: float,
    confidence: float = 0.9,
    shared_sd: float = 0.0,
    stated_gain: tuple[float, float] | None = None,
    horizon_days: int = HORIZON_DAYS,
) -> _core.Forecast:
    """When a block is likely to meet its rule.

    Parameters
    ----------
    days : (n,) numbers
        Day of each visit, counted from any day.
    psi, psi_sd : (n,) numbers
        `psi_mean` and `psi_sd` of the block estimates (or mean and its SD for the rule `mean`), %.
    minimum_dm_pct : float
    confidence : float
        Within 0.5 to 0.999.
    shared_sd : float
        Part of the error that the visits share because the same trees were sampled, %.
    stated_gain : (mean, sd), optional
        Gain in % per week from your own seasons; needed with one visit.
    horizon_days : int

    Returns
    -------
    Forecast
        `level`, `gain_per_week`, `probability(day)`, `earliest_day` (None: see `no_date`).

    Raises
    ------
    ValueError
        Lengths that differ, numbers out of range.

    Examples
    --------
    >>> forecast = forecast_readiness([0, 7, 14], [13.2, 13.9, 14.3], [0.35, 0.3, 0.3],
    ...                               minimum_dm_pct=15)
    >>> round(forecast.gain_per_week, 3)
    0.582
    >>> forecast.no_date
    'beyond_horizon'
    """
    return _core.forecast_readiness(
        [float(value) for value in days],
        [float(value) for value in psi],
        [float(value) for value in psi_sd],
        minimum_dm_pct=minimum_dm_pct,
        confidence=confidence,
        shared_sd=shared_sd,
        stated_gain=stated_gain,
        horizon_days=horizon_days,
    )


@overload
def more_samples(
    estimate: _core.BlockEstimate,
    *,
    cost_tree: float = COST_TREE,
    cost_photo: float = COST_PHOTO,
    cost_oven: float = COST_OVEN,
    settle: float = 0.5,
) -> _core.SamplePlan:
    ...


@overload
def more_samples(
    estimate: _core.JoinedEstimate,
    *,
    cost_tree: float = COST_TREE,
    cost_photo: float = COST_PHOTO,
    cost_oven: float = COST_OVEN,
    settle: float = 0.5,
    trees_left: Mapping[str, int] | None = None,
) -> _core.FloweringPlan:
    ...


def more_samples(
    estimate: _core.BlockEstimate | _core.JoinedEstimate,
    *,
    cost_tree: float = COST_TREE,
    cost_photo: float = COST_PHOTO,
    cost_oven: float = COST_OVEN,
    settle: float = 0.5,
    trees_left: Mapping[str, int] | None = None,
) -> _core.SamplePlan | _core.FloweringPlan:
    """Cheapest addition of trees, photos and oven readings that is likely to settle the rule.

    Parameters
    ----------
    estimate : BlockEstimate or JoinedEstimate
        One crop, or a block whose flowerings are estimated apart.
    cost_tree, cost_photo, cost_oven : float
        Your own costs in any unit; the defaults are a planning guess, only ratios matter.
    settle : float
        Chance asked for that the block is then ready or not yet, within 0 to 1.
    trees_left : mapping of str to int, optional
        Of a JoinedEstimate: trees of each flowering that were not sampled yet, so that no more are
        asked for; by default as many as wanted.

    Returns
    -------
    SamplePlan or FloweringPlan
        Additions; `outcome` says when nothing within reach is likely to settle it. Of a
        JoinedEstimate: `block` with the sums, and what each flowering wants.

    Raises
    ------
    KeyError
        `trees_left` lacks a flowering.
    ValueError
        Costs that are negative or all 0, settle out of range.

    Examples
    --------
    >>> from maturity import estimate_block
    >>> oven = [15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18.0, 16.9, 15.7, 16.4]
    >>> estimate = estimate_block([1, 1, 2, 2, 3, 3, 4, 4, 5, 5], oven=oven, minimum_dm_pct=15)
    >>> plan = more_samples(estimate)
    >>> plan.outcome, plan.trees > 0
    ('plan', True)
    """
    costs = {"cost_tree": cost_tree, "cost_photo": cost_photo, "cost_oven": cost_oven}
    if isinstance(estimate, _core.JoinedEstimate):
        left = [] if trees_left is None else [trees_left[one.name] for one in estimate.flowerings]
        return _core.more_samples_of_flowerings(estimate, settle=settle, trees_left=left, **costs)
    return _core.more_samples(estimate, settle=settle, **costs)


def counted(number: int, what: str) -> str:
    """So many of it."""
    return f"{number} {what}" if number == 1 else f"{number} {what}s"


def plan_sentence(plan: _core.SamplePlan) -> str:
    """A plan in words."""
    if plan.outcome != "plan":
        return plan.outcome_sentence
    return f"Sample {addition_words(plan, 'drawn at random')}{chance_words(plan)}."


def addition_words(
    plan: _core.SamplePlan | _core.FloweringAddition,
    drawn: str,
    photographed: str = "fruit already photographed",
) -> str:
    """What to add; `drawn` says which trees."""
    if not plan.trees:
        return f"{counted(plan.oven, 'more oven reading')} on {photographed}"
    return (
        f"{counted(plan.trees, 'more tree')} {drawn}, {plan.photos} fruit on photos and "
        f"{counted(plan.oven, 'oven reading')} among them"
    )


def chance_words(plan: _core.SamplePlan) -> str:
    """What that would settle."""
    if plan.p_settle is None:
        return ""
    settled = f"about {100 * plan.p_settle:.0f} in 100 chance"
    return f": {settled} that the block is then ready or not yet"
