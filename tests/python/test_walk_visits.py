"""A walk is one visit for scores and forecasts too, and they keep to its rule."""

from __future__ import annotations

import datetime
import json
import shutil

import pytest
from season_folders import OVEN_HEADER, oven_row
from test_commands import run
from test_walk_progress import look, looks_of, state_of
from walk_seasons import MOMENT, SPRAYS, flat, oven_of, tree_table, walk, walk_season

from maturity.scoring import score_season
from maturity.stored_walk import new_plan
from maturity.walk.plan import plan_walk

#: Enough for a single look at seven trees, not for the first of two.
NEARLY = 15.42


@pytest.fixture(name="walked")
def walked_plan(tmp_path):
    """A season with a plan of 14 trees in two rounds; returns (season, folder, rounds)."""
    return stored_plan(tmp_path, trees=14, fruit=2)


def stored_plan(tmp_path, **sizes):
    """As the command leaves it, without the pages to print, which take most of its time."""
    season = walk_season(tmp_path / "season")
    plan = plan_walk(season, "River", moment=MOMENT, rounds=2, seed=5, **sizes)
    stored = new_plan(plan.to_dict())
    stored.save(tmp_path / "out")
    stored.record(season / "results")
    return season, tmp_path / "out", stored.rounds


def scored(walked):
    return score_season(walked[0]).visits


def test_score_in_mid_walk_keeps_to_the_rule_of_the_walk(walked):
    look(walked, oven_of(walked[2][0], NEARLY))
    assert state_of(walked)["answers"][0]["state"] == "go_on"
    visit = scored(walked)[0]
    assert visit.estimate.decision == "ready" and visit.decision == "sample_more"
    assert "Go on: walk the next round" in visit.walk_hold and "7 of 14 trees" in visit.walk_hold
    told = flat(run("score", walked[0], cwd=walked[1].parent).stdout)
    assert "Go on: walk the next round" in told
    options = ("--crews", "2", "--crew-days", "River=6", "--first-day", "2026-11-11")
    told = flat(run("forecast", walked[0], *options, cwd=walked[1].parent).stdout)
    assert "No date on which it is likely to meet its rule" in told
    # Wrong on purpose: nobody knows of the plan, and seven trees are a sample like any other.
    shutil.rmtree(walked[0] / "results" / "walks")
    assert scored(walked)[0].decision == "ready"


def test_walk_left_unfinished_weeks_ago_does_not_ask_to_go_on(walked):
    later = oven_of(walked[2][1], 18.0, day="2026-11-24").replace(OVEN_HEADER, "")
    (walked[0] / "oven.csv").write_text(oven_of(walked[2][0], NEARLY) + later, encoding="utf-8")
    first, last = scored(walked)
    assert first.decision == "sample_more" and "was not finished" in first.walk_hold
    assert "Go on" not in first.walk_hold
    assert last.walk_hold is None and last.decision == "ready"


def test_score_of_part_of_a_round_is_never_ready(walked):
    (walked[0] / "oven.csv").write_text(oven_of(walked[2][0][:6], 18.0), encoding="utf-8")
    visit = scored(walked)[0]
    assert visit.estimate.decision == "ready" and visit.decision == "sample_more"
    assert "part of a round" in visit.walk_hold


def test_score_says_what_the_walk_says_when_it_is_over(walked):
    for level, decision in ((18.0, "ready"), (13.0, "not_yet"), (15.02, "sample_more")):
        look(walked, oven_of(walked[2][0] + walked[2][1], level))
        assert scored(walked)[0].decision == decision
    # More trees would undo the rule, so that none are proposed.
    visit = scored(walked)[0]
    assert visit.plan is None and "plan the next visit" in visit.walk_hold
    assert state_of(walked)["answers"][0]["state"] == "undecided"


def test_walk_that_ended_early_is_ready_in_the_score_too(walked):
    look(walked, oven_of(walked[2][0], 18.0))
    assert scored(walked)[0].decision == "ready"


def test_plan_that_was_not_followed_binds_nobody(walked):
    drawn = {tree for members in walked[2] for tree in members}
    others = [str(n) for n in range(1, 61) if str(n) not in drawn][:12]
    oven = oven_of(others + walked[2][0][:2], 18.0)
    (walked[0] / "oven.csv").write_text(oven, encoding="utf-8")
    assert scored(walked)[0].decision == "ready"


