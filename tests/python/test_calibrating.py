"""A season to calibrations, stored, and used when a season is scored."""

from __future__ import annotations

import json

import numpy
import pytest
from calibration_seasons import DAY, METER_BIAS, METER_SD, season_maker
from click.testing import CliRunner
from season_folders import BLOCKS, OVEN_HEADER, write_files
from test_commands import run

import maturity
from maturity.calibrating import calibrate_season
from maturity.commands import command
from maturity.shape_range import compare_shapes
from maturity.stored_calibration import MeterError, read_calibration, with_id
from maturity.tables import write_json
from maturity.visit_scoring import DEFAULT_DESCRIPTORS


@pytest.fixture(name="season")
def season_of_four_blocks(tmp_path, monkeypatch):
    return season_maker(tmp_path, monkeypatch)


def test_slope_and_meter_are_found_and_survive_storing(season, tmp_path):
    made = calibrate_season(season(12))
    assert made.complete and made.missing == {}
    shape = made.shape["Amberlee"]
    assert (shape.outcome, shape.folds, shape.fruit) == ("usable", 4, 64)
    where = shape.names.index(DEFAULT_DESCRIPTORS[0])
    assert abs(shape.slopes[where] - 12) < 3 * shape.slopes_covariance[where, where] ** 0.5
    meter = made.meters["A"]
    assert meter.overall.bias == pytest.approx(METER_BIAS, abs=3 * METER_SD / 8)
    write_json(tmp_path / "c.json", made.to_dict())
    stored = read_calibration(tmp_path / "c.json")
    assert stored.shape["Amberlee"].to_dict() == shape.to_dict()
    assert stored.meters == {"A": MeterError(meter.within_block_sep, meter.within_block_fruit)}
    assert any("Amberlee only, 2026-11-03 to 2026-11-03" in limit for limit in made.limits)


def test_all_visits_of_a_block_are_left_out_together(season):
    """Otherwise a block would be judged by slopes fitted to itself."""
    folder = season(12)
    oven = (folder / "oven.csv").read_text()
    later = oven.split("\n", 1)[1].replace(DAY, "2026-11-13")
    (folder / "oven.csv").write_text(oven + later)
    shape = calibrate_season(folder).shape["Amberlee"]
    assert shape.folds == 4


def test_score_uses_a_stored_calibration(season, tmp_path):
    """With slopes from other blocks, fruit without a reading are told apart in a block with few."""
    stored = tmp_path / "c.json"
    write_json(stored, calibrate_season(season(12)).to_dict())
    folder = season(12, oven_of=lambda block, tree: tree <= 2)
    plain = maturity.score_season(folder).visits[0]
    helped = maturity.score_season(folder, calibration=stored).visits[0]
    assert helped.estimate.calibration_used and not plain.estimate.calibration_used
    assert helped.estimate.calibration_id == read_calibration(stored).shape["Amberlee"].id
    assert helped.descriptors == tuple(read_calibration(stored).shape["Amberlee"].names)

    def unread(visit):
        rows = [one for one in visit.fruit if one["oven_dm_pct"] is None]
        return numpy.array([one["sd_pct"] for one in rows])

    assert unread(helped).mean() < unread(plain).mean()


def test_a_visit_the_calibration_was_learnt_on_is_named(season, tmp_path):
    stored = tmp_path / "c.json"
    write_json(stored, calibrate_season(season(12)).to_dict())
    own = maturity.score_season(season(12), calibration=stored)
    assert all(any("which then count twice" in n for n in one.notes) for one in own.visits)
    assert not own.left_out
    next_year = season(12, day="2027-11-03", name="next")
    later = maturity.score_season(next_year, calibration=stored)
    assert later.visits[0].estimate.calibration_used
    assert not any("count twice" in note for one in later.visits for note in one.notes)


def test_a_visit_that_a_meter_was_checked_on_is_named(season, tmp_path):
    stored = tmp_path / "c.json"
    write_json(stored, {**calibrate_season(season(12)).to_dict(), "shape": []})
    said = "the error of meter A was learnt on this visit's own fruit"
    own = maturity.score_season(season(12), calibration=stored)
    assert all(any(said in note for note in one.notes) for one in own.visits)
    later = maturity.score_season(season(12, day="2027-11-03", name="next"), calibration=stored)
    plain = maturity.score_season(season(12))
    assert later.visits[0].meter == "A"
    for one in [*later.visits, *plain.visits]:
        assert not any("count twice" in note for note in one.notes)


