"""How large a walk is: trees, fruit of each, oven readings."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.season.season import Season
from maturity.season.table import ROW_NUMBER
from maturity.visit_scoring import DEFAULT_REQUIRED_SHARE
from maturity.walk.basis import Basis

#: Fruit of each tree where nobody says otherwise and nothing is known of shape.
DEFAULT_FRUIT = 3
#: 95 % interval aimed at where nobody says otherwise, +- %: a choice of this program.
DEFAULT_HALF_WIDTH_PCT = 0.7
#: Numbers of trees of which the plan says what they would buy.
COMPARED_TREES = (10, 15, 20, 30, 45)
#: Fewest trees of a walk that is planned: fewer than 5 oven fruit settle nothing.
FEWEST_TREES = 5
#: Most trees, and most fruit of a tree, that a plan proposes by itself.
MOST_TREES, MOST_FRUIT = 60, 6


@dataclass(frozen=True)
class AskedRow:
    """A row of policy that a walk is to serve.

    Attributes
    ----------
    share : float or None
        Required share; None for the rule `mean`.
    number : int or None
        Row of policy.csv; None: it has none for the block.
    """

    market: str | None
    share: float | None
    number: int | None

    @property
    def title(self) -> str:
        """The row in words."""
        rule = "mean" if self.share is None else f"share {self.share:g}"
        market = "" if self.market is None else f", market {self.market}"
        return f"rule {rule}{market}"


def asked_rows(season: Season, block: str) -> tuple[list[AskedRow], list[str]]:
    """What is asked of the block, at least one row."""
    rows = [
        AskedRow(
            row["market"],
            (row["required_share"] or DEFAULT_REQUIRED_SHARE) if row["rule"] == "share" else None,
            row[ROW_NUMBER],
        )
        for row in season.tables["policy"].rows
        if row["block"] == block
    ]
    if rows:
        return rows, []
    return [AskedRow(None, DEFAULT_REQUIRED_SHARE, None)], [
        "policy.csv has no row for this block: planned for the rule `share` with "
        f"{DEFAULT_REQUIRED_SHARE:g}"
    ]


@dataclass(frozen=True)
class RowDesign:
    """The walk under one row of policy: its error, and its chance of a clear decision."""

    row: AskedRow
    basis: Basis
    design: _core.WalkDesign

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {
            "policy_row": self.row.number,
            "market": self.row.market,
            "rule": self.row.title,
            "expected_half_width_pct": 1.96 * self.design.standard_error,
            "chance_of_clear_decision": self.design.p_clear,
        }


def design_for_rows(
    rows: list[tuple[AskedRow, Basis]],
    eligible: int,
    asked: tuple[int | None, int | None, int | None],
    half_width_pct: float | None,
    clear: float | None,
    costs: tuple[float, float, float],
    notes: list[str],
) -> list[RowDesign]:
    """One design that serves every row, as each row sees it; the most demanding row first.

    Each number (trees, fruit, oven) is the largest that a row asks for by itself: the error only
    falls with each of them.
    """
    alone = []
    for row, basis in rows:
        said: list[str] = []
        alone.append(design_walk(basis, eligible, asked, half_width_pct, clear, costs, said))
        notes += [f"{row.title}: {one}" if len(rows) > 1 else one for one in said]
    trees, fruit, oven = (
        max(getattr(one, name) for one in alone)
        for name in ("trees", "fruit_per_tree", "oven_per_tree")
    )
    if not _core.may_say_ready(trees, oven):
        notes.append(
            f"{trees} trees with {trees * oven} oven fruit can never say ready: that takes 5 oven "
            "fruit of 3 trees"
        )
    made = [
        RowDesign(
            row,
            basis,
            _core.walk_design(
                basis.variances,
                costs=costs,
                margin=basis.margin,
                trees=trees,
                fruit_per_tree=fruit,
                oven_per_tree=oven,
            ),
        )
        for row, basis in rows
    ]

    def demand(one: RowDesign) -> tuple[float, float]:
        chance = 1.0 if one.design.p_clear is None else one.design.p_clear
        return chance, -one.design.standard_error

    return sorted(made, key=demand)


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
    if half_width_pct is not None and not half_width_pct > 0:
        raise ValueError(f"--error: {half_width_pct:g}; expected more than 0 % dry matter")
    if clear is not None and not 0 < clear < 1:
        raise ValueError(f"--clear: {clear:g}; expected a chance between 0 and 1, as 0.8")
    if oven is not None and trees is None:
        raise ValueError(f"--oven: {oven}; expected together with --trees")
    if trees is None and eligible < FEWEST_TREES:
        raise ValueError(
            f"{eligible} trees may be drawn, and a planned walk takes at least {FEWEST_TREES}; "
            "give their number (--trees), or look at excluded trees and edge rows"
        )
    if trees is not None and not 2 <= trees <= eligible:
        raise ValueError(
            f"--trees: {trees}; expected 2 to {eligible}, the trees of the block that may be drawn"
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
            f"--clear: {clear:g}; expected two earlier visits of the block within three weeks, "
            "which say where it stands; until then give the error wanted (--error)"
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