def test_plan_that_was_walked_binds_and_not_a_later_trial(walked, tmp_path):
    options = ("--block", "River", "--date", "2026-11-10", "--trees", "20", "--seed", "9", "--out")
    assert walk(tmp_path, walked[0], *options, tmp_path / "trial").returncode == 0
    (walked[0] / "oven.csv").write_text(oven_of(walked[2][0], NEARLY), encoding="utf-8")
    visit = scored(walked)[0]
    assert visit.decision == "sample_more" and "7 of 14 trees" in visit.walk_hold


def test_rounds_on_several_days_are_one_visit_of_all_trees(walked):
    later = oven_of(walked[2][1], 18.0, day="2026-11-14").replace(OVEN_HEADER, "")
    look(walked, oven_of(walked[2][0], 18.0) + later)
    visits = scored(walked)
    assert [visit.date for visit in visits] == [datetime.date(2026, 11, 10)]
    assert visits[0].used["trees"] == 14 and visits[0].decision == "ready"
    # Clearance is asked for the last day: a period over by then does not stand.
    row = "River,2026-11-09 06:00,example product,3,12,,A. Person,2026-11-09\n"
    (walked[0] / "sprays.csv").write_text(SPRAYS + row, encoding="utf-8")
    assert scored(walked)[0].decision == "ready"
    longer = SPRAYS + row.replace(",3,12", ",6,12")
    (walked[0] / "sprays.csv").write_text(longer, encoding="utf-8")
    assert scored(walked)[0].decision == "not_cleared"


def test_tree_sampled_again_within_the_week_is_another_visit(walked):
    again = oven_of(walked[2][0], 19.0, day="2026-11-14").replace(OVEN_HEADER, "")
    done = look(walked, oven_of(walked[2][0], 16.0) + again)
    assert "drawn trees were sampled again on 2026-11-14" in flat(done.stdout)
    assert state_of(walked)["result"]["mean"] == pytest.approx(16.0, abs=0.3)
    assert [visit.date.day for visit in scored(walked)] == [10, 14]


@pytest.mark.parametrize(
    ("day", "trees", "visits"),
    [
        ("2026-11-12", range(11, 19), 1),
        ("2026-11-12", range(8, 16), 2),
        ("2026-11-13", range(11, 19), 2),
    ],
)
def test_dates_without_a_plan_are_joined_within_two_days_only(tmp_path, day, trees, visits):
    first = oven_of([str(n) for n in range(1, 9)], 16.0)
    second = oven_of([str(n) for n in trees], 16.0, day=day).replace(OVEN_HEADER, "")
    score = score_season(walk_season(tmp_path / "season", oven=first + second))
    assert len(score.visits) == visits
    assert any("taken as one visit" in note for note in score.notes()) == (visits == 1)


def test_missing_oven_result_counts_as_not_looked_at(tmp_path):
    walked = stored_plan(tmp_path, trees=14, fruit=3, oven=2)
    trees = walked[2][0]
    done = look(walked, oven_of(trees, 15.25, fruit=1))
    assert looks_of(walked) == [pytest.approx(0.25)]
    assert "fewer than the 2 oven results planned" in flat(done.stdout)
    done = look(walked, oven_of(trees + walked[2][1], 15.25, fruit=1))
    assert looks_of(walked) == [pytest.approx(0.25), pytest.approx(0.5)]
    assert state_of(walked)["answers"][0]["state"] == "undecided"
    assert "Dry what is there of it" in flat(done.stdout)
    # The others of the first round come in: a look of its own, with the first one counted.
    both = oven_of(trees, 15.25) + oven_of(walked[2][1], 15.25, fruit=1).replace(OVEN_HEADER, "")
    look(walked, both)
    assert looks_of(walked) == [pytest.approx(0.25), pytest.approx(0.5), pytest.approx(0.75)]


def test_new_draw_within_the_week_of_a_look_is_named(walked, tmp_path):
    options = ("--block", "River", "--trees", "9", "--out")
    done = walk(tmp_path, walked[0], "--date", "2026-11-12", *options, tmp_path / "before")
    assert "Another draw within" not in flat(done.stdout)
    look(walked, oven_of(walked[2][0], NEARLY))
    done = walk(tmp_path, walked[0], "--date", "2026-11-12", *options, tmp_path / "soon")
    assert done.returncode == 1 and "planned for 2026-11-10 and looked at" in flat(done.stdout)
    done = walk(tmp_path, walked[0], "--date", "2026-11-17", *options, tmp_path / "later")
    assert "Another draw within" not in flat(done.stdout)


