"""Blocks drawn together: a rank beside the raw figure, and no decision by it."""

from __future__ import annotations

import json
import math

import pytest
from season_folders import write_files
from test_commands import run

import maturity
from maturity.pooling import ROUND_DAYS

RAW = {"Weir": 14.0, "Quarry": 15.2, "Saddle": 13.1, "Ford": 16.0}
VARIANCE = {"Weir": 0.09, "Quarry": 0.25, "Saddle": 0.64, "Ford": 0.16}


def test_worked_set_of_the_area_level_model():
    """Form: Survey Methodology 12-001-X 2021002; Henderson (1984). Values computed by two routes
    (closed form; mixed model equations solved exactly), variance between blocks 0.36."""
    sds = {name: math.sqrt(one) for name, one in VARIANCE.items()}
    pooled = {one.block: one for one in maturity.pool_blocks(RAW, sds, between_variance=0.36)}
    values = {name: one.dm_pct for name, one in pooled.items()}
    assert values == pytest.approx(
        {"Weir": 14.14483788, "Quarry": 15.00499566, "Saddle": 14.13948123, "Ford": 15.6074429},
        abs=1e-8,
    )
    weights = [pooled[name].own_weight for name in RAW]
    assert weights == pytest.approx([0.8, 0.590163934, 0.36, 0.692307692], abs=1e-9)
    mse = [0.072 + 0.0058956673, 0.14754098 + 0.024756732, 0.2304 + 0.060371633]
    for name, one in zip(RAW, mse):
        low, high = pooled[name].interval
        assert (high - low) / 2 == pytest.approx(1.959963984540054 * math.sqrt(one), abs=1e-7)
    # The weakly sampled immature block moves up by 1.04 points: why no decision may rest on it.
    assert pooled["Saddle"].dm_pct - pooled["Saddle"].raw_dm_pct == pytest.approx(1.04, abs=0.005)


def test_the_order_given_does_not_matter_and_the_highest_comes_first():
    sds = {name: math.sqrt(one) for name, one in VARIANCE.items()}
    turned = dict(reversed(RAW.items()))
    assert maturity.pool_blocks(RAW, sds) == maturity.pool_blocks(turned, sds)
    assert [one.rank for one in maturity.pool_blocks(RAW, sds)] == [1, 2, 3, 4]


@pytest.mark.parametrize(
    ("means", "sds", "said"),
    [
        ({"Weir": 14.0, "Quarry": 15.0}, {"Weir": 0.3, "Quarry": 0.3}, "at least 3"),
        (RAW, {"Weir": 0.3}, "expected the blocks"),
        (RAW, dict.fromkeys(RAW, 0.0), "variances above 0"),
        ({**RAW, "Weir": math.nan}, dict.fromkeys(RAW, 0.3), "finite"),
    ],
)
def test_misuse_is_named(means, sds, said):
    with pytest.raises(ValueError, match=said):
        maturity.pool_blocks(means, sds)


#: Mean dry matter and trees of each block. Saddle is weakly sampled: by itself below Quarry.
BLOCKS = {"Weir": (17.6, 12), "Quarry": (15.6, 12), "Saddle": (14.9, 3), "Ford": (18.2, 12)}


def season_of(folder, *, days=None, blocks=None):
    rows = "block,tree,date,fruit,dm_pct\n"
    used = blocks or BLOCKS
    for block, (mean, trees) in used.items():
        day = (days or {}).get(block, 3)
        for tree in range(trees):
            for fruit in (1, 2):
                dm = mean + 1.2 * math.sin(2.3 * tree + 1.1 * fruit)
                rows += f"{block},{tree},2026-11-{day:02d},{fruit},{dm:.2f}\n"
    policy = "block,rule,minimum_dm_pct,required_share,confidence\n"
    policy += "".join(f"{name},share,14.5,0.9,0.9\n" for name in used)
    cleared = (
        "block,finished_at,product,withholding_days,reentry_hours,market,confirmed_by,confirmed_on"
        "\n" + "".join(f"{name},2026-10-01 00:00,none,,,,A. Person,2026-11-02\n" for name in used)
    )
    return write_files(
        folder,
        blocks="block,cultivar\n" + "".join(f"{name},Amberlee\n" for name in used),
        policy=policy,
        sprays=cleared,
        oven=rows,
    )


