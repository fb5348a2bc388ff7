"""Flowerings named in the tables: each estimated apart, the block joined by shares of the crop."""

from __future__ import annotations

import json
import pickle
from types import SimpleNamespace

import numpy
import pytest
from click.testing import CliRunner
from season_folders import CLEARED, OVEN_HEADER, POLICY, oven_row, write_files

import maturity
from maturity.commands import command
from maturity.flowering_plan import _apart, plan_sentences
from maturity.report.pages import Standing
from maturity.walk_answer import answer_of

TREES = range(1, 25)
LATE = {tree for tree in TREES if tree % 3 == 0}
#: What normal fruit of SD 0.9 look like, in an order that goes with nothing.
OFF = 0.9 * numpy.random.default_rng(5).permutation(
    [-2.0, -1.6, -1.3, -1.1, -0.9, -0.7, -0.6, -0.4, -0.3, -0.2, -0.1, 0.0]
    + [0.0, 0.1, 0.2, 0.3, 0.4, 0.6, 0.7, 0.9, 1.1, 1.3, 1.6, 2.0]
)


def dry_matter(tree: int, behind: float = 2.4) -> float:
    """Of the one oven fruit of each tree; the late ones lie behind."""
    return 18.0 + OFF[tree - 1] - (behind if tree in LATE else 0.0)


def trees_table(crop=lambda tree: 100, flowering=None) -> str:
    flowering = flowering or {tree: "late" if tree in LATE else "early" for tree in TREES}
    rows = [f"River,1,{tree},{crop(tree)},{flowering.get(tree, '')}\n" for tree in TREES]
    return "block,row,tree,crop,flowering\n" + "".join(rows)


def blocks_table(bearing) -> str:
    return f"block,cultivar,trees_bearing\nRiver,Amberlee,{bearing}\nHill,Amberlee,\n"


def season(tmp_path, *, trees=None, fruit=None, left_out=(), behind=2.4, purpose=(), bearing=24):
    """Block River, 24 trees with an oven fruit each; trees of `left_out` have none."""
    oven = OVEN_HEADER.replace("\n", ",picked_on_purpose\n")
    for tree in TREES:
        if tree not in left_out:
            row = oven_row(tree, 1, dry_matter(tree, behind)).rstrip("\n")
            oven += row + (",yes\n" if tree in purpose else ",\n")
    files = {"blocks": blocks_table(bearing), "policy": POLICY, "sprays": CLEARED, "oven": oven}
    files |= {name: text for name, text in (("trees", trees), ("fruit", fruit)) if text is not None}
    return write_files(tmp_path / "season", **files)


def scored(*arguments, **named):
    return maturity.score_season(season(*arguments, **named)).latest()[0]


def alone(trees, behind=2.4):
    return maturity.estimate_block(
        list(trees), oven=[dry_matter(tree, behind) for tree in trees], minimum_dm_pct=15
    )


def test_each_is_the_estimate_of_its_own_fruit(tmp_path):
    visit = scored(tmp_path, trees=trees_table())
    early, late = visit.flowerings.flowerings
    assert (early.name, late.name) == ("early", "late")
    # Weighings of 0.0001 g round what is read.
    mine = alone([tree for tree in TREES if tree not in LATE])
    assert early.estimate.readiness == pytest.approx(mine.readiness, abs=0.01)
    assert late.estimate.mean_dm_pct == pytest.approx(alone(sorted(LATE)).mean_dm_pct, abs=1e-3)
    assert visit.flowerings.together.mean_dm_pct == pytest.approx(
        alone(TREES).mean_dm_pct, abs=1e-3
    )
    assert early.estimate.readiness > 95 > 60 > late.estimate.readiness
    assert visit.estimate.flags[-1] == "flowerings_apart"


