"""Which readings belong to a walk, and which of them a look at it counts."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field, replace

from maturity.joining import SampledFruit
from maturity.stored_walk import StoredPlan

#: Readings of so many days from the planned day on belong to the walk.
WALK_DAYS = 7


@dataclass
class LookSample:
    """What a look at a walk rests on.

    Attributes
    ----------
    fruit : list of SampledFruit
        Those of whole rounds that count.
    fraction : float
        Share of the planned oven readings that they hold, 0..1.
    done, drying, to_do : list of str
        Trees with all their oven results in, with some still in the dryer, and the rest, in walking
        order; skipped trees in none.
    rounds_done : int
        Rounds of which every tree is done.
    """

    fruit: list[SampledFruit]
    fraction: float
    done: list[str]
    drying: list[str]
    to_do: list[str]
    rounds_done: int
    notes: list[str] = field(default_factory=list)


def walk_days(plan: StoredPlan) -> list[datetime.date]:
    """Days whose readings belong to the walk."""
    first = plan.moment.date()
    return [first + datetime.timedelta(days=one) for one in range(WALK_DAYS)]


def fruit_of_walk(plan: StoredPlan, fruit: list[SampledFruit]) -> list[SampledFruit]:
    """Fruit of drawn trees on the days of the walk.

    A tree is sampled once in a walk: oven fruit of a later day are of another visit.
    """
    first, last = walk_days(plan)[0], walk_days(plan)[-1]
    trees = set(plan.trees)
    here = [
        one
        for one in fruit
        if one.key[0] == plan.block and one.key[1] in trees and first <= one.key[2] <= last
    ]
    dried: dict[str, list[datetime.date]] = {}
    for one in here:
        if one.oven is not None:
            dried.setdefault(one.key[1], []).append(one.key[2])
    again = {(tree, day) for tree, days in dried.items() for day in days if day > min(days)}
    return [one for one in here if (one.key[1], one.key[2]) not in again]


def oven_results(fruit: list[SampledFruit]) -> dict[str, list[int]]:
    """By tree, the fruit whose oven result is in."""
    found: dict[str, list[int]] = {}
    for one in fruit:
        if has_oven(one):
            found.setdefault(one.key[1], []).append(one.key[3])
    return found


def has_oven(fruit: SampledFruit) -> bool:
    return fruit.oven is not None and fruit.oven.dm_pct is not None


def due_trees(plan: StoredPlan) -> list[list[str]]:
    """Trees of each round without those skipped."""
    return [[tree for tree in members if tree not in plan.skipped] for members in plan.rounds]


def look_sample(plan: StoredPlan, fruit: list[SampledFruit]) -> LookSample:
    """What a look rests on; `fruit` as `fruit_of_walk` gives it."""
    results = oven_results(fruit)
    drying = {one.key[1] for one in fruit if one.oven and one.oven.still_drying} & {
        one.key[1] for one in fruit if one.oven and one.oven.dm_pct is None
    }
    done = set(results) - drying
    due = due_trees(plan)
    walked = [tree for members in due for tree in members]
    rounds_done = 0
    while rounds_done < len(due) and done.issuperset(due[rounds_done]):
        rounds_done += 1
    seen = {tree for members in due[:rounds_done] for tree in members}
    sample = LookSample(
        fruit=[],
        fraction=0.0,
        done=[tree for tree in walked if tree in done],
        drying=[tree for tree in walked if tree in drying],
        to_do=[tree for tree in walked if tree not in done and tree not in drying],
        rounds_done=rounds_done,
    )
    _name_short_trees(plan, results, seen, sample.notes)
    sample.fruit = _without_late_fruit(plan, fruit, seen, sample.notes)
    sample.fraction = look_fraction(
        plan, {tree: len(numbers) for tree, numbers in oven_results(sample.fruit).items()}
    )
    return sample


def look_fraction(plan: StoredPlan, results: dict[str, int]) -> float:
    """Share of the planned oven readings that were looked at; `results` by tree.

    Trees skipped once results could be seen still count as planned: leaving trees out must not
    lower the bar, nor turn the same trees into another look. A reading that is missing counts as
    planned too; more than planned of one tree are no more of the walk.
    """
    trees = len(plan.trees) - len(plan.skipped) + len(plan.skipped_late)
    seen = sum(min(number, plan.oven_per_tree) for number in results.values())
    return seen / (trees * plan.oven_per_tree)


def _name_short_trees(
    plan: StoredPlan, results: dict[str, list[int]], seen: set[str], notes: list[str]
) -> None:
    short = [tree for tree in plan.trees if tree in seen]
    short = [tree for tree in short if len(results[tree]) < plan.oven_per_tree]
    if short:
        notes.append(
            f"tree {', '.join(short)}: fewer than the {plan.oven_per_tree} oven results planned; "
            "what is missing counts as not looked at yet"
        )


def _without_late_fruit(
    plan: StoredPlan, fruit: list[SampledFruit], seen: set[str], notes: list[str]
) -> list[SampledFruit]:
    """Fruit of the trees seen, without those read because a look did not settle it.

    A tree that a look has counted may still get the oven readings it was planned to have.
    """
    counted: list[SampledFruit] = []
    late = 0
    for tree in [tree for tree in plan.trees if tree in seen]:
        here = [one for one in fruit if one.key[1] == tree]
        known = plan.looked_fruit.get(tree)
        if known is None:
            counted += here
            continue
        kept = [one for one in here if one.key[3] in known]
        room = plan.oven_per_tree - sum(has_oven(one) for one in kept)
        for one in here:
            if one.key[3] in known:
                continue
            if has_oven(one) and room > 0:
                room -= 1
                kept.append(one)
            elif has_oven(one) or one.meters:
                late += 1
                # Its outline was there to be seen; only the reading is left out.
                kept.append(replace(one, oven=None, meters=[]))
            else:
                kept.append(one)
        counted += sorted(kept, key=lambda one: one.key)
    if late:
        notes.append(
            f"{late} fruit of trees already looked at were read after that look, beyond the plan: "
            "not counted, since readings added because the result was not clear would say ready "
            "too often"
        )
    return sorted(counted, key=lambda one: one.key)


def take_up_look(plan: StoredPlan, sample: LookSample) -> None:
    """Enter a look and the fruit that it counted into the plan."""
    # The same look with corrected readings is no new look.
    plan.looks = [*earlier_looks(plan, sample.fraction), sample.fraction]
    for one in sample.fruit:
        numbers = plan.looked_fruit.setdefault(one.key[1], [])
        if (has_oven(one) or one.meters) and one.key[3] not in numbers:
            numbers.append(one.key[3])


def earlier_looks(plan: StoredPlan, fraction: float) -> list[float]:
    """Looks made before one at this fraction."""
    return [one for one in plan.looks if one < fraction - 1e-9]
