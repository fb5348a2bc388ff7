"""Damage by cause, what shows late, timings against the user's limits, and the people's safety."""

from __future__ import annotations

import re

import pytest
from picked_files import DAYS, checks, limits, line

from maturity.people_note import CAUTIONS, DEFER
from maturity.picked_sentences import late_sentence, two_looks_note
from maturity.sap_log import trends_note

CONTACT = "date,block,crew,method,bin,time,to_wash_s,in_wash_s,stem_mm\n"


def look(crew, bin_name, seen_at, checked, **counts):
    return "".join(
        line(crew, bin_name, count, finding=name, seen_at=seen_at, checked=checked)
        for name, count in counts.items()
    )


def test_marks_from_before_harvest_are_no_crews_doing(tmp_path):
    made = checks(
        tmp_path,
        look("East", 1, "arrival", 50, blemish=20, lenticel=5, damaged_fruit=0, none=25),
        look("North", 2, "arrival", 50, rub=10, damaged_fruit=10, none=40),
    )
    assert {row.finding for row in made.two_looks if row.before_harvest} == {"blemish", "lenticel"}
    shown = made.to_dict()["crews"]["East"]["damage"]["arrival"]
    assert shown["any"]["damaged_fruit"] == 0
    advice = {one["name"]: one for one in made.change}
    assert advice["blemish"]["changes"] == []
    assert [place for place, _ in advice["rub"]["changes"]] == [
        "at the tree",
        "at the mat or belt",
        "in the bin",
        "in the shed",
    ]
    assert advice["rub"]["source"] and advice["rub"]["cause"]


def any_damage(made, crew):
    one = made.to_dict()["crews"][crew]["damage"]["arrival"]["any"]
    return None if one is None else (one["damaged_fruit"], one["checked"])


def test_damaged_bins_do_not_drop_out_beside_clean_ones(tmp_path):
    clean = [look("East", n, "arrival", 50, none=50) for n in (2, 3, 4)]
    clean += [look("North", n, "arrival", 50, none=50) for n in (5, 6)]
    single = checks(
        tmp_path / "a", look("East", 1, "arrival", 50, immature=3, sap_burn=20, none=28), *clean
    )
    assert any_damage(single, "East") == (20, 200)
    several = look("East", 1, "arrival", 50, sap_burn=20, rub=5, none=28)
    marks = checks(tmp_path / "b", several, *clean)
    assert any_damage(marks, "East") == (22, 200), "50 less 28 without any finding"
    mixed = look("East", 1, "arrival", 50, immature=3, sap_burn=20, rub=5, none=25)
    made = checks(tmp_path / "c", mixed, *clean)
    assert any_damage(made, "East") is None and any_damage(made, "North") == (0, 100)
    assert f"crew East, {DAYS[0]}, on arrival: damaged fruit not counted" in " ".join(made.notes)
    assert made.to_dict()["crews"]["East"]["checked"] == 200, "immature fruit are still counted"


def test_open_looks_count_one_mark_and_not_some_of_them(tmp_path):
    rubbed = [look("East", n, "arrival", 50, rub=5) for n in range(3)]
    assert any_damage(checks(tmp_path / "a", *rubbed), "East") == (15, 150)
    made = checks(tmp_path / "b", *rubbed, look("East", 9, "arrival", 50, rub=0))
    assert made.damaged == {}, "nobody closed the record: other marks may be there"


def test_what_shows_late_is_said_per_crew(tmp_path):
    lines = []
    for n in range(4):
        for crew, late in (("East", 15), ("North", 1)):
            lines.append(look(crew, f"{crew}{n}", "arrival", 100, bruise=1, none=99))
            lines.append(look(crew, f"{crew}{n}", "held", 60, bruise=late, none=60 - late))
    made = checks(tmp_path, *lines, look("South", 3, "held", 10, bruise=5, none=5))
    rows = {row.crew: row for row in made.two_looks if row.finding == "bruise"}
    assert rows["East"].late.rose is True and rows["North"].late.rose is False
    assert rows["South"].late is None and rows["South"].arrival is None
    assert late_sentence(rows["East"]).startswith("East: bruise shows late, 24 in 100 more")
    assert late_sentence(rows["North"]) is None


def test_days_that_differ_do_not_show_late(tmp_path):
    """A clean day without held fruit must not make the other day's damage rise."""
    made = checks(
        tmp_path,
        look("East", "a", "arrival", 400, bruise=2, damaged_fruit=2),
        look("East", "b", "arrival", 100, bruise=12, damaged_fruit=12).replace(DAYS[0], DAYS[1]),
        look("East", "b", "held", 200, bruise=24, damaged_fruit=24).replace(DAYS[0], DAYS[1]),
    )
    for row in made.two_looks:
        assert row.late.rose is False and row.late.difference == pytest.approx(0)
        assert late_sentence(row) is None
    shown = made.to_dict()["crews"]["East"]["two_looks"]["bruise"]
    assert shown["arrival"] == {"count": 14, "checked": 500}
    # 100 and 200 fruit: sum m^2 / sum m = 50000 / 300, at the assumed likeness.
    assert shown["design_effect"] == pytest.approx(1 + (50000 / 300 - 1) * 0.03)
    assert shown["design_effect_known"] is False


