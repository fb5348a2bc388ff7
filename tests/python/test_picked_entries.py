"""What people write into picked.csv: words, blanks, slips and bad values."""

from __future__ import annotations


import pytest
from picked_files import DAYS, checks, line, three_crews


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
