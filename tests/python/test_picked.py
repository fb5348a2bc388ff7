"""Picked fruit: shares by crew, what differs, what cannot be told, what is wrong in the file."""

from __future__ import annotations

import csv
import itertools
import json

import numpy
import pytest
from picked_files import DAYS, HEADER, PRICES, checks, line
from sample_season import SEASON, rows
from season_folders import BLOCKS, write_files
from statsmodels.stats.proportion import proportion_confint
from test_commands import run

import maturity


def three_crews(**changes):
    found = {"East": (12, 14, 13, 11), "North": (1, 3, 2, 2), "South": (2, 2, 1, 3)}
    return [
        line(crew, f"{crew[0]}{number}", count, date=DAYS[number % 3], **changes)
        for crew, counts in found.items()
        for number, count in enumerate(counts)
    ]


def test_json_says_share_interval_and_whether_a_crew_differs(tmp_path):
    crews = checks(tmp_path, *three_crews()).to_dict()["crews"]
    assert {name: one["differs"] for name, one in crews.items()} == {
        "East": True,
        "North": False,
        "South": False,
    }
    north = crews["North"]
    assert (north["checked"], north["immature"], north["share"]) == (200, 8, 0.04)
    assert north["wilson"] == pytest.approx(proportion_confint(8, 200, 0.05, "wilson"))
    assert north["interval"][0] <= north["wilson"][0] < 0.04 < north["wilson"][1]
    assert north["by_eye_or_not_said"] is False and north["judged_by"] == ["cut"]
    json.dumps(crews, allow_nan=False)


def test_verdict_follows_the_days_that_crews_share(tmp_path):
    """Raw shares say the opposite: one crew has a good day of its own."""
    from maturity.picked_sentences import crew_sentence

    lines = [line("East", f"E{n}", 4 + n % 3) for n in range(6)]
    lines += [line("North", f"N{n}", 14 + n % 3) for n in range(6)]
    lines += [line("North", f"A{n}", n % 2, date=DAYS[1]) for n in range(30)]
    made = checks(tmp_path, *lines)
    east, north = made.immature.crews
    assert north.share < 0.1 < north.own_share == pytest.approx(0.3)
    assert north.differs and "North: more immature fruit" in crew_sentence(north, "immature fruit")
    assert "30.0 in 100 there against 10.0" in crew_sentence(north, "immature fruit")
    assert "East: fewer immature fruit" in crew_sentence(east, "immature fruit")
    assert north.shrunk_share > east.shrunk_share


def test_too_little_is_neither_different_nor_the_same(tmp_path):
    few = [line("East", 1, 9, checked=10), line("North", 2, 0), line("North", 3, 1)]
    east = checks(tmp_path, *few).to_dict()["crews"]["East"]
    assert east["differs"] is None and east["reason"] == "too_few_fruit"


def test_crews_of_different_blocks_are_not_compared(tmp_path):
    lines = [line("East", n, 12) for n in (1, 2)]
    lines += [line("North", n, 1, block="Hill") for n in (3, 4)]
    made = checks(tmp_path, *lines)
    crews = made.to_dict()["crews"]
    assert crews["East"]["differs"] is None and crews["East"]["reason"] == "nobody_to_compare"
    places = made.to_dict()["blocks_and_methods"]
    assert [(one["block"], list(one["crews"])) for one in places] == [
        ("Hill", ["North"]),
        ("River", ["East"]),
    ]


def test_methods_are_kept_apart(tmp_path):
    lines = [line("East", n, 12, method="pole") for n in (1, 2)]
    lines += [line("East", n, 1, method="platform") for n in (3, 4)]
    places = checks(tmp_path, *lines).to_dict()["blocks_and_methods"]
    assert [one["crews"]["East"]["immature"] for one in places] == [2, 24]


def test_held_fruit_are_not_counted_a_second_time_as_immature(tmp_path):
    arrival = [line("East", 1, 5), line("East", 1, 45, finding="none")]
    held = [
        line("East", 1, 7, seen_at="held"),
        line("East", 1, 9, finding="bruise", seen_at="held"),
    ]
    made = checks(tmp_path, *arrival, *held)
    east = made.to_dict()["crews"]["East"]
    assert (east["checked"], east["immature"]) == (50, 5)
    assert east["damage"]["arrival"]["findings"] == {}
    assert east["damage"]["held"]["any"]["damaged_fruit"] == 9
    assert made.findings("East", "held") == {"bruise": {"count": 9, "checked": 50}}


