"""What a forecast may not take for granted: an unchecked meter, a fall, rounds of one walk."""

from __future__ import annotations

import random

from season_folders import OVEN_HEADER
from test_forecasting import VISITS, blocks, forecast, oven, season_of
from walk_seasons import flat

from maturity import _core
from maturity.outlook import block_outlooks
from maturity.scoring import score_season


def meter_table(levels, *, block="River", trees=20, first_tree=1):
    """A meter.csv: one reading of other trees at each visit, spread 1.2 %."""
    draw = random.Random(3)
    lines = ["block,tree,date,fruit,meter,dm_pct"]
    for visit, (day, level) in enumerate(zip(VISITS, levels)):
        for one in range(trees):
            tree = first_tree + visit * trees + one
            lines.append(f"{block},{tree},{day},1,M1,{draw.gauss(level, 1.2):.2f}")
    return "\n".join(lines) + "\n"


METER_ONLY = {"oven": OVEN_HEADER, "meter": meter_table((15.6, 16.4, 17.2))}


def test_unknown_bias_of_one_meter_is_shared_and_gives_no_date(tmp_path):
    options = ("--crews", "2", "--crew-days", "River=6", "--first-day", "2026-11-18")
    done, content = forecast(tmp_path, season_of(tmp_path, **METER_ONLY), *options)
    river = content["forecasts"][0]
    assert river["unchecked_meter"] == "M1" and river["no_date"] == "meter_not_checked"
    assert river["earliest_date"] is None and river["ranges"] is None
    assert "no oven fruit ever checked meter M1" in flat(done.stdout)
    assert {one["start"] for one in content["picking"]} == {None}
    assert content["heat"][0]["earliest_date"] is None


def test_three_visits_do_not_average_the_bias_of_a_meter_away(tmp_path):
    score = score_season(season_of(tmp_path, **METER_ONLY), results=tmp_path / "r")
    outlook = block_outlooks(score.visits)[0]
    bias_sd = min(visit.estimate.meter_bias[1] for visit in outlook.visits)
    assert bias_sd > 1 and outlook.forecast.level_sd > 0.95 * bias_sd
    # Wrong on purpose: the same values taken as independent claim to know more than the bias lets.
    levels = outlook.levels()
    alone = _core.forecast_readiness(
        [(day - outlook.first_visit).days for day, _, _ in levels],
        [level for _, level, _ in levels],
        [sd for _, _, sd in levels],
        minimum_dm_pct=15,
        confidence=0.9,
        shared_sd=0.0,
        stated_gain=None,
        horizon_days=21,
    )
    assert alone.level_sd < 0.9 * bias_sd


def test_meter_checked_in_the_oven_gives_a_date(tmp_path):
    content = forecast(tmp_path, season_of(tmp_path, meter=METER_ONLY["meter"]))[1]
    river = content["forecasts"][0]
    assert river["unchecked_meter"] is None and river["earliest_date"] is not None


def test_fall_is_named_with_both_values(tmp_path):
    done, content = forecast(tmp_path, season_of(tmp_path, (13.4, 14.4, 14.1)))
    river = content["forecasts"][0]
    assert len(river["falls"]) == 1 and river["falls"][0] in flat(done.stdout)
    assert "2026-11-17 gave 14.0 %, below the 14.3 % of 2026-11-10" in river["falls"][0]
    assert "rests on the prior" in river["falls"][0]
    risen = season_of(tmp_path / "b", oven=OVEN_HEADER + oven((13.4, 14.1, 14.7)))
    assert forecast(tmp_path / "b", risen)[1]["forecasts"][0]["falls"] == []


def test_problems_in_the_files_are_shown_and_cost_the_exit_code(tmp_path):
    broken = season_of(tmp_path, oven=season_oven() + "River,9,2026-11-17,1,x,,,\n")
    done, content = forecast(tmp_path, broken)
    assert done.returncode == 1 and "Problems in the files (1)" in done.stdout
    assert "oven.csv, row 98" in flat(done.stdout) and len(content["problems"]) == 1


def season_oven():
    return OVEN_HEADER + oven((13.4, 14.1, 14.7)) + oven((16.5, 17.2, 17.8), block="Hill")


def test_bad_heat_cell_costs_the_heat_units_and_not_the_block(tmp_path):
    table = blocks().replace("12,32", "12,warm")
    done, content = forecast(tmp_path, season_of(tmp_path, blocks=table))
    assert content["forecasts"][0]["earliest_date"] is not None
    # Without its upper threshold the sum would be another one.
    assert content["heat"][0]["target"] is None
    said = flat(done.stdout)
    assert "No heat units: blocks.csv, row 2, column heat_upper_c: found 'warm'" in said
    assert "(cell left blank)" in said and done.returncode == 1


def test_nothing_read_lists_every_problem(tmp_path):
    season = season_of(tmp_path, oven=OVEN_HEADER + "River,9,2026-11-17,1,x,,,\n")
    done, _ = forecast(tmp_path, season)
    assert done.returncode == 2 and "nothing read" in flat(done.stderr)
    assert "oven.csv, row 2" in flat(done.stderr)


def test_heat_start_after_the_weather_is_named_by_dates(tmp_path):
    late = blocks().replace("2026-10-01", "2026-11-25")
    done, _ = forecast(tmp_path, season_of(tmp_path, blocks=late))
    said = flat(done.stdout)
    assert "No heat target: heat_start is 2026-11-25, weather.csv ends on 2026-11-19" in said
    assert "7396" not in said


def test_thresholds_are_named_where_they_have_effect(tmp_path):
    plain = forecast(tmp_path, season_of(tmp_path, blocks=blocks(method="simple_average")))[1]
    assert plain["heat"][0]["recipe"] == "simple average, above 12 C"
    capped = season_of(tmp_path / "b", blocks=blocks(method="clamped"))
    assert forecast(tmp_path / "b", capped)[1]["heat"][0]["recipe"] == "clamped, 12 to 32 C"
