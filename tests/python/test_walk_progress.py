"""A walk while and after it is walked: enough or go on, what it gave, what comes next."""

from __future__ import annotations

import json

import pytest
from season_folders import OVEN_HEADER, oven_row
from test_commands import run
from walk_seasons import MOMENT, SPRAYS, flat, oven_of, walk, walk_season

from maturity.season import read_season
from maturity.walk import walk_progress
from maturity.stored_walk import read_plan


@pytest.fixture(name="walked")
def a_plan(tmp_path):
    """A season with a plan of 14 trees in two rounds; returns (season, folder, rounds)."""
    season = walk_season(tmp_path / "season")
    done = walk(
        tmp_path,
        season,
        "--block",
        "River",
        "--date",
        "2026-11-10",
        "--trees",
        "14",
        "--fruit",
        "2",
        "--rounds",
        "2",
        "--seed",
        "5",
        "--out",
        tmp_path / "out",
    )
    assert done.returncode == 0, done.stdout + done.stderr
    plan = json.loads((tmp_path / "out" / "walk.json").read_text(encoding="utf-8"))
    rounds = [[stop["tree"] for stop in one["stops"]] for one in plan["rounds"]]
    return season, tmp_path / "out", rounds


def look(walked, oven, *options, moment="2026-11-10"):
    """Enter oven readings and ask again."""
    season, folder, _ = walked
    (season / "oven.csv").write_text(oven, encoding="utf-8")
    return walk(
        folder.parent,
        season,
        "--block",
        "River",
        "--date",
        moment,
        "--out",
        folder,
        "--json",
        folder / "state.json",
        *options,
    )


def state_of(walked):
    return json.loads((walked[1] / "state.json").read_text(encoding="utf-8"))


def looks_of(walked):
    return json.loads((walked[1] / "walk.json").read_text(encoding="utf-8"))["looks"]


def test_part_of_a_round_is_no_look(walked):
    rounds = walked[2]
    done = look(walked, oven_of(rounds[0][:5], 18.0))
    assert done.returncode == 0
    assert "part of a round is part of the block" in flat(done.stdout)
    assert state_of(walked)["next_trees"] == rounds[0][5:]
    assert looks_of(walked) == [] and state_of(walked)["answers"] == []


def test_clear_first_round_is_enough(walked):
    done = look(walked, oven_of(walked[2][0], 18.0))
    answer = state_of(walked)["answers"][0]
    assert answer["state"] == "ready" and answer["look"]["needed"] > 0.97
    assert "Enough" in done.stdout and "Next," not in done.stdout
    assert looks_of(walked) == [0.5]


def test_undecided_first_round_goes_on_with_the_second(walked):
    done = look(walked, oven_of(walked[2][0], 15.42))
    answer = state_of(walked)["answers"][0]
    assert answer["state"] == "go_on" and 0 < answer["chance_at_end"] < 1
    # Enough for a single look, not for the first of two.
    assert 90 <= answer["readiness"] < 100 * answer["look"]["needed"]
    assert "Go on" in done.stdout
    assert f"Next, 7 trees in this order: {' '.join(walked[2][1])}" in flat(done.stdout)


def test_same_look_again_is_no_new_look_and_the_second_counts_the_first(walked):
    rounds = walked[2]
    for _ in range(2):
        look(walked, oven_of(rounds[0], 15.25))
    assert looks_of(walked) == [0.5]
    look(walked, oven_of(rounds[0] + rounds[1], 15.4))
    assert looks_of(walked) == [0.5, 1.0]
    answer = state_of(walked)["answers"][0]
    assert 0.9 < answer["look"]["needed"] < 0.93 and answer["look"]["spent"] == pytest.approx(1)


def test_low_block_is_not_yet_and_the_next_walk_is_sized(walked):
    done = look(walked, oven_of(walked[2][0] + walked[2][1], 13.0))
    assert state_of(walked)["answers"][0]["state"] == "not_yet"
    assert "Next walk, about 2026-11-17" in flat(done.stdout)
    result = state_of(walked)["result"]
    assert result["trees"] == 14 and result["within_variance"] > 0
    assert result["balanced_error"] is not None
    assert "Variance between trees" in flat(done.stdout)


