"""What a walk is planned with: variances of the last visit, or a planning guess that says so."""

from __future__ import annotations

import datetime
import statistics
from dataclasses import dataclass, field

from maturity import _core
from maturity.block_visit import BlockVisit
from maturity.planning import HORIZON_DAYS
from maturity.scoring import SeasonScore
from maturity.season.table import ROW_NUMBER
from maturity.walk.tree_map import TreeMap

#: Standard deviation of dry matter between fruit, %, and the part of its variance that lies between
#: trees: planning guesses, not measured and not published.
GUESSED_SPREAD_PCT, GUESSED_BETWEEN_TREES = 1.3, 0.27
#: The part of the variance explained by shape that lies between trees: planning guess.
GUESSED_SHAPE_BETWEEN_TREES = 0.2


@dataclass
class Basis:
    """Variances, the margin expected on the day of the walk, and where they come from.

    Attributes
    ----------
    margin : (margin, SD, confidence) or None
        What the rule looks at less the minimum, %; None: fewer than two visits.
    known : bool
        False: planning guess.
    shape_known : bool
        True where shape is known to explain something.
    """

    variances: _core.WalkVariances
    margin: tuple[float, float, float] | None
    known: bool
    shape_known: bool
    sentences: list[str] = field(default_factory=list)


def walk_basis(
    score: SeasonScore | None,
    trees: TreeMap,
    *,
    share: float | None,
    day: datetime.date,
    policy_row: int | None = None,
) -> Basis:
    """Basis of a walk on a day for one row of policy.

    `share`: its required share, None for the rule `mean`; `policy_row`: its number, None: no row.
    """
    share_z = 0.0 if share is None else statistics.NormalDist().inv_cdf(share)
    visits = [] if score is None else _visits_before(score, trees.block, day)
    visits = [one for one in visits if policy_row in (None, one.policy[ROW_NUMBER])]
    estimated = [visit for visit in visits if visit.estimate and visit.estimate.tree_variance]
    if not estimated:
        return _guess(share_z)
    visit = estimated[-1]
    estimate = visit.estimate
    if estimate is None:
        return _guess(share_z)
    shape = estimate.shape_variance or 0.0
    variances = _core.WalkVariances(
        tree_variance=estimate.tree_variance or 0.0,
        fruit_variance=estimate.fruit_variance or 0.0,
        shape_tree_variance=GUESSED_SHAPE_BETWEEN_TREES * shape,
        shape_fruit_variance=(1 - GUESSED_SHAPE_BETWEEN_TREES) * shape,
        share_z=share_z,
    )
    sentences = [
        f"Variances of the visit of {visit.date}: between trees {estimate.tree_variance:.2f}, "
        f"between fruit of a tree {estimate.fruit_variance:.2f}, by shape {shape:.2f} (% squared)."
    ] + _balance(visit, trees)
    margin = None if score is None else _margin(score, visit, day, sentences)
    return Basis(variances, margin, True, shape > 0.0, sentences)


def _visits_before(score: SeasonScore, block: str, day: datetime.date) -> list[BlockVisit]:
    return [visit for visit in score.visits if visit.block == block and visit.date < day]


def _guess(share_z: float) -> Basis:
    total = GUESSED_SPREAD_PCT**2
    return Basis(
        _core.WalkVariances(
            tree_variance=GUESSED_BETWEEN_TREES * total,
            fruit_variance=(1 - GUESSED_BETWEEN_TREES) * total,
            share_z=share_z,
        ),
        None,
        False,
        False,
        [
            "PLANNING GUESS: nothing was measured in this block yet, so dry matter is taken to "
            f"vary by {GUESSED_SPREAD_PCT:g} % between fruit, {100 * GUESSED_BETWEEN_TREES:.0f} in "
            "100 of that variance between trees. The first visit replaces it."
        ],
    )


def tree_values(visit: BlockVisit) -> dict[str, list[float]]:
    """Oven values of each tree of a visit, %."""
    values: dict[str, list[float]] = {}
    for one in visit.fruit:
        if one["oven_dm_pct"] is not None:
            values.setdefault(one["tree"], []).append(one["oven_dm_pct"])
    return values


def places_of(names: list[str], trees: TreeMap) -> list[tuple[float, float]]:
    """Where trees stand, m or as counted; empty where one is not known."""
    where = {tree.tree: place for tree, place in zip(trees.trees, trees.places)}
    if any(name not in where for name in names):
        return []
    return [where[name][1:] for name in names]


def _balance(visit: BlockVisit, trees: TreeMap) -> list[str]:
    """What the spread of the trees was worth at that visit.

    The plan takes no credit for it, since the block estimate, which decides, takes none either.
    """
    values = tree_values(visit)
    if not values:
        return []
    result = _core.walk_result(list(values.values()), places_of(list(values), trees))
    if result.balance is None or result.balance >= 1.0:
        return []
    return [
        f"Neighbouring trees were alike then: the error of the mean of trees spread out is "
        f"{result.balance**0.5:.2f} of that of a plain random draw. Kept as a reserve."
    ]


def _margin(
    score: SeasonScore, visit: BlockVisit, day: datetime.date, sentences: list[str]
) -> tuple[float, float, float] | None:
    outlook = next((one for one in score.outlooks if one.belongs_to(visit)), None)
    if outlook is None or outlook.forecast is None or any(v.date >= day for v in outlook.visits):
        sentences.append("Fewer than two earlier visits: nothing says where the block stands now.")
        return None
    if (day - outlook.visits[-1].date).days > HORIZON_DAYS:
        sentences.append(
            f"The last visit is more than {HORIZON_DAYS} days before the walk: too far to carry on."
        )
        return None
    level = outlook.forecast.level_on((day - outlook.first_visit).days)
    if level is None:
        return None
    mean, sd = level
    ruled = (
        f"the dry matter that {100 * visit.required_share:g} in 100 fruit reach"
        if visit.rule == "share"
        else "mean dry matter"
    )
    sentences.append(
        f"On {day} {ruled} is expected at {mean:.1f} % (standard deviation {sd:.1f}), "
        f"against a minimum of {visit.minimum_dm_pct:g} %."
    )
    return mean - visit.minimum_dm_pct, sd, visit.confidence
