"""Loads: the next step, what a small check lets pass, tolerances, and limits that cannot be."""

from __future__ import annotations

import pytest
import scipy.stats
from picked_files import DAYS, PRICES, checks, limits, line

from maturity import _core
from maturity.picked_passing import what_a_check_passes
from maturity.picked_sentences import what_passes

RULE = limits(acceptable_immature=5, refused_immature=20)


def steps(made):
    return {load.name: load.decisions["immature"].step for load in made.loads}


def load_rows(name, counts, *, bins=4, checked=30, **changes):
    """Every bin of a load looked into."""
    return [
        line("East", f"{name}{i}", count, load=name, load_bins=bins, checked=checked, **changes)
        for i, count in enumerate(counts)
    ]


def test_good_load_is_accepted_bad_one_sorted_few_fruit_ask_for_more(tmp_path):
    made = checks(
        tmp_path,
        *load_rows("good", [1, 1, 2, 1]),
        *load_rows("bad", [9, 8, 11, 10]),
        *load_rows("small", [1], bins=1, checked=13),
        limits=RULE,
    )
    assert steps(made) == {"good": "accept", "bad": "sort", "small": "check_more"}
    small = next(load for load in made.loads if load.name == "small")
    decision = small.decisions["immature"]
    assert small.sentences() == [
        f"check {decision.more} fruit more; accept with up to {decision.accept_total} immature in "
        "all, else sort"
    ]


def test_without_limits_nothing_is_decided(tmp_path):
    made = checks(tmp_path, *load_rows("one", [1, 2, 1, 0]))
    assert made.loads[0].decisions == {} and made.loads[0].tolerances is None
    assert any("half the time" in text for text in what_passes(made))


def test_small_check_is_said_to_pass_bad_loads():
    """13 fruit, 2 allowed, 20 % bad: passes with 0.5016522 (published binomial; scipy agrees)."""
    assert what_a_check_passes(13, 2) == (
        "A check of 13 fruit that allows 2 passes a load with 20 % bad fruit half the time, and "
        "one with 36 % in 1 of 10 checks."
    )


def test_check_that_can_never_accept_says_so(tmp_path):
    made = checks(tmp_path, line("East", 1, 0, checked=8), limits=RULE)
    assert what_passes(made)[0].startswith("A check of 8 fruit is too small")


def test_bins_without_a_load_are_those_of_the_crew_and_day(tmp_path):
    made = checks(
        tmp_path,
        line("East", 1, 1),
        line("East", 2, 1),
        line("North", 3, 1),
        line("East", 4, 1, date=DAYS[1]),
        limits=RULE,
    )
    assert [(str(one.date), one.name, one.bins_looked) for one in made.loads] == [
        (DAYS[0], "bins of East", 2),
        (DAYS[0], "bins of North", 1),
        (DAYS[1], "bins of East", 1),
    ]


def test_fruit_in_a_load_come_from_bins_and_masses(tmp_path):
    made = checks(tmp_path, *load_rows("one", [1, 2, 1, 0], bins=8), limits=RULE, prices=PRICES)
    (load,) = made.loads
    assert (load.fruit, load.unseen_bins) == (8000, True)


def test_bins_that_vary_count_only_where_some_were_not_seen(tmp_path):
    counts = [0, 0, 12, 0, 0, 11]
    seen = checks(tmp_path / "a", *load_rows("one", counts, bins=6), limits=RULE)
    part = checks(tmp_path / "b", *load_rows("one", counts, bins=60), limits=RULE)
    assert seen.loads[0].design_effect == 1.0
    assert part.loads[0].design_effect > 3.0
    assert "from bins not yet looked into" in part.loads[0].sentences()[0]


def test_one_next_step_per_load_the_worst_of_all(tmp_path):
    from maturity.picked_sentences import loads_counted

    both = limits(
        acceptable_immature=5, refused_immature=20, acceptable_damaged=5, refused_damaged=20
    )
    rows = load_rows("one", [0, 0, 0, 0])
    rows += load_rows("one", [12, 11, 13, 12], finding="rub")
    rows += load_rows("two", [0, 0, 0, 0], date=DAYS[1])
    made = checks(tmp_path, *rows, limits=both)
    one, two = made.loads
    assert {name: each.step for name, each in one.decisions.items()} == {
        "immature": "accept",
        "damaged": "sort",
    }
    assert one.step == one.to_dict()["step"] == "sort"
    assert len(one.sentences()) == 1 and one.sentences()[0].startswith("sort:")
    assert two.step == "accept"
    assert loads_counted(made) == ["1 of 2 loads: accept."]


def test_the_true_reason_is_given_where_nothing_is_decided(tmp_path):
    from maturity.picked_sentences import loads_counted

    made = checks(tmp_path / "a", line("East", 1, 3, finding="rub"), limits=RULE)
    assert "no decision, what limits.csv limits was not looked for" in loads_counted(made)[0]
    made = checks(tmp_path / "b", line("East", 1, 3))
    assert "sets no acceptable and refused share" in loads_counted(made)[0]