def without_rank(visit):
    return {name: one for name, one in visit.to_dict().items() if not name.startswith("pooled")}


def test_no_decision_and_no_readiness_changes(tmp_path):
    folder = season_of(tmp_path / "season")
    plain = maturity.score_season(folder)
    pooled = maturity.score_season(folder, pool=True)
    assert {visit.decision for visit in plain.visits} >= {"ready", "sample_more"}
    assert [without_rank(one) for one in pooled.visits] == [one.to_dict() for one in plain.visits]
    assert all(visit.pooled is not None for visit in pooled.visits)
    assert plain.ranking().empty and not any("pooled" in name for name in plain.to_frame())


def test_a_weakly_sampled_block_borrows_but_is_not_ready_by_it(tmp_path):
    score = maturity.score_season(season_of(tmp_path / "season"), pool=True)
    by_block = {visit.block: visit for visit in score.visits}
    weak, strong = by_block["Saddle"], by_block["Weir"]
    assert weak.pooled.own_weight < strong.pooled.own_weight
    moved = weak.pooled.dm_pct - weak.estimate.mean_dm_pct
    assert moved > 3 * abs(strong.pooled.dm_pct - strong.estimate.mean_dm_pct)
    assert weak.decision == weak.estimate.decision == "not_yet"
    assert weak.pooled.raw_dm_pct == weak.estimate.mean_dm_pct
    frame = score.ranking()
    assert list(frame["pooled_rank"]) == [1, 2, 3, 4]
    assert set(frame["pooled_raw_rank"]) == {1, 2, 3, 4}
    low, high = frame["pooled_mean_dm_low_pct"], frame["pooled_mean_dm_high_pct"]
    assert (low < frame["pooled_mean_dm_pct"]).all() and (frame["pooled_mean_dm_pct"] < high).all()


def test_a_weakly_sampled_block_may_change_its_rank(tmp_path):
    """Drawn to the others it passes a well sampled one that is a little higher by itself."""
    blocks = {**BLOCKS, "Quarry": (14.97, 12)}
    score = maturity.score_season(season_of(tmp_path / "season", blocks=blocks), pool=True)
    ranks = {one.block: (one.pooled.raw_rank, one.pooled.rank) for one in score.visits}
    assert ranks["Saddle"] == (4, 3) and ranks["Quarry"] == (3, 4)
    assert {one.block: one.decision for one in score.visits}["Saddle"] == "not_yet"


def test_other_rounds_and_too_few_blocks_are_not_drawn_together(tmp_path):
    days = {"Ford": 3 + ROUND_DAYS + 1}
    score = maturity.score_season(season_of(tmp_path / "season", days=days), pool=True)
    ranked = {visit.block: visit.pooled for visit in score.visits}
    assert ranked["Ford"] is None and ranked["Weir"].blocks == 3
    (note,) = [one for one in score.notes() if "no ranking" in one]
    assert "Ford" in note and "fewer than 3 blocks" in note


def test_the_command_shows_the_ranking_only_when_asked(tmp_path):
    folder = season_of(tmp_path / "season")
    asked = run("score", folder, "--pool", "--json", tmp_path / "a.json", cwd=tmp_path)
    plain = run("score", folder, "--csv", tmp_path / "b.csv", cwd=tmp_path)
    assert "never to" in asked.stdout and "Ranking" not in plain.stdout
    assert max(len(line) for line in asked.stdout.splitlines()) <= 80
    blocks = json.loads((tmp_path / "a.json").read_text())["blocks"]
    assert {one["pooled_rank"] for one in blocks} == {1, 2, 3, 4}
    assert "pooled" not in (tmp_path / "b.csv").read_text()
