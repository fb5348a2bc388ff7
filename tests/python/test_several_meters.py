"""A visit read with several meters: each has its own bias, and no reading is thrown away."""

from __future__ import annotations

import math

import pytest
from season_folders import BLOCKS, CLEARED, POLICY, oven_table, write_files

import maturity

METER = "block,tree,date,fruit,meter,setting,dm_pct\n"


def truth(tree, fruit):
    return 16.4 + 1.1 * math.sin(2.3 * tree + 1.1 * fruit)


def reading(tree, fruit, meter, setting, bias):
    noise = 0.8 * math.sin(5.1 * tree + 3.7 * fruit + len(meter))
    dm = truth(tree, fruit) + bias + noise
    return f"River,{tree},2026-11-03,{fruit},{meter},{setting},{dm:.2f}\n"


def season_of(folder, *, first=range(1, 11), second=range(6, 11), more=()):
    """Ten trees, four fruit; the first of each in the oven; meter A on odd, B on `second` trees."""
    oven = oven_table([(tree, 1, truth(tree, 1)) for tree in range(1, 11)])
    rows = METER
    for tree in first:
        rows += "".join(reading(tree, fruit, "A", "early", 1.5) for fruit in (1, 2, 3))
    for tree in second:
        rows += "".join(reading(tree, fruit, "B", "", -1.5) for fruit in (1, 4))
    for name in more:
        rows += reading(1, 1, name, "", 0.0)
    return write_files(folder, blocks=BLOCKS, policy=POLICY, sprays=CLEARED, oven=oven, meter=rows)


def test_both_meters_count_each_with_its_bias(tmp_path):
    (visit,) = maturity.score_season(season_of(tmp_path / "season")).visits
    assert visit.meters == ["A (early)", "B"]
    assert visit.used["fruit_with_meter"] == visit.estimate.counts.meter_fruit == 35
    assert not any("meter" in one.what for one in visit.left_out)
    biases = visit.meter_biases()
    for name, true_bias in (("A (early)", 1.5), ("B", -1.5)):
        mean, sd = biases[name]
        assert abs(mean - true_bias) < 2 * sd + 0.1 and sd < 0.6
    assert visit.to_dict()["meter_biases"] == biases
    assert any("each has a bias of its own" in note for note in visit.notes)
    by_second = [row for row in visit.fruit if row["meter"] == "B"]
    assert len(by_second) == 5 and all(row["fruit"] == 4 for row in by_second)
    assert all(row["meter_dm_pct"] < row["mean_dm_pct"] for row in by_second)


def test_the_settings_of_one_meter_are_two_biases(tmp_path):
    folder = season_of(tmp_path / "season", second=())
    text = (folder / "meter.csv").read_text()
    text += "".join(reading(tree, 4, "A", "late", -1.0) for tree in range(1, 11))
    (folder / "meter.csv").write_text(text)
    (visit,) = maturity.score_season(folder).visits
    assert visit.meters == ["A (early)", "A (late)"]
    assert visit.meter_biases()["A (late)"][0] < 0 < visit.meter_biases()["A (early)"][0]


def test_beyond_four_the_meters_with_fewest_readings_are_named(tmp_path):
    folder = season_of(tmp_path / "season", more=("C", "D", "E"))
    (visit,) = maturity.score_season(folder).visits
    assert visit.meters == ["A (early)", "B", "C", "D"]
    (left,) = [one for one in visit.left_out if "meter" in one.what]
    assert left.what == "1 fruit read with meter E" and "at most 4 instruments" in left.reason


def block_of(meter, **more):
    n = 40
    oven = [truth(i // 4, i % 4) if i % 4 == 0 else math.nan for i in range(n)]
    return maturity.estimate_block(
        [i // 4 for i in range(n)], oven=oven, meter=meter, minimum_dm_pct=15, **more
    )


READ = [truth(i // 4, i % 4) + 1 + 0.7 * math.sin(3.3 * i) for i in range(40)]


def test_one_meter_by_name_is_the_same_to_the_last_bit():
    plain = block_of(READ, meter_sep_pct=0.9, meter_sep_n=40)
    named = block_of({"A": READ}, meter_sep_pct={"A": 0.9}, meter_sep_n={"A": 40})
    assert plain.to_dict() == named.to_dict()


def test_two_meters_taken_for_one_are_told_apart():
    """Wrong on purpose: the gap passes for error of the meter, and the mean is known less well."""
    gap = [one - 3 * (i // 4 % 2) for i, one in enumerate(READ)]
    first = [one if i // 4 % 2 == 0 else math.nan for i, one in enumerate(gap)]
    second = [one if i // 4 % 2 == 1 else math.nan for i, one in enumerate(gap)]
    right, wrong, none = block_of({"A": first, "B": second}), block_of(gap), block_of(READ)
    assert right.mean_dm_pct == pytest.approx(none.mean_dm_pct, abs=0.1)
    assert right.mean_dm_sd < 1.1 * none.mean_dm_sd < wrong.mean_dm_sd
    ((mean, _),) = right.further_meter_bias
    assert right.meter_bias[0] - mean == pytest.approx(3, abs=0.4)


@pytest.mark.parametrize(
    ("meter", "more", "said"),
    [
        ({"A": [1.0] * 3}, {}, "meter.*3 values"),
        ({"A": READ, "B": [50.0] + READ[1:]}, {}, "meter 2, fruit in row 1"),
        (dict.fromkeys("ABCDE", READ), {}, "at most 3"),
        ({"A": READ}, {"meter_sep_pct": {"B": 1.0}}, "'B' is not a name in meter"),
        ({"A": READ}, {"meter_sep_pct": 1.0}, "expected a mapping"),
        (READ, {"meter_sep_pct": {"A": 1.0}}, "by name only"),
        ({"A": READ, "B": READ}, {"meter_sep_n": {"B": 10}}, "given with meter_sep_pct"),
    ],
)
def test_misuse_is_named(meter, more, said):
    with pytest.raises(ValueError, match=said):
        block_of(meter, **more)