def test_score_uses_the_stored_error_of_the_meter(season, tmp_path):
    stored, exact = tmp_path / "c.json", tmp_path / "exact.json"
    folder = season(12)
    content = calibrate_season(folder).to_dict()
    content["shape"] = []
    write_json(stored, content)
    sure = {**content["meters"]["A"], "within_block_sep": 0.05, "within_block_fruit": 500}
    content["meters"]["A"] = with_id(sure)
    write_json(exact, content)
    season(12, oven_of=lambda block, tree: tree <= 5)
    sds = []
    for file in (stored, exact):
        visit = maturity.score_season(folder, calibration=file).visits[0]
        sds.append(numpy.mean([one["sd_pct"] for one in visit.fruit if one["oven_dm_pct"] is None]))
    assert sds[1] < sds[0] / 2


def test_shape_that_says_nothing_is_an_outcome_and_is_not_used(season, tmp_path):
    folder, stored = season(0), tmp_path / "c.json"
    made = calibrate_season(folder)
    assert made.shape["Amberlee"].outcome == "no_usable_information"
    write_json(stored, made.to_dict())
    result = maturity.score_season(folder, calibration=stored)
    assert not result.visits[0].estimate.calibration_used
    left = [one for one in result.left_out if one.what == "calibration of shape"]
    assert "no usable information" in left[0].reason


def test_another_cultivar_is_scored_without_it_by_name(season, tmp_path):
    stored = tmp_path / "c.json"
    write_json(stored, calibrate_season(season(12)).to_dict())
    folder = season(12, blocks=BLOCKS.replace("Amberlee", "Otherlee"))
    result = maturity.score_season(folder, calibration=stored)
    assert not result.visits[0].estimate.calibration_used
    (river, _) = [one for one in result.left_out if one.what == "calibration of shape"]
    assert river.reason == "it is for Amberlee, not for Otherlee: left out"


def test_another_cultivar_is_used_where_the_user_asks_for_it(season, tmp_path):
    stored = tmp_path / "c.json"
    write_json(stored, calibrate_season(season(12)).to_dict())
    folder = season(12, blocks=BLOCKS.replace("Amberlee", "Otherlee"))
    result = maturity.score_season(folder, calibration=stored, other_cultivar=True)
    visit = result.visits[0]
    assert visit.estimate.calibration_used
    assert "calibration of shape" not in {one.what for one in result.left_out}
    assert any("is of Amberlee, another cultivar" in note for note in visit.notes)
    arguments = ["score", str(folder), "--calibration", str(stored), "--other-cultivar"]
    done = CliRunner().invoke(command, arguments, prog_name="maturity")
    assert "is of Amberlee, another cultivar" in " ".join(done.output.split())


def test_a_block_outside_what_the_calibration_saw_is_named(season, tmp_path):
    stored = tmp_path / "c.json"
    write_json(stored, calibrate_season(season(12)).to_dict())
    inside = maturity.score_season(season(12), calibration=stored)
    assert inside.visits[0].estimate.calibration_used and not inside.left_out
    result = maturity.score_season(season(12, shift=2.0), calibration=stored)
    assert not result.visits[0].estimate.calibration_used
    (left,) = [one for one in result.left_out if one.what == "calibration of shape"]
    assert left.block == "River" and "outside what the calibration saw" in left.reason


@pytest.mark.parametrize("sds, named", [(3.5, True), (0.5, False)])
def test_what_differs_and_by_how_much_is_said(season, tmp_path, sds, named):
    """One descriptor of five is shifted; half a standard deviation is within what blocks differ."""
    stored, shifted = tmp_path / "c.json", DEFAULT_DESCRIPTORS[1]
    write_json(stored, calibrate_season(season(12)).to_dict())
    shift = numpy.array([0.0, 0.1 * sds, 0.0, 0.0, 0.0])  # drawn with SD 0.1
    visit = maturity.score_season(season(12, shift=shift), calibration=stored).visits[0]
    found = visit.shape_range
    assert found.outside is named and ("outside_calibration" in visit.estimate.flags) is named
    assert found.off_sd[shifted] == pytest.approx(sds, abs=0.6)
    assert all(abs(off) < 0.8 for name, off in found.off_sd.items() if name != shifted)
    assert found.own_block == f"River {DAY}" and found.own_distance == pytest.approx(sds, abs=0.4)
    assert found.nearest_distance <= found.own_distance
    notes = [note for note in visit.notes if note.startswith("outside_calibration")]
    assert len(notes) == named
    if named:
        assert f"{shifted} {found.off_sd[shifted]:.1f} SD above" in notes[0]
        assert DEFAULT_DESCRIPTORS[0] not in notes[0] and "nearest is" in notes[0]
        assert visit.left_out[0].reason.endswith(f"({found.sentence()})")
    assert visit.to_dict()["shape_range"]["outside"] is named


def test_a_block_is_held_against_baselines_where_slopes_are_of_no_use_too(season, tmp_path):
    stored = tmp_path / "c.json"
    write_json(stored, calibrate_season(season(0)).to_dict())
    visit = maturity.score_season(season(0, shift=2.0), calibration=stored).visits[0]
    assert visit.shape_range.outside and not visit.estimate.calibration_used
    assert any("outside_calibration" in note for note in visit.notes)


