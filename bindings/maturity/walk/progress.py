"""A walk while and after it is walked: enough, or go on; what it gave; what the next should be."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from os import PathLike
from typing import Any

from maturity import _core
from maturity.block_visit import BlockVisit, in_100
from maturity.joining import SampledFruit
from maturity.measuring import Progress
from maturity.season.season import Season
from maturity.season_fruit import season_fruit
from maturity.visit_scoring import DEFAULT_DESCRIPTORS, score_visit
from maturity.walk.basis import places_of, tree_values
from maturity.walk.stored_plan import StoredPlan
from maturity.walk.tree_map import block_trees

#: Readings of so many days from the planned day on belong to the walk.
WALK_DAYS = 7


@dataclass
class WalkAnswer:
    """What a look says under one row of policy.

    Attributes
    ----------
    look : Look or None
        None: readiness cannot be told.
    chance_at_end : float or None
        Chance that the rest of the plan settles it, 0..1, where it says go on.
    """

    visit: BlockVisit
    look: _core.Look | None
    chance_at_end: float | None = None

    @property
    def state(self) -> str:
        """ready, not_yet, go_on, undecided, blocked or not_cleared."""
        if self.look is None:
            return "blocked"
        if self.look.verdict != "ready":
            return self.look.verdict
        if self.visit.estimate is None or self.visit.estimate.decision != "ready":
            return "blocked"
        return "ready" if self.visit.clearance.cleared else "not_cleared"

    def sentences(self) -> list[str]:
        """The answer in words, with what it rests on."""
        if self.look is None:
            return ["The chance that the rule is met cannot be told.", *self._reasons()]
        said = [f"{self.visit.readiness_sentence().capitalize()}; {self._needed()}"]
        if self.state == "blocked":
            return said + ["Not ready all the same:", *self._reasons()]
        said.append(self.look.sentence)
        if self.state == "not_cleared":
            said.append(f"Not to be picked: {self.visit.clearance.sentence()}")
        if self.chance_at_end is not None:
            said.append(
                f"About {in_100(100 * self.chance_at_end)} in 100 chance that the rest of the plan "
                "settles it."
            )
        return said

    def _needed(self) -> str:
        if self.look is None:
            return ""
        needed = 100 * self.look.needed
        text = "more than 99" if needed > 99 else f"{needed:.0f}"
        return f"at this look, ready or not yet needs {text} in 100."

    def _reasons(self) -> list[str]:
        estimate = self.visit.estimate
        said = [] if estimate is None else list(estimate.reason_sentences)
        return said + ([] if self.visit.error is None else [self.visit.error])

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {
            "market": self.visit.market,
            "state": self.state,
            "readiness": None if self.visit.estimate is None else self.visit.estimate.readiness,
            "look": None if self.look is None else self.look.to_dict(),
            "chance_at_end": self.chance_at_end,
            "sentences": self.sentences(),
        }


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
    """

    plan: StoredPlan
    done: list[str]
    to_do: list[str]
    rounds_done: int
    answers: list[WalkAnswer] = field(default_factory=list)
    result: _core.WalkResult | None = None
    notes: list[str] = field(default_factory=list)

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
        }


def walk_progress(
    season: Season,
    plan: StoredPlan,
    *,
    moment: datetime.datetime,
    skip: Sequence[str] = (),
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

    Raises
    ------
    ValueError
        A tree to skip that is not of the plan or has results.
    """
    found = season_fruit(season, results=results, threads=threads, progress=progress)
    sample, notes = _of_this_walk(plan, found.fruit)
    with_oven = {one.key[1] for one in sample if one.oven is not None and one.oven.dm_pct}
    _add_skipped(plan, skip, with_oven)
    due = [[tree for tree in members if tree not in plan.skipped] for members in plan.rounds]
    rounds_done = 0
    while rounds_done < len(due) and all(tree in with_oven for tree in due[rounds_done]):
        rounds_done += 1
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
    seen = {tree for members in due[:rounds_done] for tree in members}
    if seen:
        counted = [one for one in sample if one.key[1] in seen]
        _look(season, state, counted, len(seen) / len(walked), moment)
    return state


def _of_this_walk(
    plan: StoredPlan, fruit: list[SampledFruit]
) -> tuple[list[SampledFruit], list[str]]:
    first = plan.moment.date()
    last = first + datetime.timedelta(days=WALK_DAYS - 1)
    here = [one for one in fruit if one.key[0] == plan.block and first <= one.key[2] <= last]
    planned = set(plan.trees)
    strange = sorted({one.key[1] for one in here if one.key[1] not in planned})
    notes = []
    if strange:
        notes.append(
            f"tree {', '.join(strange)}: not drawn for this walk, left out of its result (a tree "
            "chosen by a person is no random sample)"
        )
    return [one for one in here if one.key[1] in planned], notes


def _add_skipped(plan: StoredPlan, skip: Sequence[str], with_oven: set[str]) -> None:
    for tree in skip:
        if tree not in plan.trees:
            raise ValueError(f"tree {tree!r} to skip: expected a tree of this walk")
        if tree in with_oven:
            raise ValueError(f"tree {tree!r} to skip: it has oven results")
        if tree not in plan.skipped:
            plan.skipped.append(tree)
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
        state.answers.append(_answer(visit, fraction, earlier))
        values = tree_values(visit)
        if state.result is None and values:
            trees = block_trees(season, block)
            state.result = _core.walk_result(list(values.values()), places_of(list(values), trees))
    if policies:
        plan.looks = [*earlier, fraction]


def _answer(visit: BlockVisit, fraction: float, earlier: list[float]) -> WalkAnswer:
    estimate = visit.estimate
    if estimate is None or estimate.readiness is None:
        return WalkAnswer(visit, None)
    confidence = visit.confidence
    look = _core.judge_look(
        estimate.readiness / 100, fraction=fraction, earlier=earlier, confidence=confidence
    )
    answer = WalkAnswer(visit, look)
    by_mean = visit.rule == "mean"
    level = estimate.mean_dm_pct if by_mean else estimate.psi_mean
    sd = estimate.mean_dm_sd if by_mean else estimate.psi_sd
    if look.verdict == "go_on" and level is not None and sd is not None:
        last = _core.judge_look(
            0.5, fraction=1.0, earlier=[*earlier, fraction], confidence=confidence
        )
        answer.chance_at_end = _core.chance_to_settle(
            level - visit.minimum_dm_pct,
            sd=sd,
            sd_after=sd * fraction**0.5,
            confidence=last.needed,
        )
    return answer
