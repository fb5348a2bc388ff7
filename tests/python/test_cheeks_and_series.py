"""One fruit in several rows: two cheeks, replicates, and weighings until the mass is constant."""

from __future__ import annotations

import datetime

import pytest
from season_folders import BLOCKS, CLEARED, POLICY, write_files

import maturity
from maturity.readings import meter_readings, oven_readings
from maturity.season.table import ROW_NUMBER

HEAD = "block,tree,date,fruit,dish_g,dish_fresh_g,dish_dried_g,replicate,cheek,hours,balance_g\n"
METER = "block,tree,date,fruit,meter,dm_pct,replicate,cheek\n"
DAY = "2026-11-03"
#: Seven plain fruit, one of each tree, so that a block is estimated at all.
OTHERS = "".join(f"River,{tree},{DAY},1,40,60,{43 + tree / 50:.2f},,,48,\n" for tree in range(2, 9))


def season(folder, oven, meter=METER):
    oven = HEAD + OTHERS + "".join(f"River,1,{DAY},1,{row}\n" for row in oven)
    return write_files(folder, blocks=BLOCKS, policy=POLICY, sprays=CLEARED, oven=oven, meter=meter)


def first_fruit(folder):
    """The reading of tree 1, what is said about it, and the whole score."""
    score = maturity.score_season(folder)
    (visit,) = score.visits
    rows = [row for row in visit.fruit if row["tree"] == "1"]
    assert len(rows) <= 1, "one fruit counted twice"
    said = [note for note in visit.notes if "fruit 1 of tree 1" in note]
    return (rows[0]["oven_dm_pct"] if rows else None), said, score


def test_two_cheeks_are_one_fruit_and_no_duplicates(tmp_path):
    """Cheeks may differ by more than duplicates of one sample; the fruit is their mean."""
    folder = season(tmp_path / "s", ["40,60,43.00,,a,48,", "41,61,44.30,,b,48,"])
    value, said, score = first_fruit(folder)
    assert value == pytest.approx((15.0 + 16.5) / 2) and said == []
    assert score.visits[0].used["fruit_with_oven"] == 8 and not score.season.problems
    # Wrong on purpose: called replicates of one sample, the same two are too far apart.
    value, said, _ = first_fruit(season(tmp_path / "r", ["40,60,43,1,a,48,", "41,61,44.3,2,a,48,"]))
    assert value == pytest.approx(15.75) and "1.50 % apart" in said[0] and "cheek a" in said[0]


def test_a_cheek_read_twice_weighs_no_more_than_the_other(tmp_path):
    rows = ["40,60,43.00,1,a,48,", "40,60,43.02,2,A,48,", "41,61,44.30,,b,48,"]
    value, said, _ = first_fruit(season(tmp_path / "s", rows))
    assert value == pytest.approx((15.05 + 16.5) / 2) and said == []
    key = {"block": "River", "tree": "1", "date": datetime.date(2026, 11, 3), "fruit": 1}
    cells = [(16.0, "a"), (16.4, "A"), (18.2, "b")]
    rows = [{**key, "meter": "M", "setting": None, "dm_pct": dm, "cheek": c} for dm, c in cells]
    (one,) = meter_readings(rows)
    assert one.dm_pct == pytest.approx((16.2 + 18.2) / 2)


def test_two_rows_of_a_fruit_that_say_nothing_of_cheek_or_replicate_are_asked_back(tmp_path):
    value, _, score = first_fruit(season(tmp_path / "s", ["40,60,43,,,48,", "41,61,44.3,,,48,"]))
    assert value is None
    problems = [one for one in score.season.problems if one.file == "oven.csv"]
    assert len(problems) == 2 and "the other cheek cheek" in problems[0].expected
    meter = METER + f"River,1,{DAY},1,M,16,,\nRiver,1,{DAY},1,M,17,,\n"
    _, _, score = first_fruit(season(tmp_path / "m", ["40,60,43,,,48,"], meter))
    problems = [one for one in score.season.problems if one.file == "meter.csv"]
    assert len(problems) == 2 and "needs replicate" in problems[0].expected


