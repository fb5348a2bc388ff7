"""A walk while and after it is walked: enough, or go on; what it gave; what the next should be."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from os import PathLike
from typing import Any

from maturity import _core
from maturity.joining import SampledFruit
from maturity.measuring import Progress
from maturity.season.season import Season
from maturity.season_fruit import season_fruit
from maturity.stored_walk import StoredPlan
from maturity.flowerings import block_flowerings
from maturity.visit_scoring import DEFAULT_DESCRIPTORS, score_visit
from maturity.walk.basis import places_of, tree_values
from maturity.walk.crop import crop_sentence
from maturity.walk.entry import Entry, block_entry
from maturity.walk.strange_readings import strange_readings
from maturity.walk.tree_map import block_trees
from maturity.walk_answer import WalkAnswer, answer_of
from maturity.walk_sample import (
    LookSample,
    due_trees,
    earlier_looks,
    fruit_of_walk,
    look_sample,
    oven_results,
    take_up_look,
)
from maturity.views.walks import progress_frame, progress_html, progress_plot, progress_repr


@dataclass
class WalkProgress:
    """Where a walk stands.

    Attributes
    ----------
    done, drying, to_do : list of str
        Trees with all their oven results in, with fruit still in the dryer, and those still to
        walk, in walking order; skipped trees in none.
    rounds_done : int
        Rounds of which every tree is done: only these are looked at.
    answers : list of WalkAnswer
        One for each row of policy; empty before the first round is done.
    result : WalkResult or None
        Variance parts and errors that the walk itself gave.
    crop : str or None
        What the crop of the trees says about that.
    notes : list of str
        Trees that do not belong to the plan, rows that could not be used.
    entry : Entry or None
        Re-entry periods, asked where the walk goes on.
    """

    plan: StoredPlan
    done: list[str]
    to_do: list[str]
    rounds_done: int
    drying: list[str] = field(default_factory=list)
    answers: list[WalkAnswer] = field(default_factory=list)
    result: _core.WalkResult | None = None
    crop: str | None = None
    notes: list[str] = field(default_factory=list)
    entry: Entry | None = None

    to_frame = progress_frame
    plot = progress_plot
    _repr_html_ = progress_html
    __repr__ = progress_repr

    @property
    def going_on(self) -> bool:
        """True where somebody has to go in again."""
        settled = {"ready", "not_yet", "not_cleared"}
        return not self.answers or not (
            self.finished or all(one.state in settled for one in self.answers)
        )

    @property
    def finished(self) -> bool:
        """True when no tree is left."""
        return not self.to_do and not self.drying

    def next_trees(self) -> list[str]:
        """Trees still to walk of the round that comes next or is under way; none while it dries."""
        for members in self.plan.rounds[self.rounds_done :]:
            left = [tree for tree in members if tree in self.to_do]
            if left or set(members) & set(self.drying):
                return left
        return []

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {
            "block": self.plan.block,
            "moment": self.plan.moment.isoformat(timespec="minutes"),
            "done": self.done,
            "drying": self.drying,
            "to_do": self.to_do,
            "skipped": self.plan.skipped,
            "rounds_done": self.rounds_done,
            "next_trees": self.next_trees(),
            "answers": [one.to_dict() for one in self.answers],
            "result": None if self.result is None else self.result.to_dict(),
            "crop": self.crop,
            "notes": self.notes,
            "going_on": self.going_on,
            "entry": None if self.entry is None else self.entry.to_dict(),
        }


def walk_progress(
    season: Season,
    plan: StoredPlan,
    *,
    moment: datetime.datetime,
    skip: Sequence[str] = (),
    confirmed_by: str | None = None,
    results: str | PathLike[str] | None = None,
    threads: int = 0,
    progress: Progress | None = None,
) -> WalkProgress:
    """Judge a walk by the results so far; `plan` takes up the look, for the caller to save.

    Looks count: each takes part of the error allowed (see sequential_looks.h), so that looking
    often does not call a block ready more often than was asked. They are taken after whole rounds.

    Parameters
    ----------
    season : Season
    plan : StoredPlan
    moment : datetime
        For withholding and re-entry periods.
    skip : sequence of str
        Trees of the plan that had no fruit or could not be reached.
    confirmed_by : str, optional
        Who stands for going in again although a re-entry period is open or unknown.

    Returns
    -------
    WalkProgress
        `answers` is empty before the first round is done; `next_trees()` are those to walk next.

    Raises
    ------
    ValueError
        A tree to skip that is not of the plan or has results.

    Examples
    --------
    >>> import datetime, pathlib, tempfile
    >>> from maturity import read_season
    >>> from maturity.stored_walk import new_plan
    >>> from maturity.walk import plan_walk
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text(
    ...     "block,cultivar,rows,trees_per_row\\nRiver,Amberlee,6,10\\n"
    ... )
    >>> _ = (folder / "sprays.csv").write_text(
    ...     "block,finished_at,product,withholding_days,reentry_hours,market,confirmed_by,"
    ...     "confirmed_on\\nRiver,2026-11-01 08:00,none,,,,A. Person,2026-11-09\\n"
    ... )
    >>> morning = datetime.datetime(2026, 11, 10, 7)
    >>> plan = plan_walk(folder, "River", moment=morning, trees=5, seed=1)
    >>> _ = (folder / "oven.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct\\n"
    ...     + "".join(f"River,{tree},2026-11-10,1,15.2\\n" for tree in plan.tree_names[:3])
    ... )
    >>> walk_progress(read_season(folder), new_plan(plan.to_dict()), moment=morning)
    <WalkProgress 'River': 3 of 5 trees done; no round done>
    """
    found = season_fruit(season, results=results, threads=threads, progress=progress)
    block = found.of_block(plan.block)
    here = fruit_of_walk(plan, block)
    notes = strange_readings(plan, block, here)
    _add_skipped(plan, skip, here)
    sample = look_sample(plan, here)
    state = WalkProgress(
        plan,
        sample.done,
        sample.to_do,
        sample.rounds_done,
        drying=sample.drying,
        notes=notes + sample.notes,
    )
    if plan.skipped:
        state.notes.append(
            f"{len(plan.skipped)} of {len(plan.trees)} drawn trees were left out: the result is "
            "about trees with fruit that can be reached"
        )
    if plan.skipped_late:
        state.notes.append(
            f"{len(plan.skipped_late)} of these were skipped once results could be seen: they "
            "still count as planned in what a look needs"
        )
    if sample.rounds_done:
        _look(season, state, sample, moment)
    if state.going_on and state.next_trees():
        # Going on is going in again.
        state.entry = block_entry(
            season.tables["sprays"].rows, plan.block, moment=moment, confirmed_by=confirmed_by
        )
    return state


def _add_skipped(plan: StoredPlan, skip: Sequence[str], fruit: list[SampledFruit]) -> None:
    with_oven = set(oven_results(fruit))
    late = bool(plan.looks) or any(with_oven.issuperset(members) for members in due_trees(plan))
    for tree in skip:
        if tree not in plan.trees:
            raise ValueError(f"tree {tree!r} to skip: expected a tree of this walk")
        if tree in with_oven:
            raise ValueError(f"tree {tree!r} to skip: it has oven results")
        if tree not in plan.skipped:
            plan.skipped.append(tree)
            if late:
                plan.skipped_late.append(tree)
    if set(plan.skipped) == set(plan.trees):
        raise ValueError("every tree of the walk is skipped; expected at least one with results")


def _look(
    season: Season, state: WalkProgress, sample: LookSample, moment: datetime.datetime
) -> None:
    """Estimate from whole rounds under each row of policy, and judge."""
    plan = state.plan
    block = next(row for row in season.tables["blocks"].rows if row["block"] == plan.block)
    policies = [row for row in season.tables["policy"].rows if row["block"] == plan.block]
    if not policies:
        state.notes.append("policy.csv has no row for this block: the minimum is yours to set")
    earlier = earlier_looks(plan, sample.fraction)
    for policy in policies:
        visit = score_visit(
            block,
            plan.moment.date(),
            policy,
            sample.fruit,
            sprays=season.tables["sprays"].rows,
            latest=True,
            calibration=None,
            descriptors=DEFAULT_DESCRIPTORS,
            as_of=moment,
            flowerings=block_flowerings(season, block),
        )
        left = bool(state.to_do or state.drying)
        state.answers.append(answer_of(visit, sample.fraction, earlier, trees_left=left))
        values = tree_values(visit)
        if state.result is None and values:
            trees = block_trees(season, block)
            state.result = _core.walk_result(list(values.values()), places_of(list(values), trees))
            state.crop = crop_sentence(season, plan.block, values)
    if policies:
        take_up_look(plan, sample)
