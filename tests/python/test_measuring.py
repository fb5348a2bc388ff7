"""No photo twice: second runs, killed runs, and `maturity measure`."""

from __future__ import annotations

import csv
import json
import re
import shutil
import signal
import sqlite3
import subprocess
import sys
import time

import pytest
from PIL import Image
from sample_photos import sample_photos
from season_folders import BLOCKS, CLEARED, POLICY, oven_table, ripe_oven, write_files

import maturity
from maturity import _core
from maturity.overlay import overlay_names

DAY = "2026-11-03"


def photo_season(folder, count):
    """A season of the first photos of the sample season, one tree each."""
    oven = oven_table([(t, f, dm) for t, f, dm in ripe_oven() if t > 5])
    write_files(folder, blocks=BLOCKS, policy=POLICY, sprays=CLEARED, oven=oven)
    for tree, photo in enumerate(sample_photos(count), start=1):
        place = folder / "photos" / "River" / DAY / str(tree)
        place.mkdir(parents=True)
        shutil.copy(photo, place / photo.name)
    return folder


def measured(folder):
    with sqlite3.connect(folder / "results" / "measurements.sqlite") as base:
        return dict(base.execute("SELECT sha256, measured_at || result FROM measurement"))


def run(*arguments, cwd):
    command = [sys.executable, "-m", "maturity", *map(str, arguments)]
    return subprocess.run(command, cwd=cwd, capture_output=True, text=True, timeout=600)


def test_second_run_measures_nothing(tmp_path, monkeypatch):
    folder = photo_season(tmp_path, 2)
    first = maturity.score_season(folder)
    assert first.visits[0].used["fruit_with_shape"] > 0

    def refuse(*_arguments):
        raise AssertionError("a photo was measured again")

    monkeypatch.setattr(_core, "measure_photos", refuse)
    assert maturity.score_season(folder).to_dict() == first.to_dict()


def test_killed_batch_goes_on_where_it_was(tmp_path):
    folder = photo_season(tmp_path / "killed", 4)
    command = [sys.executable, "-m", "maturity", "score", str(folder), "--threads", "1"]
    batch = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    kept = {}
    deadline = time.monotonic() + 300
    while not kept and batch.poll() is None and time.monotonic() < deadline:
        time.sleep(0.02)
        try:
            kept = measured(folder)
        except sqlite3.Error:
            continue
    batch.send_signal(signal.SIGKILL)
    batch.wait()
    assert kept, "the batch ended before anything was kept"
    result = maturity.score_season(folder)
    after = measured(folder)
    assert len(after) == 4
    assert {sha: after[sha] for sha in kept} == kept, "a kept photo was measured again"
    fresh = maturity.score_season(photo_season(tmp_path / "fresh", 4))
    assert result.to_dict()["blocks"] == fresh.to_dict()["blocks"]


def test_photo_that_cannot_be_read_is_left_out_by_name(tmp_path):
    folder = photo_season(tmp_path, 1)
    bad = folder / "photos" / "River" / DAY / "9"
    bad.mkdir()
    (bad / "text.jpg").write_text("not a photo")
    result = maturity.score_season(folder)
    (left_out,) = [one for one in result.left_out if "text.jpg" in one.what]
    assert left_out.block == "River"
    assert result.visits[0].used["fruit_with_shape"] > 0


def test_measure_writes_what_is_asked_for(tmp_path):
    photo = tmp_path / "photos" / "=1+1.jpg"
    photo.parent.mkdir()
    shutil.copy(sample_photos(1)[0], photo)
    (photo.parent / "bad.jpg").write_text("not a photo")
    done = run(
        *("measure", "photos", "--json", "a.json", "--csv", "a.csv", "--overlays", "drawn"),
        cwd=tmp_path,
    )
    assert done.returncode == 1 and "Traceback" not in done.stderr
    results = json.loads((tmp_path / "a.json").read_text())
    assert set(results) == {"version", "photos"}
    assert set(results["photos"]) == {"photos/=1+1.jpg", "photos/bad.jpg"}
    with open(tmp_path / "a.csv", encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    fruit = results["photos"]["photos/=1+1.jpg"]["fruits"]
    assert [int(row["fruit"]) for row in rows if row["fruit"]] == [one["fruit"] for one in fruit]
    assert next(row for row in rows if not row["fruit"])["error"]
    with Image.open(tmp_path / "drawn" / "=1+1.jpg") as drawn:
        assert max(drawn.size) <= 1600 and not drawn.getexif()


def test_measure_of_a_name_that_is_a_formula_is_quoted(tmp_path):
    shutil.copy(sample_photos(1)[0], tmp_path / "=1+1.jpg")
    run("measure", "=1+1.jpg", "--csv", "a.csv", cwd=tmp_path)
    lines = (tmp_path / "a.csv").read_text().splitlines()
    assert len(lines) > 1 and all(line.startswith("'=1+1.jpg,") for line in lines[1:])


def test_measure_gives_the_same_as_the_call_from_python(tmp_path):
    paths = [str(path) for path in sample_photos(2)]
    run("measure", *paths, "--json", "a.json", cwd=tmp_path)
    stored = json.loads((tmp_path / "a.json").read_text())["photos"]
    for photo in maturity.measure_photos(paths):
        shown, kept = photo.to_dict(), stored[photo.path]
        for one in (shown, kept):
            del one["seconds"]
        assert shown == kept


@pytest.mark.parametrize("count", [1])
def test_report_shows_the_photo_with_numbered_outlines(tmp_path, count):
    folder = photo_season(tmp_path, count)
    result = maturity.score_season(folder)
    from maturity.report import render_report

    text = render_report(result)
    fruit = result.photos[0].measurement["fruits"]
    assert text.count('src="data:image/jpeg') == count
    assert text.count('class="under"') == len(fruit)
    for one in fruit:
        assert re.search(rf"<text[^>]*>{one['fruit']}</text>", text)


def test_overlays_of_photos_of_one_name_say_their_folder():
    files = ["s/Weir/IMG_1.jpg", "s/Quarry/img_1.jpg", "s/Weir/IMG_2.jpg", "s/Weir/IMG_1.jpeg"]
    assert list(overlay_names(files).values()) == [
        "Weir-IMG_1.jpg",
        "Quarry-img_1.jpg",
        "IMG_2.jpg",
        "Weir-IMG_1-2.jpg",
    ]
    long = overlay_names(["a/" + "x" * 400 + ".jpg", "b/" + "x" * 400 + ".jpg"])
    assert len(set(long.values())) == 2 and all(len(name) < 255 for name in long.values())