def test_counted_trees_speak_for_the_crop(tmp_path):
    equal = scored(tmp_path / "equal", trees=trees_table())
    heavy = scored(tmp_path / "heavy", trees=trees_table(lambda tree: 400 if tree in LATE else 100))
    words = scored(tmp_path / "words", trees=trees_table(lambda tree: "heavy"))
    assert equal.flowerings.crop_share_source == heavy.flowerings.crop_share_source == "counted"
    assert words.flowerings.crop_share_source == "sampled"
    share = [one.flowerings.flowerings[1].crop_share for one in (equal, heavy, words)]
    assert share == pytest.approx([1 / 3, 2 / 3, 8.5 / 25], abs=0.01)
    early, late = (one.estimate.mean_dm_pct for one in heavy.flowerings.flowerings)
    assert heavy.estimate.mean_dm_pct == pytest.approx((early + 2 * late) / 3, abs=1e-6)
    assert heavy.estimate.mean_dm_pct < heavy.flowerings.together.mean_dm_pct - 0.7
    width = [
        numpy.diff(one.flowerings.flowerings[1].crop_share_interval)[0] for one in (equal, words)
    ]
    assert width[0] < 0.15 < 0.3 < width[1]
    assert any("24 of 24 trees is a word" in note for note in words.notes)


def late_share(visit) -> float:
    """Width of the interval of the late share of the crop."""
    low, high = visit.flowerings.flowerings[1].crop_share_interval
    return high - low


def test_trees_that_may_not_be_all_of_the_block_are_a_sample_of_it(tmp_path):
    crop = trees_table(lambda tree: 60 + 40 * (tree % 4))
    every, some, unknown = (
        scored(tmp_path / str(bearing), trees=crop, bearing=bearing) for bearing in (26, 96, "")
    )
    assert every.flowerings.crop_share_source == "counted"
    for one in (some, unknown):
        assert one.flowerings.crop_share_source == "counted_on_some"
    # 24 of 96 take a quarter of the variance of the draw off.
    assert late_share(every) < 0.15 < 0.3 < late_share(some) < 0.95 * late_share(unknown)
    assert every.estimate.mean_dm_sd < unknown.estimate.mean_dm_sd
    assert any("25 in 100 of those that bear" in note for note in some.notes)
    assert any("gives no trees_bearing: the 24 trees" in note for note in unknown.notes)
    assert not any("trees_bearing" in note for note in every.notes)
    # The middle stays where the counts put it, not where the fruit do: these count trees alike.
    assert unknown.flowerings.flowerings[1].crop_share == pytest.approx(
        every.flowerings.flowerings[1].crop_share, abs=0.02
    )


def test_trees_listed_for_another_reason_than_the_draw_stand_for_nothing(tmp_path):
    visit = scored(tmp_path, trees=trees_table(), left_out=[1], bearing=96)
    assert visit.flowerings.crop_share_source == "sampled"
    assert any("not all were sampled on this visit" in note for note in visit.notes)


@pytest.mark.parametrize(
    ("trees", "said"),
    [
        (trees_table(lambda tree: "" if tree == 4 else 100), "1 of 24 trees have no crop"),
        (trees_table(lambda tree: 0), "counts no fruit on any tree"),
        (
            trees_table(flowering={t: "late" if t in LATE else "early" for t in TREES if t > 1}),
            "1 of 24 trees have no flowering",
        ),
    ],
)
def test_crop_that_is_not_whole_gives_way_to_the_sample(tmp_path, trees, said):
    visit = scored(tmp_path, trees=trees)
    assert visit.flowerings.crop_share_source == "sampled"
    assert any(said in note for note in visit.notes), visit.notes


def test_crop_that_is_no_crop_is_named(tmp_path):
    folder = season(tmp_path, trees=trees_table(lambda tree: -5))
    problems = maturity.read_season(folder).problems
    assert len(problems) == len(TREES) and "-5" in str(problems[0])
    done = CliRunner().invoke(command, ["score", str(folder)])
    text = " ".join(done.output.split())
    assert "Problems in the files (24): trees.csv, rows 2, 3, 4 and 21 more, column crop:" in text
    assert "found '-5'; expected a whole number of fruit of at least 0" in text
    assert "(rows kept, crop not used)" in text and text.count("column crop") == 1


