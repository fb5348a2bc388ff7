"""`maturity forecast`: date ranges, heat units, picking days, and what stops each."""

from __future__ import annotations

import datetime
import json
from statistics import NormalDist

import pytest
from season_folders import OVEN_HEADER, oven_row, write_files
from test_commands import run
from walk_seasons import flat

import maturity
from maturity import _core
from maturity.outlook import range_words

BLOCKS = (
    "block,cultivar,heat_start,heat_start_stage,heat_target,heat_method,heat_lower_c,heat_upper_c\n"
    "River,Amberlee,2026-10-01,{stage},{target},{method},12,32\nHill,Amberlee,,,,,,\n"
)
POLICY = (
    "block,market,rule,minimum_dm_pct,required_share,confidence\n"
    "River,,mean,15,,0.9\nHill,,mean,15,,0.9\n"
)
HEAD = "block,finished_at,product,withholding_days,reentry_hours,market,confirmed_by,confirmed_on\n"
SPRAYS = HEAD + (
    "River,2026-10-01 00:00,none,,,,A. Person,2026-11-20\n"
    "Hill,2026-11-12 10:00,example product,14,12,,A. Person,2026-11-20\n"
)
VISITS = (datetime.date(2026, 11, 3), datetime.date(2026, 11, 10), datetime.date(2026, 11, 17))


def blocks(*, stage="marble size", target="900", method="single_sine"):
    return BLOCKS.format(stage=stage, target=target, method=method)


def oven(levels, *, block="River", days=VISITS):
    """Sixteen fruit of eight trees around a level on each day."""
    rows = "".join(
        oven_row(tree, one, level + 0.3 * ((3 * tree + 2 * one) % 5 - 2), day=day.isoformat())
        for day, level in zip(days, levels)
        for tree in range(1, 9)
        for one in (1, 2)
    )
    return rows.replace("River", block)


def weather(first=datetime.date(2026, 10, 1), days=50, *, tmin=18.0, tmax=30.0):
    rows = ((first + datetime.timedelta(days=day), tmin, tmax) for day in range(days))
    return "date,tmin_c,tmax_c\n" + "".join(f"{d},{low},{high}\n" for d, low, high in rows)


def season_of(tmp_path, levels=(13.4, 14.1, 14.7), **files):
    given = {
        "blocks": blocks(),
        "policy": POLICY,
        "sprays": SPRAYS,
        "weather": weather(),
        "oven": OVEN_HEADER + oven(levels) + oven((16.5, 17.2, 17.8), block="Hill"),
    }
    return write_files(tmp_path / "season", **{**given, **files})


def forecast(tmp_path, season, *options):
    done = run("forecast", season, "--json", tmp_path / "f.json", *options, cwd=tmp_path)
    assert "Traceback" not in done.stderr
    content = None
    if (tmp_path / "f.json").exists():
        content = json.loads((tmp_path / "f.json").read_text(encoding="utf-8"))
    return done, content


def test_range_ends_where_the_date_is_and_the_wider_holds_the_narrower(tmp_path):
    done, content = forecast(tmp_path, season_of(tmp_path))
    river = content["forecasts"][0]
    assert done.returncode == 0, done.stdout
    narrow, wide = river["ranges"]["0.8"], river["ranges"]["0.95"]
    # The 80 % range ends where the chance reaches 0.9, which is the confidence asked for.
    assert narrow[1] == river["earliest_date"]
    assert wide[0] <= narrow[0] < narrow[1] and (wide[1] is None or narrow[1] <= wide[1])
    assert f"80 % range: {narrow[0]} to {narrow[1]}" in flat(done.stdout)


def test_ranges_in_words():
    origin, last = datetime.date(2026, 11, 3), datetime.date(2026, 11, 17)
    assert range_words((20, 25), origin, last) == "2026-11-23 to 2026-11-28"
    assert range_words((14, 25), origin, last) == "2026-11-17 or before to 2026-11-28"
    assert range_words((14, 14), origin, last) == "by 2026-11-17"
    assert "no end within 21 days" in range_words((20, None), origin, last)
    assert "later than 21 days" in range_words((None, None), origin, last)