def test_what_was_not_looked_for_is_not_zero(tmp_path):
    made = checks(tmp_path, line("East", 1, 3, finding="rub"), line("North", 2, 50, finding="none"))
    crews = made.to_dict()["crews"]
    assert crews["East"]["share"] is None and crews["East"]["reason"] == "not_looked_for"
    assert crews["North"]["share"] == 0
    assert f"bin 1 ({DAYS[0]}) of crew East: no row for immature" in made.notes[0]
    many = [line("East", n, 3, finding="rub", date=DAYS[n % 2]) for n in range(6)]
    made = checks(tmp_path / "b", *many, line("North", 9, 50, finding="none"))
    assert [note for note in made.notes if "no row for immature" in note] == [
        "6 bins of crew East on 2 days: no row for immature, so taken as not looked for (write a "
        "row with count 0)"
    ]
    nobody = checks(tmp_path / "c", *many)
    assert not any("no row for immature" in note for note in nobody.notes)


def test_rows_written_only_where_some_were_found_make_no_share(tmp_path):
    """East's clean bins have no row for immature: 6 of 300 would read as 6 of 100."""
    clean = [line("East", n, 2, finding="rub") for n in range(4)]
    lines = [*clean, line("East", 8, 3), line("East", 9, 3)]
    lines += [line("North", n, 1, date=day) for n in range(20, 26) for day in DAYS[:2]]
    made = checks(tmp_path, *lines, line("East", 10, 2, date=DAYS[1]))
    east = made.to_dict()["crews"]["East"]
    assert (east["checked"], east["immature"]) == (50, 2), "the day with all rows stays"
    assert f"crew East, {DAYS[0]}: immature fruit not counted, since 4 of 6 looks" in made.notes[0]
    # Who writes a 0 where there is none left out the others on purpose.
    stated = checks(tmp_path / "b", *lines, line("East", 11, 0))
    assert stated.to_dict()["crews"]["East"]["checked"] == 150


def test_a_difference_that_is_one_days_is_not_the_crews(tmp_path):
    from maturity.picked_sentences import crew_sentence

    def season(folder, extra):
        lines = [
            line(crew, f"{crew}{n}", 5 + n % 2 + (more if crew == "East" else 0), date=day)
            for day, more in zip(DAYS, extra)
            for crew in ("East", "North", "South")
            for n in range(4)
        ]
        return checks(folder, *lines).immature.crews[0]

    east = season(tmp_path / "a", (28, -4, 0))
    assert east.differs is None and east.reason == "days_not_told"
    assert "not on every day alike" in crew_sentence(east, "immature fruit")
    east = season(tmp_path / "b", (8, 8, 8))
    assert east.differs and "more on 3 of 3 days" in crew_sentence(east, "immature fruit")
    single = checks(
        tmp_path / "c",
        *[line("East", f"E{n}", 20 + n % 2) for n in range(6)],
        *[line("North", f"N{n}", 3 + n % 2) for n in range(6)],
    ).immature.crews[0]
    assert "on one day only: it may be the trees" in crew_sentence(single, "immature fruit")


def test_judged_by_eye_is_marked(tmp_path):
    made = checks(tmp_path, line("East", 1, 3, by="by eye"), line("North", 2, 3, by=""))
    crews = made.to_dict()["crews"]
    assert crews["East"]["by_eye_or_not_said"] and crews["North"]["by_eye_or_not_said"]


@pytest.mark.parametrize(
    ("words", "by_eye"),
    [
        *((words, False) for words in ("cut", "Cut open", "oven", "meter A", "oven and meter")),
        *((words, True) for words in ("by colour", "not cut", "by-eye", "eyeballed", "x", "")),
        *((words, True) for words in ("cut or by eye", "uncut", "no meter")),
    ],
)
def test_only_words_of_measuring_count_as_measured(tmp_path, words, by_eye):
    made = checks(tmp_path, line("East", 1, 3, by=words))
    assert made.to_dict()["crews"]["East"]["by_eye_or_not_said"] is by_eye