def test_fruit_may_differ_from_their_tree(tmp_path):
    fruit = "block,tree,date,fruit,flowering\nRiver,1,2026-11-03,1,late\n"
    visit = scored(tmp_path, trees=trees_table(), fruit=fruit)
    assert visit.flowerings.flowerings[1].estimate.counts.oven_fruit == len(LATE) + 1
    assert visit.flowerings.crop_share_source == "sampled"
    assert any("another flowering than their tree" in note for note in visit.notes)


def test_few_readings_of_one_flowering_keep_ready_back(tmp_path):
    left_out = sorted(LATE)[3:]
    visit = scored(tmp_path, trees=trees_table(), left_out=left_out, behind=0.0)
    assert visit.flowerings.together.decision == "ready" != visit.decision
    assert visit.decision == "sample_more" and visit.estimate.reasons == ["flowering_blocked"]
    assert "Flowering late has 3 oven fruit of the 5 needed." in visit.reason_sentences()
    # Trees drawn at random would not give the two fruit that are missing.
    assert visit.plan.block.outcome == "too_few_to_plan" and visit.plan.block.trees == 0
    assert [one.oven for one in visit.plan.flowerings] == [0, 2]
    standing = Standing(visit, None)
    assert standing.next_steps[0].startswith("First oven-dry 2 more fruit of flowering late;")
    assert standing.next_steps[1] == "Flowering late has 3 oven fruit of the 5 needed."
    assert standing.next_steps[2].startswith("Flowering early by itself meets the rule")
    walk = answer_of(visit, 1.0, [], trees_left=False)
    assert walk.state == "blocked" and "late has 3 oven fruit" in " ".join(walk.sentences())
    # Wrong on purpose: with one name for all the same fruit are ready.
    every = trees_table(flowering=dict.fromkeys(TREES, "early"))
    one = scored(tmp_path / "one", trees=every, left_out=left_out, behind=0.0)
    assert one.decision == "ready" and one.flowerings is None


def test_a_flowering_without_fruit_blocks(tmp_path):
    visit = scored(tmp_path, trees=trees_table(), left_out=LATE)
    assert visit.decision == "sample_more" and not visit.flowerings.joined
    assert "Flowering late has no fruit with dry matter." in visit.reason_sentences()
    assert visit.flowerings.flowerings[0].estimate.decision == "ready"


def test_fruit_picked_on_purpose_say_nothing_of_the_crop(tmp_path):
    trees = trees_table(lambda tree: "")
    visit = scored(tmp_path, trees=trees, purpose=[tree for tree in TREES if tree > 4], behind=0)
    assert not visit.flowerings.joined and visit.flowerings.crop_share_source is None
    assert any("count or guess the crop" in text for text in visit.flowerings.sentences)


@pytest.mark.parametrize("behind", [2.4, -2.4])
def test_fruit_picked_on_purpose_out_of_a_sample(tmp_path, behind):
    """All trees metered; of the late ones every fruit went into the oven, on purpose."""
    folder = season(
        tmp_path,
        trees=trees_table(lambda tree: ""),
        behind=behind,
        left_out=[tree for tree in TREES if tree not in LATE and tree > 8],
        purpose=LATE - {3, 6},
    )
    rows = [f"River,{tree},2026-11-03,1,M,{dry_matter(tree, behind):.2f}\n" for tree in TREES]
    write_files(folder, meter="block,tree,date,fruit,meter,dm_pct\n" + "".join(rows))
    visit = maturity.score_season(folder).latest()[0]
    # Without them 2 of 18 are late, with them 8 of 24: the less ready of both is taken.
    share = visit.flowerings.flowerings[1].crop_share
    assert share == pytest.approx((8 if behind > 0 else 2) / (24 if behind > 0 else 18), abs=0.04)
    assert any("whichever makes the block less ready" in note for note in visit.notes)