def test_a_block_that_is_unlike_itself_is_named(season, tmp_path):
    content = calibrate_season(season(12)).to_dict()
    made = read_calibration_text(content, tmp_path)
    own = {one.group: one.mean for one in made.block_baselines}[f"River {DAY}"]
    same = compare_shapes(made, "River", [list(own)] * 4)
    assert not same.unlike_itself and same.own_distance == pytest.approx(0, abs=1e-9)
    far = [list(own + 4 * made.shape_covariance.diagonal() ** 0.5)] * 4
    assert compare_shapes(made, "River", far).unlike_itself
    assert compare_shapes(made, "Elsewhere", far).own_block is None


def read_calibration_text(content, tmp_path):
    write_json(tmp_path / "text.json", content)
    return read_calibration(tmp_path / "text.json").shape["Amberlee"]


def test_what_cannot_be_calibrated_says_why(season):
    made = calibrate_season(season(12, oven_of=lambda block, tree: False))
    assert made.shape == {} and made.meters == {}
    assert "no fruit has both" in made.missing["shape of Amberlee"]
    assert "meter A" in made.missing


def test_a_changed_or_foreign_file_is_refused(season, tmp_path):
    file = tmp_path / "c.json"
    content = calibrate_season(season(12)).to_dict()
    later = {**content, "file_format": 99}
    changed = json.loads(json.dumps(content))
    changed["shape"][0]["fruit"] += 1
    meter = json.loads(json.dumps(content))
    meter["meters"]["A"]["within_block_sep"] = 0.05
    unnamed = json.loads(json.dumps(content))
    del unnamed["meters"]["A"]["id"]
    for bad in (later, changed, meter, unnamed, {"names": ["elongation"]}, [1], {"shape": 3}):
        write_json(file, bad)
        with pytest.raises(ValueError, match="is no calibration"):
            read_calibration(file)
    with pytest.raises(ValueError, match="descriptor 'roundnes'"):
        calibrate_season(tmp_path / "season", descriptors=["roundnes"])


def test_single_calibration_of_the_library_is_read_too(season, tmp_path):
    shape = calibrate_season(season(12)).shape["Amberlee"]
    (tmp_path / "one.json").write_text(shape.to_json())
    assert read_calibration(tmp_path / "one.json").shape["Amberlee"].id == shape.id


def test_command_prints_limits_within_80_columns_and_stores(tmp_path):
    """Oven and meter only: the shape cannot be calibrated, the meter can; ends with 1."""
    oven, meter = OVEN_HEADER, "block,tree,date,fruit,meter,dm_pct\n"
    for tree in range(1, 13):
        dm = 15 + 0.2 * tree
        oven += f"River,{tree},{DAY},1,40,60,{40 + 0.2 * dm:.4f},\n"
        meter += f"River,{tree},{DAY},1,A,{dm + (0.9 if tree % 2 else 0.1):.2f}\n"
    folder = write_files(tmp_path / "season", blocks=BLOCKS, oven=oven, meter=meter)
    done = run("calibrate", folder, "--out", tmp_path / "c.json", cwd=tmp_path)
    assert done.returncode == 1 and done.stderr == ""
    assert max(len(line) for line in done.stdout.splitlines()) <= 80
    assert "Meter A against oven: 12 fruit" in done.stdout and "+0.50" in done.stdout
    assert "No calibration of shape" in done.stdout and "Limits:" in done.stdout
    assert "Slopes hold" not in done.stdout
    assert "(12 fruit, 10 degrees of freedom)" in " ".join(done.stdout.split())
    (name,) = read_calibration(tmp_path / "c.json").meters
    assert name == "A"


def test_command_without_anything_to_calibrate_ends_with_2(tmp_path):
    oven = OVEN_HEADER + f"River,1,{DAY},1,40,60,43,\n"
    folder = write_files(tmp_path / "season", blocks=BLOCKS, oven=oven)
    done = run("calibrate", folder, "--out", tmp_path / "c.json", cwd=tmp_path)
    assert done.returncode == 2 and "nothing to calibrate" in done.stderr
    assert not (tmp_path / "c.json").exists()


def test_command_says_why_there_is_no_oven_value(tmp_path):
    oven = OVEN_HEADER + "".join(f'River,{tree},{DAY},1,"40,1",60,43,\n' for tree in range(1, 9))
    meter = f"block,tree,date,fruit,meter,dm_pct\nRiver,1,{DAY},1,A,15.5\n"
    folder = write_files(tmp_path / "season", blocks=BLOCKS, oven=oven, meter=meter)
    done = run("calibrate", folder, "--out", tmp_path / "c.json", cwd=tmp_path)
    said = " ".join(done.stderr.split())
    assert done.returncode == 2 and "8 rows or cells could not be used, the first: oven.csv" in said
    assert "row 2" in said and "'40,1'" in said