def test_a_clean_bin_is_judged_as_its_other_rows_say(tmp_path):
    lines = []
    for n in range(4):
        lines.append(line("East", f"E{n}", 50, finding="none"))
        lines.append(line("North", f"N{n}", 20) + line("North", f"N{n}", 30, finding="none"))
    made = checks(tmp_path, *lines)
    east = made.to_dict()["crews"]["East"]
    assert east["by_eye_or_not_said"] is False and east["judged_by"] == ["cut"]
    assert east["differs"] is True and list(made.by_place) == [("River", "pole")]
    mixed = line("East", 1, 50, finding="none", by="") + line("East", 1, 0, finding="rub")
    made = checks(tmp_path / "b", mixed)
    assert made.to_dict()["crews"]["East"]["judged_by"] == ["cut"]


def test_immature_after_holding_are_not_compared_with_those_on_arrival(tmp_path):
    lines = [line("East", f"E{n}", 1, seen_at="held") for n in range(4)]
    lines += [line("North", f"N{n}", 20) for n in range(4)]
    made = checks(tmp_path, *lines)
    for crew in ("East", "North"):
        assert made.to_dict()["crews"][crew]["reason"] == "nobody_to_compare"
    assert [method for _, method in made.by_place] == ["pole", "pole (after holding)"]


def test_a_meters_error_is_named(tmp_path):
    from maturity.picked_sentences import judging_notes

    made = checks(tmp_path, line("East", 1, 3, by="meter A"), line("North", 2, 3, by="by-eye"))
    eye, meter = judging_notes(made)
    assert "by eye" in eye and "its error moves fruit" in meter


def test_days_are_held_against_limits_and_a_single_day_tells_nothing(tmp_path):
    lines = [
        line("East", f"{day}{n}", 25 if day == DAYS[2] else 2, date=day)
        for day in DAYS
        for n in range(4)
    ]
    made = checks(tmp_path, *lines)
    assert [one["checked"] for one in made.days] == [200, 200, 200]
    assert [one["beyond_limits"] for one in made.days] == [True, True, True]
    alone = checks(tmp_path, *lines[:4])
    assert alone.days[0]["beyond_limits"] is None


def test_limits_of_days_know_how_much_bins_vary(tmp_path):
    from maturity.picked_sentences import days_notes

    def days(folder, found, names):
        lines = [
            line("East", name and f"{day}{n}", count, date=day, time=f"0{n}:00")
            for day, counts in zip(DAYS, found)
            for n, (name, count) in enumerate(zip(names, counts))
        ]
        return checks(folder, *lines)

    found = [(2, 14, 0, 12), (0, 9, 1, 10), (16, 2, 3, 11)]
    made = days(tmp_path / "a", found, "abcd")
    row = made.days[0]
    assert row["design_effect_known"] and row["design_effect"] == pytest.approx(
        maturity._core.compare_crews(
            [
                maturity._core.BinCheck(
                    block="B", method=day, date=day, crew="E", bin=str(n), checked=50, found=count
                )
                for day, counts in zip(DAYS, found)
                for n, count in enumerate(counts)
            ]
        ).design_effect
    )
    half = 3 * (row["centre"] * (1 - row["centre"]) * row["design_effect"] / 200) ** 0.5
    assert row["limits"][1] == pytest.approx(row["centre"] + half)
    assert f"where {row['design_effect']:.1f} fruit of a bin tell" in days_notes(made)[0]
    # One look of a day tells nothing of bins: 50 fruit vary 2.47 times as much, as assumed.
    unknown = days(tmp_path / "b", [(9,), (2,), (3,)], "a")
    assert unknown.days[0]["design_effect"] == pytest.approx(2.47)
    assert not unknown.days[0]["design_effect_known"]
    assert "one drawn by itself (assumed" in days_notes(unknown)[0]
    assert "A single day" in days_notes(days(tmp_path / "c", [(9,)], "a"))[0]


def test_a_single_day_is_shown_with_its_cost(tmp_path):
    folder = write_files(tmp_path, blocks=BLOCKS, picked=HEADER + line("East", 1, 5), prices=PRICES)
    shown = " ".join(run("check", folder, cwd=tmp_path).stdout.split())
    assert f"{DAYS[0]}, River, pole, immature fruit of 1 bins looked into or stated: 100 (" in shown
    assert "A single day of a block and method has no limits" in shown


