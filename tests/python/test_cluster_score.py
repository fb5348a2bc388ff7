"""Scores from a Dask cluster whose workers die: the same bytes as on one machine."""

from __future__ import annotations

import math
import os
import pickle
import signal
import subprocess
import sys

import numpy
import pytest
from clusters import two_workers
from measured_season import sample_score
from PIL import Image
from sample_photos import sample_photos
from season_folders import write_files

from maturity import _core, score_season
from maturity.blocks import block_question
from maturity.cluster import season_blocks
from maturity.tables import write_csv, write_json

BLOCKS = ("Weir", "Quarry", "Saddle", "Ford", "Mill")
PHOTOS = 6


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    """Five blocks with readings, two visits each, photos of two of them, one broken."""
    folder = tmp_path_factory.mktemp("season")
    oven = "".join(
        f"{block},{tree},2026-11-{3 + 9 * visit:02},1,{14.2 + place / 3 + visit + tree % 7 / 4}\n"
        for place, block in enumerate(BLOCKS)
        for visit in range(2)
        for tree in range(1, 11)
    )
    write_files(
        folder,
        blocks="block,cultivar\n" + "".join(f"{block},Amberlee\n" for block in BLOCKS),
        policy="block,rule,minimum_dm_pct,required_share,confidence\n"
        + "".join(f"{block},share,15,0.9,0.9\n" for block in BLOCKS),
        sprays="block,finished_at,product,withholding_days,reentry_hours,market,confirmed_by,"
        "confirmed_on\nFord,2026-10-01 00:00,none,,,,A. Person,2026-11-11\n",
        oven="block,tree,date,fruit,dm_pct\n" + oven,
    )
    for number, source in enumerate(sample_photos(PHOTOS), start=1):
        place = folder / "photos" / BLOCKS[number % 2] / "2026-11-03" / str(number)
        place.mkdir(parents=True)
        with Image.open(source) as photo:
            photo.resize((640, 640 * photo.height // photo.width)).save(place / "a.jpg")
    broken = folder / "photos" / "Mill" / "2026-11-03" / "1"
    broken.mkdir(parents=True)
    (broken / "half.jpg").write_bytes((place / "a.jpg").read_bytes()[:3000])
    return folder


@pytest.fixture(scope="module")
def client():
    with two_workers() as client:
        yield client


def written(score, folder):
    """The two files of results."""
    frame = score.to_frame()
    write_json(folder / "score.json", score.to_write())
    write_csv(folder / "score.csv", list(frame.columns), frame.to_dict("records"))
    return [(folder / name).read_bytes() for name in ("score.json", "score.csv")]


@pytest.fixture(scope="module")
def alone(season, tmp_path_factory):
    folder = tmp_path_factory.mktemp("alone")
    return written(score_season(season, results=folder), folder)


def test_blocks_on_workers_of_which_one_dies_have_the_same_bytes(
    season, alone, client, tmp_path, monkeypatch
):
    died, real = tmp_path / "died", season_blocks.score_block

    def die_once(task):
        if task.block["block"] == "Saddle" and not died.exists():
            died.touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return real(task)

    monkeypatch.setattr(season_blocks, "score_block", die_once)
    done = []
    score = score_season(
        season, results=tmp_path, client=client, progress=lambda n, total: done.append(n)
    )
    assert died.exists(), "no worker died"
    assert done[-1] == PHOTOS + 1
    assert written(score, tmp_path) == alone
    # The report compares rows of policy by identity.
    assert all(visit.policy in score.season.tables["policy"].rows for visit in score.visits)
    rows = {id(row) for row in score.season.tables["policy"].rows}
    assert {id(visit.policy) for visit in score.visits} <= rows


def test_photos_that_workers_cannot_see_are_measured_here(season, alone, client, tmp_path):
    """Folders of the workers that are not those of this machine: nothing is left out for it."""
    from maturity.cluster import season_photos

    real = season_photos._measure_piece

    def blind(piece):
        return real(
            season_photos._Piece(
                tuple((name, b"/nowhere" + file) for name, file in piece.photos),
                piece.thickness_mm,
                piece.limits,
            )
        )

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(season_photos, "_measure_piece", blind)
        score = score_season(season, results=tmp_path, client=client)
    assert written(score, tmp_path) == alone


def test_a_block_that_kills_every_worker_costs_only_itself(season, client, tmp_path, monkeypatch):
    real = season_blocks.score_block

    def die_of_it(task):
        if task.block["block"] == "Ford":
            os.kill(os.getpid(), signal.SIGKILL)
        return real(task)

    monkeypatch.setattr(season_blocks, "score_block", die_of_it)
    score = score_season(season, results=tmp_path, client=client)
    assert "every worker that tried it was lost" in score.silent_blocks["Ford"]
    assert {visit.block for visit in score.visits} == set(BLOCKS) - {"Ford"}


def test_the_command_scores_on_a_cluster(season, alone, client, tmp_path):
    client.wait_for_workers(1, timeout=300)  # those that died come back
    command = [sys.executable, "-P", "-m", "maturity", "score", str(season)]
    command += ["--results", str(tmp_path), "--cluster", client.scheduler.address]
    done = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert done.returncode == 1 and "Traceback" not in done.stderr, done.stderr
    assert [(tmp_path / name).read_bytes() for name in ("score.json", "score.csv")] == alone


def test_what_a_block_estimate_was_asked_survives_the_way_to_another_machine():
    """Every member of it, or a worker's answer would differ: meters, photos, NaN, calibration."""
    for visit in sample_score().visits:
        if visit.question is not None:
            again = pickle.loads(pickle.dumps(visit))
            assert again.to_dict() == visit.to_dict()
            estimate = _core.estimate_block(again.question)
            assert estimate.to_dict() == visit.estimate.to_dict()


def test_a_question_with_all_there_is_survives_it_too():
    names, shape = ["a", "b"], numpy.random.default_rng(3).normal(size=(24, 2))
    slopes = _core.CalibrationSlopes(
        id="made up",
        names=names,
        version=_core.method_version(),
        slopes=[0.8, -0.3],
        slopes_covariance=[[0.04, 0.01], [0.01, 0.09]],
        shape_mean=[0.1, -0.1],
        shape_covariance=[[1.0, 0.2], [0.2, 1.5]],
    )
    dm = 16 + shape @ [0.8, -0.3]
    unknown = math.nan
    question = block_question(
        [str(fruit // 2) for fruit in range(24)],
        shape=shape,
        oven=[one if place % 2 else unknown for place, one in enumerate(dm)],
        meter={"A": dm + 0.4, "B": [unknown] * 12 + list(dm[12:] - 0.2)},
        minimum_dm_pct=15.5,
        included=[place % 5 > 0 for place in range(24)],
        picked_on_purpose=True,
        calibration=slopes,
        descriptor_names=names,
        meter_sep_pct={"A": 0.7, "B": 0.5},
        meter_sep_n={"A": 20, "B": 9},
        meter_slope=0.9,
        meter_slope_sd=0.05,
        oven_sd_pct=0.2,
    )
    estimate = _core.estimate_block(question)
    assert estimate.calibration_used and len(estimate.further_meter_bias) == 1
    again = _core.estimate_block(pickle.loads(pickle.dumps(question)))
    assert again.to_dict() == estimate.to_dict()
