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
from maturity.visit_scoring import DEFAULT_DESCRIPTORS, score_visit
from maturity.walk.answer import WalkAnswer, answer_of
from maturity.walk.basis import places_of, tree_values
from maturity.walk.entry import Entry, block_entry
from maturity.walk.stored_plan import StoredPlan
from maturity.walk.tree_map import block_trees

#: Readings of so many days from the planned day on belong to the walk.
WALK_DAYS = 7


@dataclass
class WalkProgress:
    """Where a walk stands.

    Attributes
    ----------
    done, to_do : list of str
        Trees with and without an oven result, in walking order; skipped trees in neither.
    rounds_done : int
        Rounds of which every tree is done: only these are looked at.
    answers : list of WalkAnswer
        One for each row of policy; empty before the first round is done.
    result : WalkResult or None
        Variance parts and errors that the walk itself gave.
    notes : list of str
        Trees that do not belong to the plan, rows that could not be used.
    entry : Entry or None
        Re-entry periods, asked where the walk goes on.
    """

    plan: StoredPlan
    done: list[str]
    to_do: list[str]
    rounds_done: int
    answers: list[WalkAnswer] = field(default_factory=list)
    result: _core.WalkResult | None = None
    notes: list[str] = field(default_factory=list)
    entry: Entry | None = None

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
        return not self.to_do

    def next_trees(self) -> list[str]:
        """Trees of the round that comes next, or is under way, still to do."""
        for members in self.plan.rounds[self.rounds_done :]:
            left = [tree for tree in members if tree in self.to_do]
            if left:
                return left
        return []

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {
            "block": self.plan.block,
            "moment": self.plan.moment.isoformat(timespec="minutes"),
            "done": self.done,
            "to_do": self.to_do,
            "skipped": self.plan.skipped,
            "rounds_done": self.rounds_done,
            "next_trees": self.next_trees(),
            "answers": [one.to_dict() for one in self.answers],
            "result": None if self.result is None else self.result.to_dict(),
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

    Raises
    ------
    ValueError
        A tree to skip that is not of the plan or has results.
    """
    found = season_fruit(season, results=results, threads=threads, progress=progress)
    sample, notes = _of_this_walk(plan, found.fruit)
    with_oven = {one.key[1] for one in sample if one.oven is not None and one.oven.dm_pct}
    _add_skipped(plan, skip, with_oven)
    due = _due(plan)
    rounds_done = _rounds_done(due, with_oven)
    walked = [tree for members in due for tree in members]
    state = WalkProgress(
        plan,
        [tree for tree in walked if tree in with_oven],
        [tree for tree in walked if tree not in with_oven],
        rounds_done,
        notes=notes,
    )
    if plan.skipped:
        notes.append(
            f"{len(plan.skipped)} of {len(plan.trees)} drawn trees were left out: the result is "
            "about trees with fruit that can be reached"
        )
    if plan.skipped_late:
        notes.append(
            f"{len(plan.skipped_late)} of these were skipped once results could be seen: they "
            "still count as planned in what a look needs"
        )
    seen = {tree for members in due[:rounds_done] for tree in members}
    if seen:
        counted = [one for one in sample if one.key[1] in seen]
        _look(season, state, counted, look_fraction(plan, len(seen)), moment)
    if state.going_on:
        # Going on is going in again.
        state.entry = block_entry(
            season.tables["sprays"].rows, plan.block, moment=moment, confirmed_by=confirmed_by
        )
    return state


def look_fraction(plan: StoredPlan, seen: int) -> float:
    """Share of the planned trees that were looked at.

    Trees skipped once results could be seen still count as planned: leaving trees out must not
    lower the bar, nor turn the same trees into another look.
    """
    return seen / (len(plan.trees) - len(plan.skipped) + len(plan.skipped_late))


def _due(plan: StoredPlan) -> list[list[str]]:
    return [[tree for tree in members if tree not in plan.skipped] for members in plan.rounds]


def _rounds_done(due: list[list[str]], with_oven: set[str]) -> int:
    done = 0
    while done < len(due) and all(tree in with_oven for tree in due[done]):
        done += 1
    return done


def walk_days(plan: StoredPlan) -> list[datetime.date]:
    """Days whose readings belong to the walk."""
    first = plan.moment.date()
    return [first + datetime.timedelta(days=one) for one in range(WALK_DAYS)]


def _of_this_walk(
    plan: StoredPlan, fruit: list[SampledFruit]
) -> tuple[list[SampledFruit], list[str]]:
    first, last = walk_days(plan)[0], walk_days(plan)[-1]
    here = [one for one in fruit if one.key[0] == plan.block and first <= one.key[2] <= last]
    planned = set(plan.trees)
    of_plan = [one for one in fruit if one.key[0] == plan.block and one.key[1] in planned]
    strange = sorted({one.key[1] for one in here if one.key[1] not in planned})
    notes = []
    if strange:
        notes.append(
            f"tree {', '.join(strange)}: not drawn for this walk, left out of its result (a tree "
            "chosen by a person is no random sample)"
        )
    # A week before may be the visit before; nearer, or later, is likely to be a slip of the date.
    margin = datetime.timedelta(days=WALK_DAYS)
    outside = [one for one in of_plan if one.key[2] > last or first - margin < one.key[2] < first]
    for day in sorted({one.key[2] for one in outside}):
        count = sum(one.key[2] == day for one in outside)
        notes.append(
            f"{count} fruit of drawn trees are dated {day}: not of this walk, whose readings are "
            f"those of {first} to {last}"
        )
    counted = [one for one in here if one.key[1] in planned]
    days = sorted({one.key[2] for one in counted})
    if len(days) > 1:
        notes.append(
            f"readings of this walk are dated {', '.join(map(str, days))}: `maturity score` and "
            f"`maturity forecast` take each date for a visit of its own; enter {first}, the day of "
            "the plan, for all of them"
        )
    return counted, notes


def _add_skipped(plan: StoredPlan, skip: Sequence[str], with_oven: set[str]) -> None:
    late = bool(plan.looks) or bool(with_oven and _rounds_done(_due(plan), with_oven))
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
    season: Season,
    state: WalkProgress,
    sample: list[SampledFruit],
    fraction: float,
    moment: datetime.datetime,
) -> None:
    """Estimate from whole rounds under each row of policy, and judge."""
    plan = state.plan
    block = next(row for row in season.tables["blocks"].rows if row["block"] == plan.block)
    policies = [row for row in season.tables["policy"].rows if row["block"] == plan.block]
    if not policies:
        state.notes.append("policy.csv has no row for this block: the minimum is yours to set")
    # The same look with corrected readings is no new look.
    earlier = [one for one in plan.looks if one < fraction - 1e-9]
    for policy in policies:
        visit = score_visit(
            block,
            plan.moment.date(),
            policy,
            sample,
            sprays=season.tables["sprays"].rows,
            latest=True,
            calibration=None,
            descriptors=DEFAULT_DESCRIPTORS,
            as_of=moment,
        )
        state.answers.append(answer_of(visit, fraction, earlier, trees_left=bool(state.to_do)))
        values = tree_values(visit)
        if state.result is None and values:
            trees = block_trees(season, block)
            state.result = _core.walk_result(list(values.values()), places_of(list(values), trees))
    if policies:
        plan.looks = [*earlier, fraction]