def test_bins_that_stand_out_are_shown_and_all_are_written(tmp_path):
    lines = [line(crew, f"{crew}{n}", n % 3) for crew in ("East", "North") for n in range(5)]
    lines += [line("North", "odd", 18), line("South", "s", 4, finding="rub")]
    folder = write_files(tmp_path / "s", blocks=BLOCKS, picked=HEADER + "".join(lines))
    done = run("check", folder, "--csv", tmp_path / "b.csv", cwd=tmp_path)
    shown = " ".join(done.stdout.split())
    assert f"{DAYS[0]} River North odd 18 of 50 36.0 22.9 to 50.8 1.6" in shown
    assert "1 of 11 bins has more immature fruit than the others" in shown
    table = list(csv.DictReader((tmp_path / "b.csv").open(encoding="utf-8")))
    assert len(table) == 12
    odd = next(row for row in table if row["bin"] == "odd")
    assert (odd["immature"], odd["immature_stands_out"], odd["damaged"]) == ("18", "yes", "")
    assert [row["immature_stands_out"] for row in table].count("yes") == 1
    # Blank, not 0, where nobody looked.
    south = next(row for row in table if row["bin"] == "s")
    assert (south["immature"], south["damaged"], south["damaged_share"]) == ("", "4", "0.08")
    assert float(odd["immature_low"]) == pytest.approx(proportion_confint(18, 50, 0.05, "beta")[0])


def test_no_bin_standing_out_is_said(tmp_path):
    from maturity.picked_bins import bins_sentence, standing_out

    made = checks(tmp_path / "a", *three_crews())
    assert standing_out(made.bins, "damaged_fruit") == []
    assert bins_sentence(made.bins, "damaged_fruit") is None
    alike = checks(tmp_path / "b", *[line("East", n, n % 3) for n in range(8)])
    assert bins_sentence(alike.bins, "immature").startswith("No bin of 8 has more immature fruit")
    alone = checks(tmp_path / "c", line("East", 1, 40))
    assert "No bin has another" in bins_sentence(alone.bins, "immature")


def test_cost_of_a_bin_by_hand(tmp_path):
    """8 of 200 are 4 %: of 500 kg 20 kg, at 3 a kg 60."""
    prices = "what,value,unit\nprice,3,money/kg\nfruit mass,0.4,kg\nbin mass,500,kg\n"
    cost = checks(tmp_path, *three_crews(), prices=prices).to_dict()["crews"]["North"]
    assert cost["cost_per_bin"]["mass_kg"]["value"] == pytest.approx(20)
    assert cost["cost_per_bin"]["money"]["value"] == pytest.approx(60)
    wrong = checks(tmp_path, *three_crews(), prices=prices.replace("0.4,kg", "400,g"))
    assert wrong.costs == {} and "'fruit mass'" in wrong.notes[0]


@pytest.mark.parametrize(
    ("bad", "sentence"),
    [
        (
            line("East", 9, 9) + line("East", 9, 45, finding="none"),
            "row 2, column count: found '9'; expected at most 5, since row 3 has 45 with none",
        ),
        (
            line("East", 9, 4, finding="rub") + line("East", 9, 3, finding="damaged_fruit"),
            "row 3, column count: found '3'; expected at least the 4 fruit with rub",
        ),
        (line("East", 9, 51), "row 2, column count: found '51'; expected at most the 50 fruit"),
        (line("East", 9, 1, finding="imature"), "column finding: found 'imature'"),
        (line("East", 9, 0, checked=0), "column fruit_checked: found '0'"),
        (line("East", 9, -1), "column count: found '-1'"),
        (
            line("East", 9, 1) + line("East", 9, 1, finding="rub", checked=40),
            "row 3, column fruit_checked: found '40'; expected 50 as in row 2 of the same look",
        ),
        (
            line("East", 9, 1, by="a") + line("East", 9, 2, by="b"),
            "row 3, column finding: found 'immature'; expected each finding of a look once",
        ),
        (
            line("East", 9, 1) + line("East", 9, 49, finding="none", method=""),
            "row 2, column method: found 'pole'; expected one method for a bin of a crew and day, "
            "not 'pole' and ''",
        ),
        (
            line("East", 9, 1, load="L1") + line("East", 9, 49, finding="none", load="L2"),
            "row 3, column load: found 'L2'; expected 'L1' as in another row of the same look",
        ),
    ],
)
def test_bad_input_is_named_and_the_rest_is_kept(tmp_path, bad, sentence):
    made = checks(tmp_path, bad, *three_crews())
    assert any(sentence in str(problem) for problem in made.problems), made.problems
    assert made.to_dict()["crews"]["North"]["checked"] == 200
    assert "9" not in {look.bin for look in made.looks if "fruit_checked: found '40'" in sentence}
    assert not made.complete