def test_fruit_without_flowering(tmp_path):
    some = {tree: "late" if tree in LATE else "early" for tree in TREES}
    one = scored(tmp_path / "1", trees=trees_table(flowering={**some, 1: ""}), behind=0.0)
    assert one.flowerings.joined and one.decision == "ready"
    assert any("1 of 24 fruit has no flowering and is left out" in note for note in one.notes)
    two = scored(tmp_path / "2", trees=trees_table(flowering={**some, 1: "", 2: ""}), behind=0.0)
    assert not two.flowerings.joined and two.decision == "sample_more"
    assert any("more than 1 in 20" in text for text in two.reason_sentences())


def fruit_table(flowering, *, day="2026-11-03", number=1):
    """A fruit.csv of the trees for which `flowering` has a name."""
    named = [(tree, flowering(tree)) for tree in TREES if flowering(tree)]
    rows = [f"River,{tree},{day},{number},{name}\n" for tree, name in named]
    return "block,tree,date,fruit,flowering\n" + "".join(rows)


def name_of(tree):
    return "late" if tree in LATE else "early"


def test_a_crop_of_0_of_unripe_fruit_that_were_sampled_blocks(tmp_path):
    unripe = scored(tmp_path, trees=trees_table(lambda tree: 0 if tree in LATE else 100), behind=6)
    assert unripe.decision == "sample_more" and unripe.estimate.readiness > 99
    assert any("though 8 fruit of this visit are of it" in one for one in unripe.reason_sentences())


@pytest.mark.parametrize("mark", ["trees", "fruit"])
def test_only_the_late_ones_marked_blocks(tmp_path, mark):
    marked = trees_table(flowering=dict.fromkeys(LATE, "late"))
    tables = {"trees": marked}
    if mark == "fruit":
        tables = {"fruit": fruit_table(lambda tree: "late" if tree in LATE else "")}
    visit = scored(tmp_path, behind=0, **tables)
    assert visit.flowerings.together.decision == "ready" and visit.decision == "sample_more"
    assert any("16 of 24 fruit have no flowering" in one for one in visit.reason_sentences())


@pytest.mark.parametrize(
    ("fruit", "said"),
    [
        # Named, and not read; of an earlier day, and not sampled again; of other fruit numbers.
        (fruit_table(name_of), "late has no fruit with dry matter"),
        (fruit_table(name_of, day="2026-10-20"), "late has no fruit with dry matter"),
        (fruit_table(name_of, number=2), "16 of 16 fruit have no flowering"),
    ],
)
def test_a_flowering_that_was_seen_and_not_read_blocks(tmp_path, fruit, said):
    visit = scored(tmp_path, fruit=fruit, left_out=LATE)
    assert visit.flowerings.together.decision == "ready" and visit.decision == "sample_more"
    assert any(said in one for one in visit.reason_sentences())


def test_a_pick_makes_earlier_names_past(tmp_path):
    picked = "date,block,crew,seen_at,fruit_checked,finding,count\n"
    folder = season(tmp_path, fruit=fruit_table(name_of, day="2026-10-20"), left_out=LATE)
    write_files(folder, picked=picked + "2026-10-25,River,A,arrival,60,none,0\n")
    found = maturity.read_season(folder)
    assert found.tables["picked"].rows, found.problems
    visit = maturity.score_season(found).latest()[0]
    assert visit.flowerings is None and visit.decision == "ready"
    assert any("late, seen before the pick of 2026-10-25" in note for note in visit.notes)


