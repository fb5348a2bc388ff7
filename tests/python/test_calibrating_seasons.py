"""Several seasons to one calibration; ranges for another block, visit or season."""

from __future__ import annotations

import json

import pytest
from calibration_seasons import DAY, season_maker
from click.testing import CliRunner

from maturity.calibrating import calibrate_season
from maturity.commands import command
from maturity.stored_calibration import read_calibration
from maturity.tables import write_json


@pytest.fixture(name="season")
def season_of_four_blocks(tmp_path, monkeypatch):
    return season_maker(tmp_path, monkeypatch)


def test_seasons_are_left_out_whole_and_named(season, tmp_path):
    folders = [season(12, day=f"20{year}-11-03", name=f"y{year}") for year in (26, 27, 28)]
    two = calibrate_season(*folders[:2])
    shape, meter = two.shape["Amberlee"], two.meters["A"]
    assert (shape.folds, shape.by_season.folds, shape.fruit) == (4, 2, 128)
    assert shape.by_season.new_block_ranges is None and meter.by_season is None
    assert meter.corrected_by_season.folds == 2 and meter.by_block.clusters == 4
    assert shape.source.provenance == "season folders y26, y27"
    assert shape.source.first_date == "2026-11-03" and shape.source.last_date == "2027-11-03"
    assert any("fewer than 3 cannot tell" in limit for limit in two.limits)
    three = calibrate_season(*folders)
    assert three.shape["Amberlee"].by_season.new_block_ranges.clusters == 3
    assert three.meters["A"].by_season.clusters == 3
    write_json(tmp_path / "c.json", three.to_dict())
    content = json.loads((tmp_path / "c.json").read_text())
    assert content["seasons"] == content["meters"]["A"]["seasons"] == ["y26", "y27", "y28"]
    assert content["meters"]["A"]["cultivars"] == ["Amberlee"]
    assert content["meters"]["A"]["last_date"] == "2028-11-03"
    stored = read_calibration(tmp_path / "c.json").shape["Amberlee"]
    assert stored.to_dict() == three.shape["Amberlee"].to_dict()
    arguments = ["calibrate", *map(str, folders), "--out", str(tmp_path / "d.json")]
    done = CliRunner().invoke(command, arguments, prog_name="maturity")
    said = " ".join(done.output.split())
    assert done.exit_code == 0 and "Seasons: y26, y27, y28" in said
    assert "Each season left out in turn" in said and "95 %: for another season" in said


def test_a_season_without_oven_values_is_none_to_learn_from(season):
    dry = [season(12), season(12, day="2027-11-03", name="y27")]
    other = season(12, oven_of=lambda *_: False, day="2028-11-03", name="y28")
    said = calibrate_season(*dry, other).limits
    assert any("Seasons: 2; fewer than 3" in limit for limit in said)


def test_slopes_that_turn_round_in_another_season_are_not_used(season):
    """In each season alone they hold in left-out blocks."""
    folders = [season(12), season(-12, day="2027-11-03", name="other")]
    assert all(calibrate_season(one).shape["Amberlee"].outcome == "usable" for one in folders)
    assert calibrate_season(*folders).shape["Amberlee"].outcome == "no_usable_information"


def test_the_same_fruit_in_two_seasons_is_refused(season, tmp_path):
    first, second = season(12), season(12, name="copy")
    with pytest.raises(ValueError, match=f"Bank {DAY}: in season season and in copy"):
        calibrate_season(first, second)
    with pytest.raises(ValueError, match="season season: given twice"):
        calibrate_season(first, first)
    later = season(12, name="y27", day="2027-11-03")
    with pytest.raises(ValueError, match="results r: expected none with several seasons"):
        calibrate_season(first, later, results="r")
    arguments = ["calibrate", str(first), str(second), "--out", str(tmp_path / "c.json")]
    done = CliRunner().invoke(command, arguments, prog_name="maturity")
    assert done.exit_code != 0 and "were files copied?" in done.output


def test_ranges_need_three_blocks(season):
    few = calibrate_season(season(12, oven_of=lambda block, tree: block in ("River", "Hill")))
    assert few.shape["Amberlee"].folds == 2 and few.shape["Amberlee"].new_block_ranges is None
    assert few.meters["A"].by_block is None and few.meters["A"].overall.pairs == 32