def test_fruit_dried_because_it_was_not_clear_does_not_count(walked):
    rounds = walked[2]
    both = rounds[0] + rounds[1]
    look(walked, oven_of(both, 15.02, fruit=1))
    before = state_of(walked)["answers"][0]
    assert before["state"] == "undecided"
    more = "".join(
        oven_row(int(tree), number, 18.0, day="2026-11-10") for tree in both for number in (2, 3)
    )
    done = look(walked, oven_of(both, 15.02, fruit=1) + more)
    after = state_of(walked)["answers"][0]
    assert after["state"] == "undecided" and after["readiness"] == before["readiness"]
    assert "28 fruit of trees already looked at were read after that look" in flat(done.stdout)
    visit = scored(walked)[0]
    assert visit.estimate.decision == "ready" and visit.decision == "sample_more"
    # Taken from the first look on, they are a larger sample like any other.
    content = json.loads((walked[1] / "walk.json").read_text(encoding="utf-8"))
    content.update(looks=[], looked_fruit={})
    (walked[1] / "walk.json").write_text(json.dumps(content), encoding="utf-8")
    look(walked, oven_of(both, 15.02, fruit=1) + more)
    assert state_of(walked)["answers"][0]["state"] == "ready"


def test_trees_numbered_anew_in_each_row_are_refused_and_none_excluded_is_drawn(tmp_path):
    lines = ["block,row,tree,lat,lon,excluded"]
    lines += [
        f"River,{row},{tree},,,{'yes' if row < 4 else 'no'}"
        for row in range(1, 7)
        for tree in range(1, 11)
    ]
    season = walk_season(tmp_path / "season", trees="\n".join(lines) + "\n")
    done = walk(tmp_path, season, "--block", "River", "--date", "2026-11-10", "--trees", "9")
    assert done.returncode == 2
    assert "60 of 60 rows of trees.csv could not be used" in flat(done.stderr)
    assert "write row-tree, as 2-7" in flat(done.stderr)


def test_position_far_from_the_block_is_named_and_not_used(tmp_path):
    good = tree_table()
    bad = good.replace("River,3,25,-20.4", "River,3,25,-2.4").replace(
        "River,3,25,-20.5", "River,3,25,-21.5"
    )
    assert good != bad
    plan = plan_walk(walk_season(tmp_path / "a", trees=bad), "River", moment=MOMENT, trees=14)
    assert any("tree 25 (" in note and "likely to be slips" in note for note in plan.notes)
    assert not plan.trees.has_positions and plan.in_one_go_m < 1000
    fine = plan_walk(walk_season(tmp_path / "b", trees=good), "River", moment=MOMENT, trees=14)
    assert fine.trees.has_positions and not fine.notes


@pytest.mark.parametrize(
    ("crop", "words"),
    [
        (lambda tree, light: "", "gives the crop of 0 of these 7 trees"),
        (lambda tree, light: "light" if light else "Heavy", "heavy 14.0 % (4 trees), light 18.0 %"),
        # By hand: (3 x 100 x 18 + 4 x 300 x 14) / 1500 = 14.8, unweighted 110 / 7 = 15.7.
        (lambda tree, light: "100" if light else "300", "15.7 %, weighted by their fruit 14.8 %"),
    ],
)
def test_crop_of_the_trees_is_said_and_not_weighed(walked, crop, words):
    trees = walked[2][0]
    light = set(trees[:3])
    lines = tree_table().splitlines()
    lines = [lines[0] + ",crop"] + [
        f"{line},{crop(line, line.split(',')[2] in light)}" for line in lines[1:]
    ]
    (walked[0] / "trees.csv").write_text("\n".join(lines) + "\n", encoding="utf-8")
    oven = OVEN_HEADER + "".join(
        oven_row(int(tree), 1, 18.0 if tree in light else 14.0, day="2026-11-10") for tree in trees
    )
    done = look(walked, oven)
    assert words in flat(done.stdout) and "counts alike" in state_of(walked)["crop"]