def test_of_excluded_trees_no_flowering_is_known(tmp_path):
    header, *rows = trees_table().splitlines()
    marks = [f"{row},{'yes' if row.endswith('late') else ''}" for row in rows]
    trees = "\n".join([f"{header},excluded", *marks]) + "\n"
    visit = scored(tmp_path, trees=trees, fruit=fruit_table(name_of))
    assert visit.flowerings is None and visit.decision == "ready"


def test_ready_as_a_whole_names_what_is_not_yet(tmp_path):
    trees = trees_table(lambda tree: 5 if tree in LATE else 100)
    visit = scored(tmp_path, trees=trees, behind=6)
    assert visit.decision == "ready"
    assert any("flowering late by itself is not yet mature" in note for note in visit.notes)
    assert "Flowering late by itself is not yet mature" in " ".join(
        Standing(visit, None).next_steps
    )


def test_a_block_that_waits_names_what_may_be_picked_first(tmp_path):
    visit = scored(tmp_path, trees=trees_table())
    assert visit.decision != "ready"
    assert any("flowering early by itself meets the rule" in note for note in visit.notes)
    assert not any("flowering late by itself" in note for note in visit.notes)
    assert "Flowering early by itself meets the rule" in " ".join(Standing(visit, None).next_steps)
    ready = scored(tmp_path / "ready", trees=trees_table(), behind=0)
    assert ready.decision == "ready"
    assert not any("picked first" in note for note in ready.notes)


def test_the_plan_says_which_flowering_wants_more(tmp_path):
    others = [f"River,2,{tree},100,{'early' if tree % 3 else 'late'}\n" for tree in range(25, 100)]
    trees = trees_table() + "".join(others)
    left_out = sorted(LATE)[5:]
    visit = scored(tmp_path, trees=trees, left_out=left_out, behind=1.8, bearing=99)
    early, late = visit.plan.flowerings
    assert visit.plan.block.outcome == "plan" and visit.plan.drawn_apart
    assert late.part > 0.6 > early.part and late.trees > 3 * early.trees
    said = " ".join(plan_sentences(visit.plan))
    assert f"{late.trees} more trees of flowering late, drawn at random among its own" in said
    assert f"flowering late makes {100 * late.part:.0f} in 100" in said
    assert said.split(".")[0] in Standing(visit, None).next_steps[0]
    fields = visit.to_dict()["more_samples"]
    assert fields["by_flowering"][1]["flowering"] == "late"
    assert fields["by_flowering"][1]["oven"] == late.oven <= fields["oven"]
    # Wrong on purpose: of one crop as many trees would be drawn, a third of them late.
    assert maturity.more_samples(visit.estimate).trees != visit.plan.block.trees


def test_just_below_the_confidence_there_is_a_plan(tmp_path):
    visit = scored(tmp_path, trees=trees_table(), behind=1.5, left_out=[3])
    assert 89 < visit.estimate.readiness < 90 and visit.plan.block.oven > 0
    assert plan_sentences(visit.plan)[0].startswith("Sample ")


def test_the_plan_asks_for_no_tree_that_is_not_there(tmp_path):
    visit = scored(tmp_path / "one", trees=trees_table(), behind=1.6, left_out=[3])
    late = visit.plan.flowerings[1]
    assert visit.plan.block.outcome == "plan" and late.trees == 1 and late.photos > 3
    more = late.photos - 3
    assert f", {more} of the fruit from its trees already sampled" in plan_sentences(visit.plan)[0]
    # Wrong on purpose: the trees not counted.
    assert maturity.more_samples(visit.flowerings).flowerings[1].trees > 1
    every = scored(tmp_path / "every", trees=trees_table(), behind=1.8)
    assert every.decision == "sample_more" and every.plan.block.trees == 0
    with pytest.raises(KeyError, match="late"):
        maturity.more_samples(visit.flowerings, trees_left={"early": 3})


def test_new_fruit_of_trees_already_sampled_in_words():
    one = SimpleNamespace(name="late", trees=0, photos=4, oven=6)
    assert _apart(one) == (
        "6 more oven readings, 4 of them on new fruit of the trees of flowering late already "
        "sampled"
    )
    one.oven = 4
    assert _apart(one).startswith("4 more oven readings, on new fruit of the trees of")


