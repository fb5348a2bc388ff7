"""Duplicates, the way of drying and the end rule, as a user meets them."""

from __future__ import annotations

import pytest
from season_folders import BLOCKS, CLEARED, POLICY, write_files

import maturity

HEADER = "block,tree,date,fruit,dish_g,dish_fresh_g,dish_dried_g,replicate,dryer,dryer_c,hours\n"


def season_of(folder, *, apart=0.3, way="air oven,65,48"):
    rows = HEADER
    for tree in range(1, 9):
        for replicate, dm in ((1, 17.0), (2, 17.0 + apart if tree == 1 else 17.1)):
            dried = 40 + 0.2 * (dm + 0.2 * tree)
            rows += f"River,{tree},2026-11-03,1,40,60,{dried:.4f},{replicate},{way}\n"
    return write_files(folder, blocks=BLOCKS, policy=POLICY, sprays=CLEARED, oven=rows)


def notes(folder, **settings):
    (visit,) = maturity.score_season(folder, **settings).visits
    return visit.notes


def test_the_limit_of_duplicates_is_a_setting(tmp_path):
    """AOAC 934.06 (dried fruit) asks duplicates to agree within 0.2: the default."""
    folder = season_of(tmp_path / "season")
    (note,) = [one for one in notes(folder) if "duplicates" in one]
    assert "fruit 1 of tree 1" in note and "0.30 % apart, more than 0.2" in note
    assert not any("duplicates" in one for one in notes(folder, duplicate_limit_pct=0.4))
    many = notes(folder, duplicate_limit_pct=0.05)
    assert sum("duplicates" in one for one in many) == 8
    with pytest.raises(ValueError, match="duplicate_limit_pct: -1"):
        notes(folder, duplicate_limit_pct=-1)


@pytest.mark.parametrize(
    ("way", "said"),
    [
        ("air oven,65,48", None),
        (",,", None),
        ("air oven,110,48", "8 oven fruit were dried above 105 degrees C"),
        ("air oven,40,48", "8 oven fruit were dried below 50 degrees C"),
        ("Microwave,,0.5", "8 oven fruit were dried in a microwave"),
        ("air oven,65,", "8 oven fruit: neither drying time nor end rule"),
        ("air oven,65,0", "8 oven fruit: neither drying time nor end rule"),
    ],
)
def test_doubts_about_the_way_of_drying_are_said_once(tmp_path, way, said):
    found = [one for one in notes(season_of(tmp_path / "season", way=way)) if "8 oven" in one]
    assert len(found) == (0 if said is None else 1)
    assert said is None or found[0].startswith(said)


@pytest.mark.parametrize(
    ("second", "said"),
    [
        ("microwave,,0.5", "dried in 2 ways (5: air oven, 65 degrees C; 3: microwave)"),
        ("Air Oven,65,40", None),
        ("air oven,70,48", "dried in 2 ways"),
    ],
)
def test_ways_of_drying_that_do_not_compare_are_named(tmp_path, second, said):
    folder = season_of(tmp_path / "season", apart=0.1)
    lines = (folder / "oven.csv").read_text().splitlines()
    for index, line in enumerate(lines):
        if line.startswith(("River,6", "River,7", "River,8")):
            lines[index] = line.replace("air oven,65,48", second)
    (folder / "oven.csv").write_text("\n".join(lines) + "\n")
    found = [note for note in notes(folder) if "ways" in note]
    assert (found == []) if said is None else (len(found) == 1 and said in found[0])


@pytest.mark.parametrize(
    ("hours", "grams", "state", "dried"),
    [
        ([24, 26, 28], [47.31, 46.93, 46.92], "finished", 46.92),
        ([24, 26], [47.31, 46.93], "still_losing", None),
        ([24, 24.2], [46.93, 46.93], "cannot_tell", None),
        ([24, 26], [46.93, 47.10], "gained", None),
    ],
)
def test_drying_ends_at_constant_mass(hours, grams, state, dried):
    """Two agreeing weights: Title 3 California Code of Regulations s.1408.3 (to 0.01 g)."""
    result = maturity.judge_drying(hours, grams)
    assert (result.state, result.dish_dried_g) == (state, dried)


def test_the_end_rule_is_a_setting_and_bad_weighings_are_named():
    grams = [47.31, 46.93, 46.90]
    assert maturity.judge_drying([24, 26, 28], grams).state == "still_losing"
    assert maturity.judge_drying([24, 26, 28], grams, within_g=0.05).state == "finished"
    with pytest.raises(ValueError, match="one weight for each hour"):
        maturity.judge_drying([24], grams)
    with pytest.raises(ValueError, match="-1"):
        maturity.judge_drying([24, 26], [46.9, -1])