def test_even_weather_gives_the_calendar_date(tmp_path):
    _, content = forecast(tmp_path, season_of(tmp_path))
    heat = content["heat"][0]
    assert heat["earliest_date"] == content["forecasts"][0]["earliest_date"]
    # 18 to 30 degrees C is 12 degree days (published check value), 84 a week.
    gain = content["forecasts"][0]["gain_per_week"]
    assert heat["gain_per_100"] == pytest.approx(gain / 0.84)


def test_weather_after_the_last_visit_is_counted(tmp_path):
    even = forecast(tmp_path, season_of(tmp_path))[1]["heat"][0]
    # 24 to 36 from the day after the visit on: 18 degree days by the mean, not 12.
    warm = weather(days=48) + "".join(f"2026-11-{day},24.0,36.0\n" for day in range(18, 31))
    table = blocks(method="simple_average")
    season = season_of(tmp_path / "b", blocks=table, weather=warm)
    done, content = forecast(tmp_path / "b", season)
    heat = content["heat"][0]
    visit = datetime.date(2026, 11, 17)
    at_pace = (datetime.date.fromisoformat(even["earliest_date"]) - visit).days
    assert at_pace > 2
    days = (datetime.date.fromisoformat(heat["earliest_date"]) - visit).days
    assert days == -(-12 * at_pace // 18)
    assert "weather as known up to 2026-11-30, then as warm" in flat(done.stdout)


def test_target_is_reached_when_the_sum_says(tmp_path):
    done, content = forecast(tmp_path, season_of(tmp_path))
    target = content["heat"][0]["target"]
    # 50 days of 12 are 600 of 900: 25 days to go after 2026-11-19.
    assert target["so_far"] == pytest.approx(600) and target["days"] == 25
    assert content["heat"][0]["target_dates"] == ["2026-12-14"] * 3
    said = flat(done.stdout)
    recipe = "(single sine, 12 to 32 C, horizontal cut-off as none is stated)"
    assert f"600 of 900 degree days {recipe} since marble size" in said
    # By hand: SD of the sum after k days is 0.5 k (k + 14) / 14 where no day differs; 22 days give
    # 264 with SD 28.3, z = -1.27 and -1.28 is 0.1; 29 days 348, SD 44.5, z = 1.08; 30 give 1.27;
    # 31 give 1.44.
    ranges = content["heat"][0]["target_ranges"]
    assert ranges["0.8"] == ["2026-12-11", "2026-12-20"]
    assert ranges["0.95"][0] < ranges["0.8"][0] and ranges["0.95"][1] > ranges["0.8"][1]
    assert "80 % range: 2026-12-11 to 2026-12-20" in said
    reached = season_of(tmp_path / "b", blocks=blocks(target="590"))
    assert "up to 2026-11-19: reached" in flat(forecast(tmp_path / "b", reached)[0].stdout)


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"blocks": blocks(stage="")}, "heat_target without heat_start_stage"),
        ({"blocks": blocks(method="")}, "does not state heat_method"),
        ({"weather": weather(days=40)}, "weather.csv ends on 2026-11-09, before the last visit"),
        (
            {"weather": weather().replace("2026-11-05,18.0,30.0\n", "")},
            "lacks 1 of the days from 2026-11-04 to 2026-11-17, the first on 2026-11-05",
        ),
        ({"weather": weather(tmin=70, tmax=88)}, "this looks like Fahrenheit"),
        ({"blocks": blocks().replace("12,32", "53.6,")}, "heat_lower_c is 53.6: this looks like"),
        ({"weather": weather(tmin=44, tmax=58)}, "this looks like Fahrenheit"),
        ({"weather": weather(days=0)}, "weather.csv has no usable day"),
    ],
)
def test_heat_units_that_cannot_be_counted_say_why(tmp_path, change, words):
    done, content = forecast(tmp_path, season_of(tmp_path, **change))
    assert done.returncode == 1 and words in flat(done.stdout)
    assert content["forecasts"][0]["earliest_date"] is not None
    assert content["heat"][0]["earliest_date"] is None or "stage" in words