def test_unseen_bins_that_nobody_can_tell_apart_are_taken_as_alike(tmp_path):
    """One bin of twelve: 50 fruit vary 1 + 49 * 0.03 = 2.47 times as much as single ones."""
    from maturity.picked_passing import bins_note

    rule = limits(acceptable_immature=4, refused_immature=12)
    made = checks(tmp_path, line("East", 1, 1, load="L", load_bins=12), limits=rule)
    (load,) = made.loads
    assert load.design_effects == {"immature": pytest.approx(2.47)} and not load.effects_known
    assert load.to_dict()["design_effects_known"] is False
    assert load.decisions["immature"].step == "check_more"
    assert "for 1 that is assumed" in bins_note(made.loads)
    seen = checks(tmp_path / "b", line("East", 1, 1, load="L", load_bins=1), limits=rule)
    assert seen.loads[0].decisions["immature"].step == "accept"
    assert bins_note(seen.loads).startswith("Every bin of these loads was looked into")


def test_what_a_check_passes_knows_how_much_bins_vary(tmp_path):
    from maturity.picked_passing import allowed_by_rule, usual_check

    made = checks(
        tmp_path, *load_rows("one", [0, 0, 12, 0, 0, 11], bins=60, checked=50), limits=RULE
    )
    size, effect = usual_check(made.loads)
    assert size == 300 and effect > 3
    rule = made.limits.load_rule("immature")
    allowed = allowed_by_rule(size, rule, effect)
    assert allowed < allowed_by_rule(size, rule, 1.0)
    text = what_passes(made)[0]
    assert text.startswith(f"A check of 300 fruit that allows {allowed} passes")
    assert f"where {effect:.1f} fruit of a bin tell only as much as one" in text
    # Counts over the design effect, by scipy's binomial in its beta form.
    fruit, bad = size / effect, allowed / effect
    half = scipy.stats.beta.ppf(0.5, bad + 1, fruit - bad)
    assert f"with {100 * half:.0f} % bad fruit half the time" in text
    chance = _core.chance_to_pass(size, allowed, 0.2, design_effect=effect)
    assert chance == pytest.approx(scipy.stats.beta.sf(0.2, bad + 1, fruit - bad))


def test_published_table_is_shown_where_it_reaches(tmp_path):
    rule = limits(acceptable_immature=6.5, refused_immature=20)
    made = checks(tmp_path, *load_rows("one", [1, 2], bins=1), limits=rule, prices=PRICES)
    assert any("not used" in note for note in made.notes), "two bins looked into, one stated"
    made = checks(tmp_path, line("East", 1, 1, load_bins=1), limits=rule, prices=PRICES)
    table = made.loads[0].table
    assert (table["letter"], table["single"]["n"], table["single"]["accept"]) == ("J", 80, 10)
    assert any("80 fruit, up to 10 bad ones" in text for text in what_passes(made))
    other = checks(
        tmp_path / "b",
        line("East", 1, 1, load_bins=1),
        limits=limits(acceptable_immature=5, refused_immature=20),
        prices=PRICES,
    )
    assert other.loads[0].table is None


def test_tolerances_inside_tolerances(tmp_path):
    """10 / 5 / 2 %: United States Standards for Grades of Mangos, 2007, 51.1043."""
    rows = [
        line("East", 1, 89, finding="none", checked=100),
        line("East", 1, 4, finding="immature", checked=100),
        line("East", 1, 4, finding="damaged_fruit", checked=100),
        line("East", 1, 3, finding="decay", checked=100),
    ]
    grade = limits(failing_at_most=10, damaged_at_most=5, decayed_at_most=2)
    (load,) = checks(tmp_path, *rows, limits=grade).loads
    found = {one.what: (one.found, one.met_in_sample) for one in load.tolerances.checks}
    assert found == {
        "failing at most": (11, False),
        "damaged at most": (4, True),
        "decayed at most": (3, False),
    }
    assert load.tolerances.state == "cannot_tell"
    assert load.step == "hold"
    assert load.sentences() == [
        "hold: your tolerances are not met by the count in the sample: 11 failing, 11.0 % where "
        "10 % is allowed, 3 decayed, 3.0 % where 2 % is allowed; too few fruit to say it of the "
        "load, a person decides"
    ]


GRADE = limits(failing_at_most=10, damaged_at_most=5, decayed_at_most=2)


def graded(folder, none, damaged, decay, checked=100, **files):
    rows = [
        line("East", 1, count, finding=name, checked=checked, load_bins=1)
        for name, count in (("none", none), ("damaged_fruit", damaged), ("decay", decay))
    ]
    other = line("East", 1, checked - none, finding="immature", checked=checked, load_bins=1)
    return checks(folder, *rows, other, **{"limits": GRADE, **files})