def test_a_row_left_out_does_not_become_a_zero(tmp_path):
    """A look that lost a row is left out; so is one whose findings leave fruit unexplained."""
    bad = [
        line("East", 1, 80) + line("East", 1, 30, finding="none"),
        line("East", 2, 20, finding="sapburn") + line("East", 2, 30, finding="none"),
        line("East", 3, 20, block="Rivr") + line("East", 3, 30, finding="none"),
        line("East", 4, 20, date="24.11.") + line("East", 4, 30, finding="none"),
        line("East", 5, 10, finding="none"),
        line("East", 6, 40, finding="damaged_fruit")
        + line("East", 6, 2, finding="rub")
        + line("East", 6, 10, finding="none"),
        line("East", 7, 3, finding="rub") + line("East", 7, "x"),
        line("East", 8, 20, by="cut,twice") + line("East", 8, 30, finding="none"),
    ]
    made = checks(tmp_path, *bad, *three_crews())
    assert not {str(n) for n in range(1, 9)} & {look.bin for look in made.looks}
    said = " ".join(str(problem) for problem in made.problems)
    for name in (1, 2, 3, 4, 7, 8):
        assert f"bin {name} of crew East, {DAYS[0]}, left out whole" in said
    assert "at least 50 (a row none counts the fruit on which nothing" in said
    assert "since the findings of this look are 0 at most" in said
    assert "at least 48 (a row none counts the fruit on which nothing" in said
    assert "since the findings of this look are 2 at most" in said
    assert made.to_dict()["crews"]["East"]["checked"] == 200


def test_damaged_fruit_are_not_added_to_their_own_marks(tmp_path):
    rows = [
        line("East", 1, count, finding=name)
        for name, count in (("damaged_fruit", 6), ("rub", 4), ("bruise", 3), ("none", 44))
    ]
    assert len(checks(tmp_path, *rows).looks) == 1


def test_names_that_differ_by_case_or_spaces_are_offered_and_not_merged(tmp_path):
    made = checks(tmp_path, *three_crews(), line("north ", 8, 1), line("Nor th", 9, 1))
    assert {"North", "north", "Nor th"} <= set(made.crews)
    assert len(made.similar_names) >= 2 and not made.complete
    timed = "date,block,crew,to_wash_s\n2026-11-24,River,ÉAST,4\n"
    made = checks(tmp_path / "b", *three_crews(), line("éast", 8, 1), contact=timed)
    assert made.similar_names == [("ÉAST", "éast")]


def test_similar_methods_and_bins_are_offered(tmp_path):
    made = checks(
        tmp_path, line("East", "B1", 3), line("East", "b 1", 2), line("North", 3, 1, method="Pole ")
    )
    notes = " ".join(made.notes)
    assert "methods 'Pole' and 'pole' are counted as 2: write one name if one" in notes
    assert "bins 'B1' and 'b 1' are counted as 2" in notes
    assert "are counted as" not in " ".join(checks(tmp_path / "b", *three_crews()).notes)


def test_cut_fruit_are_not_compared_with_fruit_judged_by_eye(tmp_path):
    lines = [line("East", n, 12, by="by eye") for n in range(4)]
    lines += [line("North", n + 4, 1) for n in range(4)]
    made = checks(tmp_path, *lines)
    crews = made.to_dict()["crews"]
    assert crews["East"]["differs"] is None and crews["East"]["reason"] == "nobody_to_compare"
    assert [place[1] for place in made.by_place] == ["pole", "pole (by eye or not said)"]