def test_stated_cutoff_is_counted_and_named(tmp_path):
    table = (
        blocks()
        .replace("heat_upper_c", "heat_upper_c,heat_cutoff")
        .replace("12,32", "12,26,vertical")
    )
    done, content = forecast(tmp_path, season_of(tmp_path, blocks=table))
    one_day = maturity.degree_days(
        18, 30, lower=12, upper=26, method="single_sine", cutoff="vertical"
    )
    assert content["heat"][0]["target"]["so_far"] == pytest.approx(50 * one_day)
    assert "(single sine, 12 to 26 C, vertical cut-off)" in flat(done.stdout)


def test_target_of_another_stage_or_method_is_refused():
    days = [(day, 18.0, 30.0) for day in range(1, 41)]
    sine = _core.HeatRecipe(method="single_sine", lower=12.0, upper=32.0)
    mean = _core.HeatRecipe(method="simple_average", lower=12.0, upper=32.0)
    count = {"target": 900.0, "target_stage": "marble", "target_recipe": sine}
    assert _core.day_of_target(days, 1, 40, start_stage="marble", recipe=sine, **count).days == 35
    with pytest.raises(ValueError, match="method of the target is single_sine"):
        _core.day_of_target(days, 1, 40, start_stage="marble", recipe=mean, **count)
    with pytest.raises(ValueError, match="start stage of the target is marble"):
        _core.day_of_target(days, 1, 40, start_stage="flowering", recipe=sine, **count)


def test_one_visit_and_falling_dry_matter_are_named(tmp_path):
    once = season_of(tmp_path, oven=OVEN_HEADER + oven((14.0,)))
    done, content = forecast(tmp_path, once)
    assert done.returncode == 1 and "River: no forecast; one visit only" in flat(done.stdout)
    falling = season_of(tmp_path / "b", (16.0, 15.0, 14.0))
    done, content = forecast(tmp_path / "b", falling)
    river = content["forecasts"][0]
    assert river["no_date"] == "not_rising" and river["ranges"] is None
    assert "does not rise" in flat(done.stdout)


def test_picking_days_follow_dates_crews_and_withholding_periods(tmp_path):
    options = ("--crews", "2", "--crew-days", "River=6", "--crew-days", "Hill=3")
    options += ("--first-day", "2026-11-18", "--within", "4")
    done, content = forecast(tmp_path, season_of(tmp_path), *options)
    hill, river = content["picking"]
    # Hill is ready, but its withholding period ends on 2026-11-26 at 10:00.
    assert (hill["block"], hill["start"], hill["finish"]) == ("Hill", "2026-11-27", "2026-11-28")
    assert hill["held_back"] and hill["slack_days"] < 0
    # River comes after its date, and waits for the crews until the second half of the 28th.
    assert river["ready"] == content["forecasts"][0]["earliest_date"]
    assert river["start"] >= max(river["ready"], hill["finish"])
    assert "SLIPS by" in flat(done.stdout) and "held back to 2026-11-27" in flat(done.stdout)


def test_crew_figures_come_from_prices_too(tmp_path):
    prices = "what,value,unit\ncrews,2,crews\ncrew days Hill,3,crew-days\n"
    _, content = forecast(tmp_path, season_of(tmp_path, prices=prices), "--first-day", "2026-11-18")
    turns = {one["block"]: one for one in content["picking"]}
    assert turns["Hill"]["finish"] == "2026-11-28"
    assert turns["River"]["not_planned"] == "no_crew_days"