def test_undecided_end_does_not_ask_for_more_trees(walked):
    done = look(walked, oven_of(walked[2][0] + walked[2][1], 15.02))
    assert state_of(walked)["answers"][0]["state"] == "undecided"
    assert "would say ready too often" in flat(done.stdout)


def test_open_withholding_period_is_not_ready(walked):
    season = walked[0]
    row = "River,2026-11-09 06:00,example product,14,12,,A. Person,2026-11-09\n"
    (season / "sprays.csv").write_text(SPRAYS + row, encoding="utf-8")
    done = look(walked, oven_of(walked[2][0], 18.0))
    assert state_of(walked)["answers"][0]["state"] == "not_cleared"
    assert "Not to be picked" in done.stdout


def test_going_on_is_going_in_again(walked):
    season = walked[0]
    row = "River,2026-11-11 06:00,example product,0,48,,A. Person,2026-11-11\n"
    (season / "sprays.csv").write_text(SPRAYS + row, encoding="utf-8")
    done = look(walked, oven_of(walked[2][0], 15.25), moment="2026-11-12")
    assert done.returncode == 2 and "re-entry period open" in flat(done.stderr)
    # Nobody reads "go on" before the refusal; the state is in the JSON all the same.
    assert "Go on" not in done.stdout and "Next," not in done.stdout
    assert state_of(walked)["going_on"] and not state_of(walked)["entry"]["allowed"]
    done = look(
        walked, oven_of(walked[2][0], 15.25), "--confirmed-by", "B. Person", moment="2026-11-12"
    )
    assert done.returncode == 0 and "taken on by B. Person" in flat(done.stdout)


def test_tree_that_was_not_drawn_is_left_out_and_named(walked):
    rounds = walked[2]
    stranger = next(str(n) for n in range(1, 61) if str(n) not in rounds[0] + rounds[1])
    oven = oven_of(rounds[0], 15.25) + oven_row(int(stranger), 1, 25.0, day="2026-11-10")
    done = look(walked, oven)
    assert done.returncode == 1
    assert f"tree {stranger}: not drawn for this walk" in flat(done.stdout)
    assert state_of(walked)["result"]["trees"] == 7


def test_tree_without_fruit_can_be_skipped_and_is_counted(walked):
    rounds = walked[2]
    oven = oven_of(rounds[0][1:], 15.25)
    done = look(walked, oven, "--skip", rounds[0][0])
    assert done.returncode == 1 and "1 of 14 drawn trees were left out" in flat(done.stdout)
    assert looks_of(walked) == [pytest.approx(6 / 13)]
    done = look(walked, oven, "--skip", rounds[0][1])
    assert done.returncode == 2 and "it has oven results" in flat(done.stderr)
    done = look(walked, oven, "--skip", "999")
    assert done.returncode == 2 and "expected a tree of this walk" in flat(done.stderr)


def test_readings_of_other_days_are_not_of_the_walk(walked):
    look(walked, oven_of(walked[2][0], 18.0, day="2026-11-03"))
    assert state_of(walked)["done"] == []
    for day in ("2026-11-09", "2026-11-17"):
        done = look(walked, oven_of(walked[2][0], 18.0, day=day))
        assert state_of(walked)["done"] == [] and done.returncode == 1
        assert f"14 fruit of drawn trees are dated {day}: not of this walk" in flat(done.stdout)
    look(walked, oven_of(walked[2][0], 18.0, day="2026-11-12"))
    assert len(state_of(walked)["done"]) == 7


def test_fruit_still_drying_is_no_result_yet(walked):
    trees = walked[2][0]
    drying = OVEN_HEADER + "".join(f"River,{tree},2026-11-10,1,40,60,,\n" for tree in trees)
    look(walked, drying)
    state = state_of(walked)
    assert state["done"] == [] and state["drying"] == trees and state["next_trees"] == []


