"""A walk before it is walked: may one go in, how many, which trees, which way."""

from __future__ import annotations

import datetime
import secrets
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any

from maturity import _core
from maturity.about import library_version
from maturity.block_visit import in_100
from maturity.clearance import block_clearance
from maturity.planning import COST_OVEN, COST_PHOTO, COST_TREE
from maturity.scoring import SeasonScore, score_season
from maturity.season.season import Season, read_season
from maturity.season.table import Row
from maturity.stored_walk import recorded_plans
from maturity.walk.basis import walk_basis
from maturity.walk.draw import draw_trees, trees_left_out
from maturity.walk.entry import Entry, block_entry, refuse_entry
from maturity.walk.size import RowDesign, asked_rows, compared_designs, design_for_rows
from maturity.walk.stops import Round, make_rounds
from maturity.walk.tree_map import TreeMap, block_trees
from maturity.walk_sample import WALK_DAYS
from maturity.views.walks import plan_frame, plan_html, plan_plot, plan_repr

#: From so many trees on a walk is dealt into two rounds, so that it may end after the first.
TREES_FOR_TWO_ROUNDS = 12


@dataclass
class WalkPlan:
    """A planned walk.

    Attributes
    ----------
    design : WalkDesign
        Trees, fruit, oven readings, expected error, chance of a clear decision, under the most
        demanding row of policy.
    by_policy : list of RowDesign
        The same walk under each row of policy, the most demanding first.
    compared : list of WalkDesign
        What fewer and more trees would buy, with as many fruit and oven readings of each.
    rounds : list of Round
        Each a sample of the whole block; results may be looked at after each.
    entry : Entry
        Re-entry periods at the planned moment.
    not_for_eating : str or None
        Why sampled fruit may not be eaten or sold; None: cleared for every market.
    left_out : list of str
        Trees that could not be drawn, counted, with the reason.
    notes : list of str
        What was missing, and what was done instead.
    """

    block: str
    cultivar: str
    moment: datetime.datetime
    seed: int
    drawn_by: str
    eligible: int
    design: _core.WalkDesign
    by_policy: list[RowDesign]
    basis: list[str]
    known: bool
    rounds: list[Round]
    in_one_go_m: float | None
    compared: list[_core.WalkDesign]
    trees: TreeMap
    entry: Entry
    not_for_eating: str | None
    left_out: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    version: str = field(default_factory=library_version)

    to_frame = plan_frame
    plot = plan_plot
    _repr_html_ = plan_html
    __repr__ = plan_repr

    @property
    def tree_names(self) -> list[str]:
        """The trees in walking order."""
        return [stop.tree for one in self.rounds for stop in one.stops]

    def size_sentence(self) -> str:
        """How many, and what that is expected to give."""
        design = self.design
        text = (
            f"{design.trees} trees, {design.fruit_per_tree} fruit of each on a photo, "
            f"{design.oven_per_tree} of these into the oven ({design.trees * design.oven_per_tree} "
            f"oven readings). Expected error: +- {1.96 * design.standard_error:.1f} % (95 %)"
        )
        if design.p_clear is not None:
            text += f"; {in_100(100 * design.p_clear)} in 100 chance of ready or not yet"
        if len(self.by_policy) > 1:
            text += f", under the most demanding row ({self.by_policy[0].row.title})"
        return text + "."

    def policy_sentences(self) -> list[str]:
        """Error and chance under each row of policy; nothing to add where there is one."""
        if len(self.by_policy) < 2:
            return []
        said = []
        for one in self.by_policy:
            text = f"Under {one.row.title}: +- {1.96 * one.design.standard_error:.1f} %"
            if one.design.p_clear is not None:
                text += f", {in_100(100 * one.design.p_clear)} in 100 chance of ready or not yet"
            said.append(f"{text}.")
        return said

    def to_dict(self) -> dict[str, Any]:
        """The plan as JSON holds it."""
        return {
            "version": self.version,
            "block": self.block,
            "cultivar": self.cultivar,
            "moment": self.moment.isoformat(timespec="minutes"),
            "seed": self.seed,
            "drawn_by": self.drawn_by,
            "eligible_trees": self.eligible,
            "trees": self.design.trees,
            "fruit_per_tree": self.design.fruit_per_tree,
            "oven_per_tree": self.design.oven_per_tree,
            "expected_half_width_pct": 1.96 * self.design.standard_error,
            "chance_of_clear_decision": self.design.p_clear,
            "by_policy": [one.to_dict() for one in self.by_policy],
            "compared": [one.to_dict() for one in self.compared],
            "planning_guess": not self.known,
            "basis": self.basis,
            "rounds": [one.to_dict() for one in self.rounds],
            "length_in_one_go_m": self.in_one_go_m,
            "entry": self.entry.to_dict(),
            "not_for_eating": self.not_for_eating,
            "left_out": self.left_out,
            "notes": self.notes,
        }


