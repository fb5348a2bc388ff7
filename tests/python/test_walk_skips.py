"""Trees skipped after a look lower no bar."""

from __future__ import annotations

import datetime
from statistics import NormalDist

import numpy
import pytest
from test_walk_progress import a_plan, look, looks_of, state_of  # noqa: F401
from walk_seasons import oven_of

from maturity import _core
from maturity.walk_sample import look_fraction
from maturity.stored_walk import StoredPlan

ROUNDS, TREES = 4, 6


def false_ready(fraction_of, blocks=40_000):
    """Share of blocks exactly at the limit that are called ready.

    At each look all but one tree of the next round are skipped, and in the last as well.
    """
    names = [[f"{one}-{tree}" for tree in range(TREES)] for one in range(ROUNDS)]
    plan = StoredPlan("River", datetime.datetime(2026, 11, 10, 7), names, [], [], {})
    seen, looks, needed, counts = 0, [], [], []
    for number, members in enumerate(names):
        if number > 0:
            plan.skipped += members[1:]
            plan.skipped_late += members[1:]
        # What is left is skipped too, for the smallest plan there can be.
        late = [tree for rest in names[number + 1 :] for tree in rest]
        spare = StoredPlan(
            plan.block, plan.moment, names, [], plan.skipped + late, {}, plan.skipped_late + late
        )
        seen += TREES if number == 0 else 1
        fraction = fraction_of(spare, seen)
        earlier = [one for one in looks if one < fraction - 1e-9]
        judged = _core.judge_look(0.5, fraction=fraction, earlier=earlier, confidence=0.9)
        looks = [*earlier, fraction]
        counts.append(seen)
        needed.append(NormalDist().inv_cdf(min(judged.needed, 1 - 1e-12)))
    values = numpy.random.default_rng(7).normal(size=(blocks, seen)).cumsum(axis=1)
    at_looks = values[:, [one - 1 for one in counts]] / numpy.sqrt(counts)
    return float((at_looks >= needed).any(axis=1).mean())


def test_skipping_after_looks_keeps_the_rate_of_false_ready():
    assert false_ready(lambda plan, seen: look_fraction(plan, dict.fromkeys(range(seen), 1))) <= 0.1
    # Wrong on purpose: skipped trees out of the plan.
    shrunk = false_ready(lambda plan, seen: seen / (len(plan.trees) - len(plan.skipped)))
    assert shrunk > 0.11


@pytest.fixture(name="walked")
def walked_plan(tmp_path):
    return a_plan.__wrapped__(tmp_path)


def test_same_trees_are_no_new_look_after_skipping_the_rest(walked):
    rounds = walked[2]
    look(walked, oven_of(rounds[0], 15.25))
    first = state_of(walked)["answers"][0]
    skips = [part for tree in rounds[1] for part in ("--skip", tree)]
    done = look(walked, oven_of(rounds[0], 15.25), *skips)
    answer = state_of(walked)["answers"][0]
    assert looks_of(walked) == [0.5]
    assert answer["look"]["needed"] == pytest.approx(first["look"]["needed"])
    # No tree is left, so that "go on" would lead nowhere.
    assert answer["state"] == "undecided" and "Go on" not in done.stdout
    assert "still count as planned" in " ".join(done.stdout.split())


def test_tree_skipped_later_counts_as_planned(walked):
    rounds = walked[2]
    look(walked, oven_of(rounds[0], 15.25))
    look(walked, oven_of(rounds[0] + rounds[1][1:], 15.4), "--skip", rounds[1][0])
    assert looks_of(walked) == [0.5, pytest.approx(13 / 14)]