def test_crews_of_other_days_are_not_compared(tmp_path):
    lines = [line("East", n, 12, date=DAYS[0]) for n in range(4)]
    lines += [line("North", n + 4, 1, date=DAYS[1]) for n in range(4)]
    east = checks(tmp_path, *lines).to_dict()["crews"]["East"]
    assert east["differs"] is None and east["reason"] == "other_days"


def test_every_bin_has_its_share_and_exact_interval(tmp_path):
    bins = checks(tmp_path, *three_crews()).to_dict()["bins"]
    assert len(bins) == 12 and bins[0]["crew"] == "East" and bins[0]["share"] == 12 / 50
    assert bins[0]["interval"] == pytest.approx(proportion_confint(12, 50, 0.05, "beta"))


def test_day_costs_all_bins_that_are_known(tmp_path):
    """50 of 300 in 6 bins of 1,000 fruit: 1,000 fruit, 400 kg, 1,200."""
    lines = [line("East", n, 5) for n in range(2)] + [line("North", n, 10) for n in (3, 4, 5, 6)]
    (day,) = checks(tmp_path, *lines, prices=PRICES).days
    assert (day["bins"], day["all_bins_known"]) == (6, False)
    assert day["cost"].fruit.value == pytest.approx(1000)
    assert day["cost"].money.value == pytest.approx(1200)


def test_day_costs_only_bins_judged_in_that_way(tmp_path):
    lines = [line("East", n, 5, load="L", load_bins=9) for n in range(2)]
    lines += [line("East", n, 10, by="eye", load="L", load_bins=9) for n in (3, 4, 5)]
    days = {row["method"]: row for row in checks(tmp_path, *lines, prices=PRICES).days}
    assert {method: row["bins"] for method, row in days.items()} == {
        "pole": 2,
        "pole (by eye or not said)": 3,
    }
    assert days["pole"]["cost"].fruit.value == pytest.approx(200)
    assert not days["pole"]["all_bins_known"]


def test_money_has_no_false_precision():
    from maturity import _core
    from maturity.picked_costs import as_known, cost_text

    cost = _core.cost_of_share(
        0.1234, (0.05, 0.23), fruit=12345, fruit_mass_g=380, price_per_kg=3.1, fruit_per_tray=None
    )
    assert as_known(cost.money) == (1800, 700, 3300)
    assert "worth 1800 (700 to 3300)" in cost_text(cost)


def test_what_there_is_is_never_rounded_to_nothing():
    from maturity import _core
    from maturity.picked_costs import as_known, cost_text

    cost = _core.cost_of_share(
        0.002, (0.0001, 0.2), fruit=1000, fruit_mass_g=400, price_per_kg=3, fruit_per_tray=None
    )
    assert as_known(cost.fruit) == (2, pytest.approx(0.1), 200)
    assert cost_text(cost).startswith("2 (0.1 to 200) fruit, 0.8 (0.04 to 80) kg, worth 2 (0.1 to")
    tiny = _core.cost_of_share(
        0.01, (1e-7, 0.09), fruit=1000, fruit_mass_g=400, price_per_kg=None, fruit_per_tray=None
    )
    assert "(0.0001 to 90) fruit" in cost_text(tiny), "no powers of ten"


def test_nobody_to_compare_is_not_called_a_comparison(tmp_path):
    from maturity.picked_sentences import how_sure, intervals_note

    alone = checks(tmp_path / "a", line("East", 1, 3))
    assert "none are compared" in how_sure(alone.immature)
    assert "as alike as assumed" in intervals_note(alone)
    many = [line(crew, f"{crew}{n}", 3 + n % 2) for crew in ("East", "North") for n in range(6)]
    known = checks(tmp_path / "b", *many)
    assert "Crews are compared" in how_sure(known.immature)
    assert intervals_note(known) == "Intervals are 95 % and know bins."


def test_seasons_without_a_difference_rarely_blame_anybody(tmp_path):
    """Two blocks, days and bins that vary, no crew that differs: all tables of immature fruit."""
    rng = numpy.random.default_rng(17)
    blamed = 0
    for season in range(100):
        lines = []
        for block, day in itertools.product(("River", "Hill"), DAYS):
            share = 0.12 + rng.normal(0, 0.03)
            for crew, bin_name in itertools.product("ABCDEFGH", "12"):
                count = rng.binomial(50, max(0.01, share + rng.normal(0, 0.04)))
                lines.append(line(crew, crew + bin_name, count, block=block, date=day))
        made = checks(tmp_path / str(season), *lines).to_dict()
        tables = [made["crews"], *(one["crews"] for one in made["blocks_and_methods"])]
        blamed += any(crew["differs"] for table in tables for crew in table.values())
    # 5 of 100 and two standard errors of such a count.
    assert blamed <= 5 + 2 * (100 * 0.05 * 0.95) ** 0.5