@pytest.mark.parametrize(
    ("rows", "value", "said"),
    [
        # Two agreeing weights an hour or more apart (Title 3 CCR s.1408.3: 0.01 g): dry.
        (["40,60,44.00,,,24,", ",,43.41,,,26,", ",,43.40,,,28,"], 17.0, None),
        # Rows may come in any order; a start row may be blank.
        ([",,43.40,,,28,", "40,60,,,,,", ",,43.41,,,26,"], 17.0, None),
        # Lost 0.4 g of 20 g, 2 %: not dry, and does not count.
        (["40,60,43.80,,,24,", ",,43.40,,,26,"], None, "still_losing: 0.40 g less at 26 h"),
        # Lost 0.02 g, 0.1 %: less than an oven repeats, named all the same.
        (["40,60,43.42,,,24,", ",,43.40,,,26,"], 17.0, "it counts, and may read high"),
        # The same on a balance of 0.1 g: its step decides.
        (["40,60,43.5,,,24,0.1", ",,43.4,,,26,0.1"], 17.0, None),
        (["40,60,43.40,,,24,", ",,43.46,,,26,"], 17.0, "gained: heavier than before"),
        (["40,60,43.41,,,24,", ",,43.40,,,24.5,"], 17.0, "cannot_tell: too few weighings"),
        (["40,60,43.40,,,24,", "41,60,43.40,,,26,"], 17.0, "dish_g differs"),
    ],
)
def test_weighings_until_the_mass_is_constant(tmp_path, rows, value, said):
    found, notes, score = first_fruit(season(tmp_path / "s", rows))
    assert found == (None if value is None else pytest.approx(value))
    assert not score.season.problems
    assert (notes == []) if said is None else (len(notes) == 1 and said in notes[0]), notes


def test_a_lighter_weighing_without_hours_means_that_the_last_timed_one_was_wet(tmp_path):
    rows = ["40,60,43.80,,,24,", "40,60,43.40,,,,"]
    value, notes, _ = first_fruit(season(tmp_path / "s", rows))
    assert value is None and any("still_losing: a weighing without hours" in one for one in notes)
    # Heavier or alike it changes nothing but is named.
    rows = ["40,60,43.40,,,24,", "40,60,43.40,,,,"]
    value, notes, _ = first_fruit(season(tmp_path / "r", rows))
    assert value == pytest.approx(17.0) and any("does not count" in one for one in notes)


def test_one_slip_in_one_cheek_is_named_and_widens_no_other_fruit(tmp_path):
    key = {"block": "River", "date": datetime.date(2026, 11, 3), "fruit": 1}

    def rows_of(slip):
        cells = [(str(t), c, 15 + t / 4 + (0.2 if c == "b" else 0)) for t in range(8) for c in "ab"]
        return [
            {**key, "tree": t, "dm_pct": dm + (slip if (t, c) == ("3", "b") else 0), "cheek": c}
            for t, c, dm in cells
        ]

    def readings(slip):
        names = "dish_g dish_fresh_g dish_dried_g replicate hours balance_g dryer dryer_c skin_on"
        blank = dict.fromkeys([*names.split(), "picked_on_purpose"])
        return oven_readings(
            {**blank, ROW_NUMBER: number, **row} for number, row in enumerate(rows_of(slip), 2)
        )

    plain, slipped = readings(0.0), readings(6.0)
    assert not any(one.odd_cheeks for one in plain)
    assert [one.key[1] for one in slipped if one.odd_cheeks] == ["3"]
    (named,) = (one for one in slipped if one.odd_cheeks)
    assert "check both weighings" in named.doubts[-1]
    for before, after in zip(plain, slipped):
        if not after.odd_cheeks:
            assert after.cheek_sd_pct == pytest.approx(before.cheek_sd_pct, abs=0.05)


def test_a_later_weighing_without_its_first_and_an_impossible_one_are_named(tmp_path):
    _, _, score = first_fruit(season(tmp_path / "s", [",,43.40,,,26,"]))
    (problem,) = score.season.problems
    assert (problem.column, problem.value) == ("dish_dried_g", "43.4")
    assert "dish_g and dish_fresh_g beside it" in problem.expected
    _, _, score = first_fruit(season(tmp_path / "t", ["40,60,43.40,,,24,", ",,66,,,26,"]))
    (problem,) = score.season.problems
    assert (problem.row, problem.value) == (10, "66.0") and "possible weighing" in problem.expected