def test_more_trees_with_fruit_than_bear_are_named(tmp_path):
    visit = scored(tmp_path, trees=trees_table(), bearing=20)
    assert visit.flowerings.crop_share_source == "counted"
    assert any("fruit on 24 trees, more than the 20 that blocks.csv" in one for one in visit.notes)


def test_a_flowering_without_crop_is_never_left_out_in_silence(tmp_path):
    bare = trees_table(lambda tree: 0 if tree in LATE else 100)
    visit = scored(tmp_path / "all", trees=bare, left_out=LATE)
    assert visit.decision == "ready"
    assert any(note.startswith("Flowering late has no crop by the counts") for note in visit.notes)
    # One bare tree of a draw may rest this year.
    one = {tree: "late" if tree == 3 else "early" for tree in TREES}
    rests = trees_table(lambda tree: 0 if tree == 3 else 100, flowering=one)
    visit = scored(tmp_path / "one", trees=rests, left_out=[3], behind=0, bearing="")
    assert visit.decision == "sample_more" and visit.flowerings.crop_share_source == "sampled"
    assert any("few trees of flowering late" in note for note in visit.notes)


def test_flowerings_of_rows_left_out_still_hang_there(tmp_path):
    """A wrong cell in the row of every late tree: not a block of early ones only."""
    header, *rows = trees_table().splitlines()
    marks = [f"{row},{'200' if row.endswith('late') else ''}" for row in rows]
    trees = "\n".join([f"{header},lat", *marks]) + "\n"
    visit = scored(tmp_path, trees=trees, left_out=LATE)
    assert visit.flowerings.together.decision == "ready" and visit.decision == "sample_more"
    assert "Flowering late has no fruit with dry matter." in visit.reason_sentences()


def test_shares_from_the_sample_want_trees_of_the_whole_block(tmp_path):
    visit = scored(tmp_path, trees=trees_table(lambda tree: ""), behind=1.8)
    plan = visit.plan
    assert not plan.drawn_apart and plan.block.outcome == "plan"
    assert sum(one.trees for one in plan.flowerings) == pytest.approx(plan.block.trees, abs=1)
    said = " ".join(plan_sentences(plan))
    assert "drawn at random over the whole block" in said and "With the crop of every tree" in said


def test_names_that_are_missing_are_no_matter_of_more_fruit(tmp_path):
    trees = trees_table(flowering={1: "early", 3: "late"})
    visit = scored(tmp_path, trees=trees)
    assert visit.decision == "sample_more" and not visit.flowerings.joined
    assert visit.plan is None
    steps = Standing(visit, None).next_steps
    assert steps[0] == "Make good what the flowerings lack."
    assert "22 of 24 fruit have no flowering" in " ".join(steps)


@pytest.mark.parametrize(
    ("crop", "bearing", "left_out", "said"),
    [
        (100, 24, (), "counted"),
        (100, "", (), "counted_on_some"),
        ("heavy", 24, (), "sampled"),
        (100, 24, LATE, "not_joined"),
    ],
)
def test_the_last_column_says_how_they_were_joined(tmp_path, crop, bearing, left_out, said):
    trees = trees_table(lambda tree: crop)
    folder = season(tmp_path, trees=trees, bearing=bearing, left_out=left_out)
    file = tmp_path / "out.csv"
    CliRunner().invoke(command, ["score", str(folder), "--csv", str(file)])
    head, row = (line.split(",") for line in file.read_text("utf-8").splitlines()[:2])
    assert head[-1] == "flowerings_joined_by" and row[-1] == said