def test_arrival_is_weighted_to_the_fruit_held(tmp_path):
    """Shares of both days stay as they are; only how many were held differs."""
    made = checks(
        tmp_path,
        look("East", "a", "arrival", 400, bruise=4, none=396),
        look("East", "a", "held", 40, bruise=0, none=40),
        look("East", "b", "arrival", 40, bruise=20, none=20).replace(DAYS[0], DAYS[1]),
        look("East", "b", "held", 400, bruise=200, none=200).replace(DAYS[0], DAYS[1]),
    )
    (row,) = [row for row in made.two_looks if row.finding == "bruise"]
    weighted = (40 * 4 / 400 + 400 * 20 / 40) / 440
    assert row.late.difference == pytest.approx(200 / 440 - weighted) and row.late.rose is False


def test_bins_too_few_to_tell_are_taken_as_alike(tmp_path):
    """9 of 50 against none would stand if every fruit stood for itself."""
    made = checks(
        tmp_path, look("East", 1, "arrival", 50, bruise=0), look("East", 1, "held", 50, bruise=9)
    )
    assert all(row.late.rose is False for row in made.two_looks if row.late is not None)


def test_held_fruit_under_another_date_are_said(tmp_path):
    """The date is the day of picking: held looks dated when they were made match nothing."""
    arrival = [look("East", n, "arrival", 50, bruise=2, none=48) for n in range(3)]
    held = look("East", "", "held", 60, bruise=14, none=46)
    made = checks(tmp_path / "a", *arrival, held.replace(DAYS[0], DAYS[2]))
    assert all(row.late is None for row in made.two_looks)
    assert any("1 of 1 looks after holding have no look on arrival" in one for one in made.notes)
    same = checks(tmp_path / "b", *arrival, held)
    assert not any("looks after holding" in note for note in same.notes)


def test_nothing_held_is_said(tmp_path):
    made = checks(tmp_path, line("East", 1, 2))
    assert "counted too low" in two_looks_note(made)


def test_timings_are_held_against_the_users_limits_only(tmp_path):
    rows = [
        f"2026-11-{20 + day},River,East,pole,,07:30,{4 + 2 * day + 0.1 * i},60,\n"
        for day in range(7)
        for i in range(4)
    ]
    rows += [f"{DAYS[0]},River,North,pole,,,3,,90\n"] * 2
    text = CONTACT + "".join(rows)
    given = limits(time_to_the_wash_at_most=5, stem_at_least=100)
    made = checks(tmp_path, line("East", 1, 2), contact=text, limits=given)
    found = {(one.crew, one.measure): one for one in made.contact}
    east = found["East", "to_wash_s"]
    assert (east.summary.outside, east.summary.count, east.summary.longest) == (24, 28, 16.3)
    assert east.summary.rising and east.trend_text.startswith("rising: +2 s a day")
    stems = found["North", "stem_mm"].summary
    assert (stems.count, stems.outside) == (2, 2), "two fruit with the same stem are two fruit"
    assert found["East", "in_wash_s"].summary.outside is None
    bare = checks(tmp_path / "b", line("East", 1, 2), contact=text)
    east = next(one for one in bare.contact if one.measure == "to_wash_s")
    assert east.summary.outside is None
    assert east.limit_text == "no limit set (common practice, no source: at most 5 s)"
    few = checks(
        tmp_path / "c", line("East", 1, 2), contact=CONTACT + "".join(rows[:16]), limits=given
    )
    assert few.contact[0].summary.rising is None
    assert few.contact[0].trend_text == "cannot tell from 4 days: 5 at least"
    assert "Fewer than 5 days timed" in trends_note(few.contact)
    assert trends_note(made.contact) is None
    stems = next(one for one in bare.contact if one.measure == "stem_mm")
    assert "at least 100 mm, at most 200 mm" in stems.limit_text


@pytest.mark.parametrize(
    ("row", "sentence"),
    [
        (f"{DAYS[0]},River,East,,,,-1,,", "column to_wash_s: found '-1'"),
        (f"{DAYS[0]},River,East,,,,,,", "expected to_wash_s, or in_wash_s, or stem_mm"),
        (f"{DAYS[0]},Nowhere,East,,,,4,,", "column block: found 'Nowhere'"),
    ],
)
def test_bad_timings_are_named(tmp_path, row, sentence):
    made = checks(tmp_path, line("East", 1, 2), contact=CONTACT + row + "\n")
    assert any(sentence in str(problem) for problem in made.problems), made.problems
    assert made.contact == [] and not made.complete


def test_heat_note_uses_the_users_limit(tmp_path):
    ahead = f"date,tmin_c,tmax_c,source\n{DAYS[1]},25,38,x\n{DAYS[0]},24,31,x\n"
    made = checks(tmp_path, line("East", 1, 2), weather_ahead=ahead, limits=limits(hot_day_from=35))
    assert [(str(note.date), note.hot) for note in made.heat] == [(DAYS[0], False), (DAYS[1], True)]
    for word in ("shade", "rest", "water within reach", "start early"):
        assert word in made.heat[1].sentence()
    assert "Water, shade and rest within reach all the same." in made.heat[0].sentence()
    bare = checks(tmp_path / "b", line("East", 1, 2), weather_ahead=ahead)
    assert bare.heat[0].hot is None and "no limit" in bare.heat[0].sentence()


def test_cautions_are_short_and_hold_no_dose_and_no_volume():
    text = " ".join((*CAUTIONS, DEFER))
    for word in ("Sap", "eye", "Sun", "Ladders", "platforms", "Blades", "local codes", "seek help"):
        assert word in text
    assert len(text) < 900
    assert not re.search(r"\d\s*(ml|l|litre|mg|g|%|minutes?|hours?)\b", text)