def test_decayed_fruit_count_as_damaged_as_far_as_can_be_known(tmp_path):
    """4 with marks and 2 decayed are 4 to 6 of 100 damaged: 5 % may be met or not."""
    (load,) = graded(tmp_path / "a", 90, 4, 2).loads
    assert load.tolerances.met_in_sample is None and load.step == "hold"
    assert load.sentences()[0].startswith("hold: tolerances cannot be told, since decayed fruit")
    (load,) = graded(tmp_path / "b", 90, 3, 2).loads
    assert load.tolerances.met_in_sample is True
    (load,) = graded(tmp_path / "c", 90, 2, 6).loads
    assert load.tolerances.met_in_sample is False
    # As many fruit fail as have a mark: the decayed ones are among them.
    (load,) = graded(tmp_path / "d", 95, 5, 2).loads
    assert load.tolerances.met_in_sample is True


def test_tolerances_alone_give_a_next_step_and_are_shown(tmp_path):
    from test_commands import run

    from maturity.picked_sentences import loads_counted

    made = graded(tmp_path / "a", 700, 250, 50, checked=1000)
    assert made.loads[0].step == "sort" and made.loads[0].sentences()[0].startswith("sort: over")
    shown = " ".join(run("check", tmp_path / "a", cwd=tmp_path).stdout.split())
    assert "bins of East: SORT. 1000 checked" in shown
    assert "300 failing, 30.0 % where 10 % is allowed" in shown
    good = graded(tmp_path / "b", 990, 5, 3, checked=1000)
    assert good.loads[0].step == "accept"
    few = graded(tmp_path / "c", 20, 0, 0, checked=20)
    assert few.loads[0].step is None
    said = loads_counted(few)
    assert "1 of 1 loads meet your tolerances in the sample." in said
    assert any("so few fruit prove little of the load" in text for text in said)
    both = GRADE + "acceptable immature,5,%,,\nrefused immature,20,%,,\n"
    strict = both.replace("failing at most,10", "failing at most,6")
    held = graded(tmp_path / "d", 92, 0, 0, limits=strict)
    assert held.loads[0].decisions["immature"].step == "accept" and held.loads[0].step == "hold"


def test_a_load_need_not_stand_in_every_row(tmp_path):
    rows = line("East", 1, 1) + line("East", 1, 49, finding="none", load="L", load_bins=6)
    made = checks(tmp_path, rows, line("East", 2, 1, load="L", load_bins=6), limits=RULE)
    (load,) = made.loads
    assert (load.name, load.bins, load.bins_looked) == ("L", 6, 2)


def test_crews_that_differ_make_the_bins_of_their_loads_vary(tmp_path):
    """Unseen bins of a load may be those of the worse crew."""
    lines = [
        line(crew, f"{crew}{n}", count + n % 2, load=f"L{n}", load_bins=8, date=DAYS[n % 3])
        for crew, count in (("East", 14), ("North", 1), ("South", 2))
        for n in range(6)
    ]
    own = [line("North", f"own{n}", 2, load=f"own{n}", load_bins=8) for n in range(2)]
    made = checks(tmp_path, *lines, *own, limits=RULE)
    effects = {load.name: load.design_effects["immature"] for load in made.loads}
    assert effects["own0"] < 1.5 and effects["L0"] > 4


def test_a_load_of_two_blocks_says_which(tmp_path):
    made = checks(
        tmp_path,
        line("East", 1, 2, load="T1"),
        line("East", 2, 9, block="Hill", load="T1"),
        line("East", 3, 9, load="T2"),
        limits=RULE,
    )
    assert [(one.name, one.place) for one in made.loads] == [
        ("T1", "Hill, pole"),
        ("T1", "River, pole"),
        ("T2", ""),
    ]


@pytest.mark.parametrize(
    ("text", "note"),
    [
        ("aceptable immature,5,%", "is 'acceptable immature' meant?"),
        ("colour,5,%", "column what: found 'colour'; expected one of acceptable immature"),
        ("acceptable immature,0.05,share", "found 'share'; expected % for acceptable immature"),
        ("acceptable immature,5,%", "expected acceptable immature and refused immature together"),
        (
            "acceptable immature,20,%\nrefused immature,5,%",
            "expected acceptable immature below refused immature",
        ),
        (
            "acceptable immature,5,%\nrefused immature,20,%\nconsumer risk,60,%",
            "expected risks above 0 and below 50 %",
        ),
        (
            "stem at least,200,mm\nstem at most,100,mm",
            "stem at least 200 to be no more than at most 100",
        ),
    ],
)
def test_limits_that_cannot_be_are_named_and_not_used(tmp_path, text, note):
    made = checks(tmp_path, line("East", 1, 1), limits=f"what,value,unit\n{text}\n")
    assert any(note in str(one) for one in made.problems), made.problems
    assert not made.complete
    assert made.loads[0].decisions == {}