def test_unknown_spray_record_is_never_a_picking_day(tmp_path):
    season = season_of(tmp_path, sprays=HEAD)
    done, content = forecast(tmp_path, season, "--crews", "1", "--crew-days", "Hill=3")
    assert {one["not_planned"] for one in content["picking"]} == {"not_cleared"}
    assert done.returncode == 1 and "Not cleared" in done.stdout


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (("--crew-days", "River=6"), "--crew-days goes with --crews"),
        (("--crews", "2"), "--crews goes with --crew-days"),
        (("--crews", "2", "--crew-days", "River"), "expected BLOCK=DAYS"),
        (("--crews", "2", "--crew-days", "Valley=3"), "'Valley': expected a block"),
        (("--crews", "2", "--crew-days", "River=-3"), "expected more than 0"),
    ],
)
def test_bad_crew_figures_are_named(tmp_path, options, words):
    done, _ = forecast(tmp_path, season_of(tmp_path), *options)
    assert done.returncode == 2 and words in flat(done.stderr)


def test_level_on_a_day_is_what_the_chance_rests_on():
    line = maturity.forecast_readiness(
        [0, 7, 14], [13.2, 13.9, 14.3], [0.35, 0.3, 0.3], minimum_dm_pct=15
    )
    mean, sd = line.level_on(21)
    assert line.probability(21) == pytest.approx(NormalDist().cdf((mean - 15) / sd))


def picking(tmp_path, season, *options):
    """Turns by block, with two crews from the day after the last visit."""
    given = ("--crews", "2", "--crew-days", "River=6", "--crew-days", "Hill=3")
    done, content = forecast(tmp_path, season, "--first-day", "2026-11-18", *given, *options)
    return done, {one["block"]: one for one in content["picking"]}


def test_forecast_dates_are_to_be_confirmed_and_found_ones_are_not(tmp_path):
    done, turns = picking(tmp_path, season_of(tmp_path))
    assert turns["River"]["to_confirm"] and not turns["Hill"]["to_confirm"]
    assert "if the next visit confirms" in flat(done.stdout)
    # The line through all visits says ready already, the last visit by itself does not.
    table = season_of(tmp_path / "b", oven=OVEN_HEADER + oven((14.9, 15.8, 15.2)))
    _, turns = picking(tmp_path / "b", table)
    assert turns["River"]["to_confirm"] and turns["River"]["start"] >= "2026-11-18"


def test_blocked_decision_has_no_picking_day(tmp_path):
    rows = oven((17.0, 17.5), days=VISITS[:2])
    rows += "".join(oven_row(tree, 1, 18.0, day="2026-11-17") for tree in (1, 2, 3, 4))
    done, turns = picking(tmp_path, season_of(tmp_path, oven=OVEN_HEADER + rows))
    assert turns["River"]["start"] is None and turns["River"]["not_planned"] == "no_date"
    assert "oven fruit" in turns["River"]["why_not"] and done.returncode == 1


def test_slack_counts_from_the_date_of_the_block(tmp_path):
    _, turns = picking(tmp_path, season_of(tmp_path), "--within", "4")
    # Hill was found ready on 2026-11-17 and is picked by 2026-11-28, eleven days later.
    assert turns["Hill"]["slack_days"] == 4 - 11


def test_nothing_is_planned_beyond_three_weeks_after_the_last_visit(tmp_path):
    # Both are free then; River, listed first, keeps the crews until Hill's three weeks are over.
    season = season_of(tmp_path)
    done, turns = picking(tmp_path, season, "--first-day", "2026-12-08")
    assert turns["River"]["start"] == "2026-12-08" and turns["Hill"]["start"] is None
    assert "more than 21 days after the last visit of 2026-11-17" in turns["Hill"]["why_not"]
    assert "more than 21 days after the last visit" in flat(done.stdout) and done.returncode == 1
    _, turns = picking(tmp_path, season, "--first-day", "2026-12-09")
    assert {one["start"] for one in turns.values()} == {None}