def test_without_the_columns_nothing_changes(tmp_path):
    without = season(tmp_path / "a")
    named = season(tmp_path / "b", trees=trees_table(flowering=dict.fromkeys(TREES, "1")))
    first, second = (maturity.score_season(one) for one in (without, named))
    assert first.latest()[0].estimate.to_dict() == second.latest()[0].estimate.to_dict()
    assert "flowerings" not in json.dumps(first.to_dict())
    assert not [name for name in second.to_frame().columns if "flowering" in name]


def test_names_spelt_two_ways_are_named(tmp_path):
    some = {tree: "Late" if tree == 3 else "late" if tree in LATE else "early" for tree in TREES}
    found = maturity.read_season(season(tmp_path, trees=trees_table(flowering=some)))
    assert "counted as a flowering of its own" in str(found.problems[0])
    visit = maturity.score_season(found).latest()[0]
    assert "Flowering Late was sampled on one tree only." in visit.flowerings.sentences


@pytest.mark.parametrize(("of_fruit", "of_tree"), [("LATE", "late"), ("2", "2.0"), ("2", "02")])
def test_tables_that_spell_a_name_differently_are_named(tmp_path, of_fruit, of_tree):
    some = {tree: of_tree if tree in LATE else "early" for tree in TREES}
    fruit = fruit_table(lambda tree: of_fruit if tree < 8 and tree in LATE else "")
    found = maturity.read_season(season(tmp_path, trees=trees_table(flowering=some), fruit=fruit))
    said = str(found.problems[0])
    assert "fruit.csv, row 2" in said and f"'{of_tree}' as in row 4 of trees.csv" in said


def test_any_name_has_its_place(tmp_path):
    names = ["2", "10", "9" * 4400, "late", "\u00b2"]
    some = {tree: names[tree % 5] for tree in TREES}
    visit = scored(tmp_path, trees=trees_table(flowering=some))
    assert [one.name for one in visit.flowerings.flowerings] == names


def test_a_column_of_something_else_is_an_error_that_says_so(tmp_path):
    visit = scored(tmp_path, trees=trees_table(flowering={tree: f"n{tree}" for tree in TREES}))
    assert visit.estimate is None and "names of flowerings: 24 names" in visit.error


def test_screen_json_csv_and_pickle(tmp_path):
    folder = season(tmp_path, trees=trees_table())
    csv, file = tmp_path / "out.csv", tmp_path / "out.json"
    done = CliRunner().invoke(
        command, ["score", str(folder), "--csv", str(csv), "--json", str(file)]
    )
    text = " ".join(done.output.split())
    assert "By flowering (each against the same rule, as if it were the block)" in text
    assert "Flowering late: " in text and "33 in 100 (2" in text
    block = json.loads(file.read_text("utf-8"))["blocks"][0]
    late = block["flowerings"]["each"][1]
    assert late["flowering"] == "late" and late["fruit_with_oven"] == len(LATE)
    assert block["flowerings"]["together"]["readiness"] != block["readiness"]
    head, row = (line.split(",") for line in csv.read_text("utf-8").splitlines()[:2])
    assert row[head.index("flowering_2")] == "late"
    assert float(row[head.index("flowering_2_crop_share")]) == late["crop_share"]
    visit = maturity.score_season(folder).latest()[0]
    again = pickle.loads(pickle.dumps(visit))
    assert again.flowerings.to_dict() == visit.flowerings.to_dict()


def test_report_has_a_table_of_them(tmp_path):
    folder = season(
        tmp_path,
        trees=trees_table(
            flowering={tree: "<b>late" if tree in LATE else "early" for tree in TREES}
        ),
    )
    done = CliRunner().invoke(command, ["report", str(folder), "--out", str(tmp_path / "r.html")])
    page = (tmp_path / "r.html").read_text("utf-8")
    assert done.exit_code == 1, done.output  # block Hill has no fruit
    assert "0 problems in the files, 1 block without an estimate" in done.output
    assert "Table of flowerings" in page and "<b>late" not in page
    assert "By flowering, each alone:" in page
