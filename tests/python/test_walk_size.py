"""How large a walk is where several rows of policy, or few trees, are asked for."""

from __future__ import annotations

import pytest
from season_folders import OVEN_HEADER
from test_forecasting import SPRAYS as TWO_BLOCKS
from test_forecasting import oven
from walk_seasons import MOMENT, flat, walk, walk_season

from maturity import _core
from maturity.walk import plan_walk

HEAD = "block,market,rule,minimum_dm_pct,required_share,confidence\n"
SHARE, MEAN = "River,Near,share,13,0.9,0.9\n", "River,Far,mean,14.2,,0.9\n"


def planned(folder, policy, **options):
    """A plan after two visits; the values lie between the two minima."""
    files = {"policy": HEAD + policy, "sprays": TWO_BLOCKS.replace("11-20", "11-10")}
    visits = OVEN_HEADER + oven((13.4, 14.0)).replace("2026-11-10", "2026-11-09")
    season = walk_season(folder / "season", oven=visits, **files)
    return plan_walk(season, "River", moment=MOMENT, seed=1, results=folder / "r", **options)


@pytest.mark.parametrize("rows", [(SHARE, MEAN), (MEAN, SHARE)])
def test_every_row_has_the_chance_it_has_alone(tmp_path, rows):
    size = {"trees": 10, "fruit": 2, "oven": 1}
    both = planned(tmp_path / "both", "".join(rows), **size)
    chances = {one.row.market: one.design.p_clear for one in both.by_policy}
    alone = {
        "Near": planned(tmp_path / "near", SHARE, **size).design.p_clear,
        "Far": planned(tmp_path / "far", MEAN, **size).design.p_clear,
    }
    assert chances == pytest.approx(alone)
    assert both.design.p_clear == pytest.approx(min(alone.values()))
    assert abs(alone["Near"] - alone["Far"]) > 0.05


def test_planned_walk_serves_the_most_demanding_row(tmp_path):
    both = planned(tmp_path / "both", SHARE + MEAN, half_width_pct=0.6)
    alone = [
        planned(tmp_path / name, row, half_width_pct=0.6).design
        for name, row in (("near", SHARE), ("far", MEAN))
    ]
    assert both.design.trees == max(one.trees for one in alone)
    assert alone[0].trees != alone[1].trees
    assert all(1.96 * one.design.standard_error <= 0.6 for one in both.by_policy)
    said = " ".join(both.policy_sentences())
    assert "Under rule share 0.9, market Near" in said and "Under rule mean, market Far" in said


@pytest.mark.parametrize("trees", [2, 3, 4])
def test_walks_too_small_for_ready_say_so(tmp_path, trees):
    plan = planned(tmp_path, MEAN.replace("14.2", "10"), trees=trees)
    assert any("can never say ready" in note for note in plan.notes)
    # Far above its minimum, only ready is likely.
    assert plan.design.p_clear < 0.01
    assert not _core.may_say_ready(trees, 1) and _core.may_say_ready(5, 1)


@pytest.mark.parametrize(
    ("option", "value"), [("--error", "-1"), ("--clear", "1.5"), ("--clear", "0.8")]
)
def test_messages_name_the_option(tmp_path, option, value):
    season = walk_season(tmp_path / "season")
    done = walk(tmp_path, season, "--block", "River", "--date", "2026-11-10", option, value)
    assert done.returncode == 2 and f"{option}: {float(value):g}; expected" in flat(done.stderr)
