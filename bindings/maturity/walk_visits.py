"""Which readings make one visit, and what the rule of a walk says about it.

A walk may take several days and is one visit all the same. Its looks share one error: a score in
the middle of it must not say "ready" more easily than the walk does.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from dataclasses import dataclass

from maturity.block_visit import BlockVisit
from maturity.joining import FruitKey, SampledFruit
from maturity.stored_walk import StoredPlan
from maturity.walk_answer import answer_of
from maturity.walk_sample import earlier_looks, fruit_of_walk, has_oven, look_sample, walk_days

#: Days after its first within which dates of a block without a tree in common are one visit, where
#: no plan says so: nobody visits a block anew after two days, and dry matter gains little in them
#: (0.2 % at 0.8 % a week). A choice of this program.
JOINED_DAYS = 2


@dataclass
class VisitGroup:
    """Fruit of one visit of a block.

    Attributes
    ----------
    day : date
        Day of the plan, else the first day.
    plan : StoredPlan or None
        The walk that most of its trees were drawn for.
    days : list of date
        All days whose readings it holds.
    """

    day: datetime.date
    fruit: list[SampledFruit]
    plan: StoredPlan | None = None

    @property
    def days(self) -> list[datetime.date]:
        return sorted({one.key[2] for one in self.fruit})

    @property
    def trees(self) -> set[str]:
        return {one.key[1] for one in self.fruit}

    def note(self) -> str | None:
        """Which dates were joined."""
        if len(self.days) < 2:
            return None
        why = "rounds of one walk" if self.plan is not None else "with no tree in common"
        return (
            f"{self.fruit[0].key[0]}: {', '.join(map(str, self.days))} are taken as one visit, "
            f"{self.day} ({why})"
        )


def visit_groups(fruit: list[SampledFruit], plans: list[StoredPlan]) -> list[VisitGroup]:
    """The visits of one block by day; `plans` are the walks planned for it, by date."""
    day_of: dict[FruitKey, datetime.date] = {}
    for plan in plans:
        # A later plan takes back what an earlier one claimed.
        day_of.update({one.key: plan.moment.date() for one in fruit_of_walk(plan, fruit)})
    by_day: dict[datetime.date, list[SampledFruit]] = {}
    for one in fruit:
        by_day.setdefault(day_of.get(one.key, one.key[2]), []).append(one)
    groups: list[VisitGroup] = []
    for day, here in sorted(by_day.items()):
        group = VisitGroup(day, here, _plan_of(day, here, plans))
        last = groups[-1] if groups else None
        if (
            last is not None
            and last.plan is None
            and group.plan is None
            and (day - last.day).days <= JOINED_DAYS
            and not last.trees & group.trees
        ):
            last.fruit = sorted(last.fruit + here, key=lambda one: one.key)
        else:
            groups.append(group)
    return groups


def _plan_of(
    day: datetime.date, fruit: list[SampledFruit], plans: list[StoredPlan]
) -> StoredPlan | None:
    """The plan of a day where it was followed: most trees with oven fruit were drawn for it.

    Of several, the one that most of them were drawn for.
    """
    dried = {one.key[1] for one in fruit if has_oven(one)}
    here = [plan for plan in plans if plan.moment.date() == day]
    best = max(here, key=lambda plan: len(dried & set(plan.trees)), default=None)
    if best is None or 2 * len(dried & set(best.trees)) <= len(dried):
        return None
    return best


def hold_to_walk(
    visit: BlockVisit,
    group: VisitGroup,
    score: Callable[[list[SampledFruit]], BlockVisit],
) -> None:
    """Take back a decision that the walk of this visit does not bear out.

    `score` scores other fruit of the same visit under the same row of policy.
    """
    plan = group.plan
    if plan is None or visit.estimate is None:
        return
    sample = look_sample(plan, fruit_of_walk(plan, group.fruit))
    left = len(sample.drying) + len(sample.to_do)
    walk = f"The walk planned for {walk_days(plan)[0]} ({len(sample.done)} of "
    walk += f"{len(sample.done) + left} trees)"
    if sample.rounds_done == 0:
        state = "go_on"
        said = f"{walk} has no whole round yet: part of a round is part of the block. Go on."
    else:
        same = [one.key for one in sample.fruit] == [one.key for one in group.fruit] and all(
            one.oven is other.oven for one, other in zip(sample.fruit, group.fruit)
        )
        answer = answer_of(
            visit if same else score(sample.fruit),
            sample.fraction,
            earlier_looks(plan, sample.fraction),
            trees_left=left > 0,
        )
        state = answer.state
        said = f"{walk}: {' '.join(answer.sentences())}"
    if state in ("ready", "not_cleared", "not_yet"):
        return
    if state == "go_on" and not visit.latest:
        said = f"{walk} was not finished, and what is there does not settle it"
        said += " as its looks are judged."
    if visit.estimate.decision == "ready" or state in ("go_on", "undecided"):
        visit.walk_hold = said
        if visit.decision != "not_cleared":
            visit.decision = "sample_more"
        visit.plan = None