def test_tree_with_fruit_in_the_dryer_is_not_walked_again_and_not_looked_at(walked):
    trees = walked[2][0]
    oven = oven_of(trees[:6], 18.0) + f"River,{trees[6]},2026-11-10,1,40,60,,\n"
    done = look(walked, oven)
    assert state_of(walked)["rounds_done"] == 0 and state_of(walked)["entry"] is None
    said = flat(done.stdout)
    assert f"Still in the dryer: tree {trees[6]}" in said and "wait for the dryer" in said
    assert "Next," not in said


def test_meter_alone_never_counts_as_a_look(walked):
    season, folder, rounds = walked
    meter = "block,tree,date,fruit,meter,dm_pct\n" + "".join(
        f"River,{tree},2026-11-10,1,A,18.0\n" for tree in rounds[0]
    )
    (season / "meter.csv").write_text(meter, encoding="utf-8")
    look(walked, OVEN_HEADER)
    assert state_of(walked)["rounds_done"] == 0


def test_plan_of_another_block_and_broken_plans_are_refused(walked, tmp_path):
    season, folder, _ = walked
    done = walk(tmp_path, season, "--block", "Hill", "--out", folder)
    assert done.returncode == 2 and "a walk of block River" in flat(done.stderr)
    (folder / "walk.json").write_text("{}", encoding="utf-8")
    done = walk(tmp_path, season, "--block", "River", "--out", folder)
    assert done.returncode == 2 and "not a plan of a walk" in flat(done.stderr)


def test_plan_is_not_drawn_over_unless_asked(walked, tmp_path):
    season, folder, rounds = walked
    options = ("--block", "River", "--date", "2026-11-10", "--out", folder, "--seed", "6")
    done = walk(tmp_path, season, *options)
    assert done.returncode == 2 and "holds a plan already" in flat(done.stderr)
    assert walk(tmp_path, season, *options, "--anew").returncode == 0
    assert json.loads((folder / "walk.json").read_text(encoding="utf-8"))["seed"] == 6


def test_several_rows_of_policy_are_judged_apart(walked):
    season = walked[0]
    policy = (season / "policy.csv").read_text(encoding="utf-8")
    policy += "River,Far,mean,19,,0.9,invented policy,2026-09-01\n"
    (season / "policy.csv").write_text(policy, encoding="utf-8")
    look(walked, oven_of(walked[2][0], 18.0))
    assert [one["state"] for one in state_of(walked)["answers"]] == ["ready", "not_yet"]


def test_python_gives_the_same_as_the_command(walked, tmp_path):
    season, folder, rounds = walked
    look(walked, oven_of(rounds[0], 15.25))
    plan = read_plan(folder, "River")
    state = walk_progress(read_season(season), plan, moment=MOMENT, results=tmp_path / "r")
    assert state.to_dict() == state_of(walked)


def test_rounds_of_different_dates_are_one_walk_and_named(walked):
    season, folder, rounds = walked
    later = oven_of(rounds[1], 13.3, day="2026-11-12").replace(OVEN_HEADER, "")
    done = look(walked, oven_of(rounds[0], 13.0) + later)
    assert "readings of this walk are dated 2026-11-10, 2026-11-12: one walk" in flat(done.stdout)
    # The next walk is sized by all 14 trees, as if one date had been entered.
    apart = flat(done.stdout).split("Next walk")[1].split("Note:")[0]
    one_date = later.replace("2026-11-12", "2026-11-10")
    done = look(walked, oven_of(rounds[0], 13.0) + one_date)
    assert "are dated" not in flat(done.stdout)
    assert flat(done.stdout).split("Next walk")[1].strip() == apart.strip()
    (season / "oven.csv").write_text(oven_of(rounds[0], 13.0) + later, encoding="utf-8")
    for command in ("score", "forecast"):
        told = flat(run(command, season, cwd=folder.parent).stdout)
        assert "River: 2026-11-10, 2026-11-12 are taken as one visit, 2026-11-10" in told
        assert "taken as two visits" not in told