def test_command_on_the_sample_season_fits_80_columns(tmp_path):
    """Counts of the sample season added up here from its file."""
    done = run("check", SEASON, "--json", tmp_path / "c.json", cwd=tmp_path)
    assert "Traceback" not in done.stderr and done.returncode == 0
    assert max(len(text) for text in done.stdout.splitlines()) <= 80
    assert "Same days:" in done.stdout and "Beside" not in done.stdout
    crews = json.loads((tmp_path / "c.json").read_text())["crews"]
    for name, one in crews.items():
        mine = [
            row for row in rows("picked") if row["crew"] == name and row["finding"] == "immature"
        ]
        assert one["immature"] == sum(int(row["count"]) for row in mine)
        assert one["checked"] == sum(int(row["fruit_checked"]) for row in mine)
    assert "seek help" in done.stdout
    assert "Tern: more immature fruit than the other crews" in " ".join(done.stdout.split())


def test_only_names_fold_in_a_narrow_table(tmp_path):
    """Numbers stay whole: an interval broken over two lines is read wrong."""
    crews = ("Crew of the northern valley", "Second crew of the ridge")
    lines = [
        line(crew, f"{crew[0]}{n}", 40 * (crew[0] == "S") + n) for crew in crews for n in (1, 2)
    ]
    folder = write_files(tmp_path, blocks=BLOCKS, picked=HEADER + "".join(lines))
    shown = run("check", folder, cwd=tmp_path).stdout.splitlines()
    assert max(len(text) for text in shown) <= 80
    table = shown[
        : shown.index(
            next(text for text in shown if text.startswith("  ") and "Same days" not in text)
        )
    ]
    rows = [text for text in table if " of 100 " in text]
    assert len(rows) == 2 and all(" to " in row for row in rows)
    assert not any(text.strip() in ("to", "tell") for text in shown)


def test_command_names_doubts_with_1_and_no_row_with_2(tmp_path):
    folder = write_files(
        tmp_path / "s", blocks=BLOCKS, picked=HEADER + "".join(three_crews()) + line("east", 9, 99)
    )
    done = run("check", folder, cwd=tmp_path)
    assert done.returncode == 1 and "Problems in the files (1)" in done.stdout
    folder = write_files(tmp_path / "t", blocks=BLOCKS, picked=HEADER + line("East", 9, 99))
    done = run("check", folder, cwd=tmp_path)
    assert done.returncode == 2 and "Traceback" not in done.stderr and "picked.csv" in done.stderr


@pytest.mark.parametrize(
    ("picked", "sentence"),
    [
        (
            (HEADER + line("East", 1, 3, checked=99999999999)).encode(),
            "column fruit_checked: found '99999999999'; expected a whole number from 1 to 100000",
        ),
        (
            (HEADER + line("East", 1, 3, load_bins=10**12)).encode(),
            "column load_bins: found '1000000000000'; expected a whole number from 1 to 10000",
        ),
        (
            HEADER.replace("count,", "").encode() + b"2026-11-24,River,East,1\n",
            "picked.csv, row 1, column count: found",
        ),
        ((HEADER + line("Andr\u00e9", 1, 3)).encode("latin-1"), "text in UTF-8"),
    ],
)
def test_what_cannot_be_read_is_named_without_a_traceback(tmp_path, picked, sentence):
    folder = write_files(tmp_path / "s", blocks=BLOCKS, picked=HEADER)
    (folder / "picked.csv").write_bytes(picked)
    done = run("check", folder, cwd=tmp_path)
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert sentence in " ".join(done.stderr.split())


def test_score_still_reads_a_season_of_picked_fruit_only(tmp_path):
    folder = write_files(tmp_path, blocks=BLOCKS, picked=HEADER + line("East", 1, 2))
    assert maturity.score_season(folder).silent_blocks.keys() == {"River", "Hill"}