def test_each_replicate_has_its_own_series():
    key = {"block": "River", "tree": "1", "date": datetime.date(2026, 11, 3), "fruit": 1}
    names = ("dm_pct", "dryer", "dryer_c", "skin_on", "balance_g", "picked_on_purpose", "cheek")
    blank = dict.fromkeys(names)
    rows = [
        {
            **key,
            **blank,
            "_row": n,
            "replicate": r,
            "hours": h,
            "dish_g": 40.0,
            "dish_fresh_g": 60.0,
            "dish_dried_g": g,
        }
        for n, (r, h, g) in enumerate([(1, 24, 43.2), (2, 24, 43.9), (1, 26, 43.2), (2, 26, 43.5)])
    ]
    (one,) = oven_readings(rows)
    assert one.dm_pct == pytest.approx(16.0) and one.still_drying
    assert [text.split(":")[0] for text in one.doubts] == ["still_losing"]


def cheeks_of(fruit, both, apart=1.2):
    """Oven rows of so many fruit, so many of them read on both cheeks, `apart` % apart."""
    key = {"block": "River", "date": datetime.date(2026, 11, 3), "fruit": 1}
    names = ("dish_g", "dish_fresh_g", "dish_dried_g", "dryer", "dryer_c", "skin_on", "hours")
    blank = dict.fromkeys((*names, "replicate", "balance_g", "picked_on_purpose"))
    rows = []
    for tree in range(fruit):
        for cheek, dm in [("a", 16.0), ("b", 16.0 + apart)][: 2 if tree < both else 1]:
            row = {"_row": len(rows), "tree": str(tree), "cheek": cheek, "dm_pct": dm + tree / 10}
            rows.append({**key, **blank, **row})
    return rows


def test_what_a_cheek_differs_by_is_error_once_five_fruit_tell():
    """By hand: mean(d^2)/2 = 0.72, less 0.15^2, is the variance of a cheek about its fruit."""
    spread = (0.72 - 0.15**2) ** 0.5
    read = oven_readings(cheeks_of(12, 5))
    assert read[0].cheek_sd_pct == pytest.approx(spread)
    single, pair = [one for one in read if len(one.cheeks) == 1], read[0]
    assert single[0].sd_pct == pytest.approx(0.72**0.5)
    assert pair.sd_pct == pytest.approx(0.6) and pair.dm_pct == pytest.approx(16.6)
    # Wrong on purpose: four fruit tell too little, and nothing changes.
    few = oven_readings(cheeks_of(12, 4))
    assert {one.sd_pct for one in few} == {0.15} and few[0].cheek_sd_pct is None


def test_cheeks_that_agree_add_nothing():
    assert oven_readings(cheeks_of(12, 6, apart=0.0))[-1].sd_pct == pytest.approx(0.15)


def test_the_spread_of_cheeks_is_said_and_taken_out_of_that_of_fruit(tmp_path):
    def rows(both):
        values = [
            (43.0, 43.5),
            (43.8, 43.3),
            (42.9, 43.3),
            (43.6, 43.1),
            (43.2, 43.8),
            (43.5, 43.0),
        ]
        text = HEAD
        for tree, (a, b) in enumerate(values * 2):
            text += f"River,{tree},{DAY},1,40,60,{a},,a,48,\n"
            text += f"River,{tree},{DAY},1,40,60,{b},,b,48,\n" if tree < both else ""
        return text

    spreads = []
    for both in (4, 6):
        folder = tmp_path / str(both)
        write_files(folder, blocks=BLOCKS, policy=POLICY, sprays=CLEARED, oven=rows(both))
        (visit,) = maturity.score_season(folder).visits
        said = [note for note in visit.notes if "cheek differs from its fruit" in note]
        assert len(said) == (both >= 5)
        spreads.append(visit.estimate.spread_sd)
    assert spreads[1] < 0.8 * spreads[0]
