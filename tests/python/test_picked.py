"""Picked fruit: shares by crew, what differs from the others, and what cannot be told."""

from __future__ import annotations

import itertools
import json

import numpy
import pytest
from picked_files import DAYS, checks, line, three_crews
from statsmodels.stats.proportion import proportion_confint


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
