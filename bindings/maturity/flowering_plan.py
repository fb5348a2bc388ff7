"""Which flowering of a block wants how many more fruit, in words and fields."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from maturity import _core
from maturity.planning import addition_words, chance_words, counted, more_samples, plan_sentence


def visit_plan(
    estimate: _core.BlockEstimate,
    joined: _core.JoinedEstimate | None,
    trees_left: Mapping[str, int] | None = None,
) -> _core.SamplePlan | _core.FloweringPlan | None:
    """What more to sample of a visit that does not settle the rule; None: fruit are no remedy.

    No more fruit name a flowering or count a crop: then what the flowerings lack is said instead.
    """
    if joined is None:
        return more_samples(estimate)
    plan = more_samples(joined, trees_left=trees_left)
    lacking = plan.block.outcome == "too_few_to_plan"
    if joined.crop_share_source is None or (lacking and not plan.block.oven):
        return None
    return plan if lacking or "flowering_blocked" not in joined.block.reasons else None


def plan_fields(plan: _core.SamplePlan | _core.FloweringPlan | None) -> dict[str, Any] | None:
    """For JSON: the additions to the block, and below them those to each flowering."""
    if not isinstance(plan, _core.FloweringPlan):
        return None if plan is None else plan.to_dict()
    fields = plan.to_dict()
    each = [{"flowering": one.pop("name"), **one} for one in fields.pop("flowerings")]
    return {**fields.pop("block"), **fields, "by_flowering": each}


def plan_sentences(plan: _core.SamplePlan | _core.FloweringPlan | None) -> list[str]:
    """The plan in words; of flowerings also what makes the block uncertain."""
    if not isinstance(plan, _core.FloweringPlan):
        return [] if plan is None else [plan_sentence(plan)]
    if plan.block.outcome == "too_few_to_plan":
        return [_lacking(plan)]
    if plan.block.outcome != "plan":
        return [plan.block.outcome_sentence, *_parts(plan)]
    if plan.drawn_apart or not plan.block.trees:
        what = _listed([_apart(one) for one in plan.flowerings if one.photos or one.oven])
    else:
        what = (
            f"{addition_words(plan.block, 'drawn at random over the whole block')}; expect "
            + _listed(
                f"{counted(one.trees, 'tree')} of flowering {one.name}" for one in plan.flowerings
            )
        )
    return [f"Sample {what}{chance_words(plan.block)}.", *_parts(plan)]


def _lacking(plan: _core.FloweringPlan) -> str:
    wanted = []
    for one in plan.flowerings:
        if one.oven:
            trees = f", of {counted(one.trees, 'more tree')} at least" if one.trees else ""
            wanted.append(f"{one.oven} more fruit of flowering {one.name}{trees}")
    said = f"First oven-dry {_listed(wanted)}; then more can be planned."
    return said if plan.drawn_apart else f"{said} {_COUNT_FIRST}"


#: What is uncertain of a block beside its flowerings.
_SHARES = "the shares of the crop"
#: Why not simply more fruit of one flowering.
_COUNT_FIRST = (
    "Count or guess the crop of every tree in trees.csv too: trees added to one flowering make its "
    "share of the crop look larger where that comes from a draw."
)


def _apart(one: _core.FloweringAddition) -> str:
    others = one.photos - _core.photos_per_new_tree * one.trees
    if one.trees:
        words = addition_words(one, f"of flowering {one.name}, drawn at random among its own")
        return words + (f", {others} of the fruit from its trees already sampled" if others else "")
    if others:
        some = "" if others == one.oven else f"{others} of them "
        fruit = f"new fruit of the trees of flowering {one.name} already sampled"
        return f"{counted(one.oven, 'more oven reading')}, {some}on {fruit}"
    return addition_words(one, "", f"fruit of flowering {one.name} already photographed")


def _parts(plan: _core.FloweringPlan) -> list[str]:
    """What makes how much of the uncertainty, the most first."""
    parts = [(one.part, f"flowering {one.name}") for one in plan.flowerings]
    parts.append((plan.crop_share_part, _SHARES))
    known = [(round(100 * part), name) for part, name in parts if part is not None]
    known = sorted((one for one in known if one[0]), key=lambda one: -one[0])
    if not known:
        return []
    first = known[0][1]
    said = [f"{first} makes {known[0][0]} in 100"]
    said += [f"{name} {part}" for part, name in known[1:]]
    shares = "Count the crop more exactly: no fruit tell it."
    if plan.drawn_apart:
        then = [shares] if first == _SHARES else []
    elif first == _SHARES:
        then = ["Count or guess the crop of every tree in trees.csv: a draw tells it badly."]
    else:
        then = [
            f"With the crop of every tree counted in trees.csv, trees of {first} alone would do."
        ]
    return [f"Of what is not known of the block, {_listed(said)}.", *then]


def _listed(texts: Iterable[str]) -> str:
    """A list in words."""
    *first, last = texts
    return f"{', '.join(first)} and {last}" if first else last
