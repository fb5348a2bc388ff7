"""How large a walk is: trees, fruit of each, oven readings."""

from __future__ import annotations

from maturity import _core
from maturity.season.season import Season
from maturity.visit_scoring import DEFAULT_REQUIRED_SHARE
from maturity.walk.basis import Basis

#: Fruit of each tree where nobody says otherwise and nothing is known of shape.
DEFAULT_FRUIT = 3
#: 95 % interval aimed at where nobody says otherwise, +- %: a choice of this program.
DEFAULT_HALF_WIDTH_PCT = 0.7
#: Numbers of trees of which the plan says what they would buy.
COMPARED_TREES = (10, 15, 20, 30, 45)
#: Most trees, and most fruit of a tree, that a plan proposes by itself.
MOST_TREES, MOST_FRUIT = 60, 6


def asked_share(season: Season, block: str) -> tuple[float | None, list[str]]:
    """The most demanding share asked of the block; None: only means are asked for."""
    rows = [row for row in season.tables["policy"].rows if row["block"] == block]
    if not rows:
        return DEFAULT_REQUIRED_SHARE, [
            "policy.csv has no row for this block: planned for the rule `share` with "
            f"{DEFAULT_REQUIRED_SHARE:g}"
        ]
    shares = [
        row["required_share"] or DEFAULT_REQUIRED_SHARE for row in rows if row["rule"] == "share"
    ]
    return max(shares, default=None), []


def design_walk(
    basis: Basis,
    eligible: int,
    asked: tuple[int | None, int | None, int | None],
    half_width_pct: float | None,
    clear: float | None,
    costs: tuple[float, float, float],
    notes: list[str],
) -> _core.WalkDesign:
    trees, fruit, oven = asked
    if oven is not None and trees is None:
        raise ValueError(f"oven: {oven}; expected together with the number of trees")
    if trees is not None and not 2 <= trees <= eligible:
        raise ValueError(
            f"trees: {trees}; expected 2 to {eligible}, the trees of the block that may be drawn"
        )
    if trees is not None:
        number = fruit or DEFAULT_FRUIT
        return _core.walk_design(
            basis.variances,
            costs=costs,
            margin=basis.margin,
            trees=trees,
            fruit_per_tree=number,
            oven_per_tree=oven or 1,
        )
    if fruit is not None:
        span = (fruit, fruit)
    else:
        span = (2, MOST_FRUIT) if basis.shape_known else (DEFAULT_FRUIT, DEFAULT_FRUIT)

    def sized(half_width: float | None, chance: float | None) -> _core.WalkDesign:
        return _core.plan_walk_size(
            basis.variances,
            costs=costs,
            margin=basis.margin,
            most_trees=min(eligible, MOST_TREES),
            fruit_per_tree=span,
            half_width=half_width,
            clear=chance,
        )

    if clear is not None and basis.margin is None:
        raise ValueError(
            f"clear: {clear:g}; expected two earlier visits of the block within three weeks, which "
            "say where it stands; until then give the error wanted (--error)"
        )
    if clear is not None:
        design = sized(None, clear)
        if design.reached:
            return design
        notes.append(
            f"no walk within reach gives a clear decision with {100 * clear:.0f} in 100 (at most "
            f"{100 * (design.p_clear or 0):.0f}): the block is likely to be near its limit then; "
            "planned for an error instead"
        )
    wanted_width = DEFAULT_HALF_WIDTH_PCT if half_width_pct is None else half_width_pct
    design = sized(wanted_width, None)
    if not design.reached:
        notes.append(
            f"an error of +- {wanted_width:g} % is out of reach with {design.trees} trees: this is "
            "the best of what can be walked"
        )
    return design


def compared_designs(
    basis: Basis, design: _core.WalkDesign, eligible: int, costs: tuple[float, float, float]
) -> list[_core.WalkDesign]:
    return [
        _core.walk_design(
            basis.variances,
            costs=costs,
            margin=basis.margin,
            trees=trees,
            fruit_per_tree=design.fruit_per_tree,
            oven_per_tree=design.oven_per_tree,
        )
        for trees in sorted({*COMPARED_TREES, design.trees})
        if trees <= eligible
    ]