def plan_walk(
    season: Season | str | PathLike[str],
    block: str,
    *,
    moment: datetime.datetime,
    trees: int | None = None,
    fruit: int | None = None,
    oven: int | None = None,
    half_width_pct: float | None = None,
    clear: float | None = None,
    rounds: int | None = None,
    seed: int | None = None,
    without_edge_rows: bool = False,
    confirmed_by: str | None = None,
    costs: tuple[float, float, float] = (COST_TREE, COST_PHOTO, COST_OVEN),
    score: SeasonScore | None = None,
    results: str | PathLike[str] | None = None,
) -> WalkPlan:
    """Plan a walk: trees drawn at random and spread over the block, in walking order.

    Parameters
    ----------
    season : Season or path
    block : str
    moment : datetime
        When people go in; re-entry periods are asked for it.
    trees, fruit : int, optional
        Number of trees, and fruit of each; else planned.
    oven : int, optional
        Oven readings of each tree, with `trees`; else 1.
    half_width_pct : float, optional
        95 % interval wanted for what the rule looks at, +- %.
    clear : float, optional
        Chance wanted that the walk says ready or not yet, 0..1; needs two earlier visits.
    rounds : int, optional
        Rounds, each a sample of the whole block, after which results may be looked at.
    seed : int, optional
        Same seed, same trees; else drawn, and recorded in the plan.
    without_edge_rows : bool
        Leave the first and the last row out.
    confirmed_by : str, optional
        Who stands for going in although a re-entry period is open or unknown.
    costs : (tree, photo, oven)
        In any unit, only ratios matter; the default is a planning guess.
    score : SeasonScore, optional
        Earlier visits; None: scored here where the season holds any.
    results : path, optional
        Folder of measurements for that.

    Returns
    -------
    WalkPlan

    Raises
    ------
    EntryRefused
        A re-entry period is open or unknown, and nobody stands for going in.
    ValueError
        Unknown block, no trees, fewer trees than asked for.

    Examples
    --------
    >>> import datetime, pathlib, tempfile
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text(
    ...     "block,cultivar,rows,trees_per_row,row_spacing_m,tree_spacing_m\\n"
    ...     "River,Amberlee,6,10,8,5\\n"
    ... )
    >>> _ = (folder / "sprays.csv").write_text(
    ...     "block,finished_at,product,withholding_days,reentry_hours,market,confirmed_by,"
    ...     "confirmed_on\\nRiver,2026-11-01 08:00,none,,,,A. Person,2026-11-09\\n"
    ... )
    >>> morning = datetime.datetime(2026, 11, 10, 7)
    >>> plan = plan_walk(folder, "River", moment=morning, trees=9, seed=1)
    >>> plan
    <WalkPlan 'River', 2026-11-10 07:00: trees 9, rounds 1, seed 1>
    >>> len(plan.to_frame()), plan.entry.allowed
    (27, True)
    """
    if not isinstance(season, Season):
        season = read_season(season, needs_data=False)
    row = _block_row(season, block)
    sprays = season.tables["sprays"].rows
    entry = block_entry(sprays, block, moment=moment, confirmed_by=confirmed_by)
    refuse_entry(entry, block)
    clearance = block_clearance(sprays, block, market=None, as_of=moment)
    tree_map = block_trees(season, row)
    eligible = tree_map.may_be_drawn(without_edge_rows=without_edge_rows)
    if score is None and _has_data(season):
        score = score_season(season, results=results)
    asked, notes = asked_rows(season, block)
    notes += _walks_under_way(season, results, block, moment)
    bases = [
        (
            one,
            walk_basis(score, tree_map, share=one.share, day=moment.date(), policy_row=one.number),
        )
        for one in asked
    ]
    by_policy = design_for_rows(
        bases, len(eligible), (trees, fruit, oven), half_width_pct, clear, costs, notes
    )
    design, basis = by_policy[0].design, by_policy[0].basis
    seed = secrets.randbits(32) if seed is None else seed
    drawn, drawn_by = draw_trees(tree_map, eligible, design.trees, seed)
    if rounds is None:
        rounds = 2 if design.trees >= TREES_FOR_TWO_ROUNDS else 1
    dealt, in_one_go = make_rounds(tree_map, drawn, design, rounds=rounds, seed=seed)
    return WalkPlan(
        block=block,
        cultivar=row["cultivar"],
        moment=moment,
        seed=seed,
        drawn_by=drawn_by,
        eligible=len(eligible),
        design=design,
        by_policy=by_policy,
        basis=basis.sentences,
        known=basis.known,
        rounds=dealt,
        in_one_go_m=in_one_go,
        compared=compared_designs(basis, design, len(eligible), costs),
        trees=tree_map,
        entry=entry,
        not_for_eating=None if clearance.cleared else clearance.sentence(),
        left_out=trees_left_out(tree_map.trees, len(eligible), without_edge_rows),
        notes=tree_map.notes + notes,
    )


def _block_row(season: Season, block: str) -> Row:
    for row in season.tables["blocks"].rows:
        if row["block"] == block:
            return row
    known = ", ".join(season.blocks)
    raise ValueError(f"block {block!r}: expected a block of blocks.csv ({known})")


def _has_data(season: Season) -> bool:
    return bool(season.photos) or any(season.tables[name].rows for name in ("oven", "meter"))


def _walks_under_way(
    season: Season, results: str | PathLike[str] | None, block: str, moment: datetime.datetime
) -> list[str]:
    """Walks of the block of the last days that were looked at: a new draw would undo their rule."""
    folder = season.folder / "results" if results is None else Path(results)
    return [
        f"a walk of this block was planned for {plan.moment:%Y-%m-%d} and looked at: go on with "
        f"that one (its --out folder). Another draw within {WALK_DAYS} days, because the result "
        "was not clear, would say ready too often"
        for plan in recorded_plans(folder)[0]
        if plan.block == block
        and plan.looks
        and 0 <= (moment.date() - plan.moment.date()).days < WALK_DAYS
    ]
