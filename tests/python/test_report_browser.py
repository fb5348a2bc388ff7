"""The report in a browser: from disk, offline, on a phone and a desk, by keyboard, on paper."""

from __future__ import annotations

import copy
import functools
import re
import subprocess

import pytest
from browser import DESKTOP, PHONE, look, run_chromium, visit
from measured_season import sample_score
from PIL import Image
from printed_pages import page_texts

import maturity.report.plates as plates
from maturity.block_visit import in_100
from maturity.report import render_report


@pytest.fixture(name="report", scope="module")
def report_of_the_sample_season(tmp_path_factory):
    page = tmp_path_factory.mktemp("report") / "report.html"
    page.write_text(render_report(sample_score()), "utf-8")
    return page


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_report_opens_from_disk_without_complaint_or_request(report, tmp_path, size):
    seen = visit(report, tmp_path, size)
    assert seen.console == [] and seen.requests == []
    picture = Image.open(seen.picture).convert("L")
    assert picture.size == size
    # Not blank: text and an edge of a state on the first screen.
    assert picture.getextrema()[0] < 60 and len(set(picture.getdata())) > 50


def test_a_page_that_asks_and_complains_is_caught(tmp_path):
    page = tmp_path / "bad.html"
    page.write_text(
        "<!doctype html><title>x</title><link rel=icon href='data:,'>"
        "<img src='http://example.invalid/a.png'><script>console.error('boom')</script>"
    )
    seen = visit(page, tmp_path / "work")
    assert len(seen.console) == 1 and seen.requests == ["http://example.invalid/a.png"]


@pytest.mark.parametrize("size", [PHONE, DESKTOP], ids=["phone", "desktop"])
def test_report_can_be_read_and_reached_by_everybody(report, tmp_path, size):
    told = look(report, tmp_path, size)
    assert told["width"] == size[0] and told["scrolls_to"] <= size[0]
    assert told["texts"] > 300 and told["low"] == []
    assert told["unnamed"] == [] and told["stuck"] == 0 and told["broken"] == []
    assert told["first_state_bottom"] <= size[1], "the first block stands on the first screen"


def test_faint_text_and_nameless_controls_are_caught(report, tmp_path):
    page = tmp_path / "worse.html"
    text = report.read_text("utf-8").replace("--faint: #5a6368", "--faint: #a9b2b8")
    text = text.replace("Draw outlines on the photos", "").replace(
        "</body>", "<button></button></body>"
    )
    page.write_text(text.replace("<main", "<div style='width:600px'>x</div><main"), "utf-8")
    told = look(page, tmp_path / "work", PHONE)
    assert told["low"] and len(told["unnamed"]) == 2 and told["scrolls_to"] > PHONE[0]


def test_prints_on_a4_with_every_block(report, tmp_path):
    target = tmp_path / "report.pdf"
    run_chromium(report, tmp_path, DESKTOP, "--no-pdf-header-footer", f"--print-to-pdf={target}")
    info = subprocess.run(["pdfinfo", target], capture_output=True, text=True, check=True).stdout
    assert re.search(r"Page size:.*\(A4\)", info)
    text = " ".join(page_texts(target))
    for block in ("Weir", "Quarry", "Saddle"):
        assert f"Block {block}" in text
    assert "Draw outlines" not in text and "Cautions" in text


def test_map_charts_and_calibration_stand_in_words_too(report):
    text = report.read_text("utf-8")
    assert "Map of blocks, north up. Weir: not yet, 180 trees" in text
    assert len(re.findall(r"Map of block \w+, north up\. Sampled on 2025-11-21", text)) == 3
    early = next(one for one in sample_score().visits if one.block == "Saddle")
    chance = f"2025-11-11: {in_100(early.estimate.readiness)} in 100"
    assert f"Block Saddle: chance that the rule is met. {chance}" in text
    assert "forecast 2025-11-28" in text
    assert re.search(r"Block Saddle, 2025-11-21: dry matter read on \d+ oven", text)
    assert "No stored calibration" in text


def test_places_on_the_map_are_those_of_the_trees(report):
    """North is up and a metre is a metre: the scale bar against the positions of trees.csv."""
    from maturity.report.maps import block_map

    score = sample_score()
    drawn = block_map(score, score.latest()[0])
    spots = {tree.name: (tree.x, tree.y) for tree in drawn.trees}
    rows = {row["tree"]: row for row in score.season.tables["trees"].rows if row["block"] == "Weir"}
    one, other = max(
        ((a, b) for a in spots for b in spots),
        key=lambda pair: abs(spots[pair[0]][1] - spots[pair[1]][1]),
    )
    metres_north = (rows[one]["lat"] - rows[other]["lat"]) * 110_700
    left, right, _, text = drawn.scale_bar
    per_metre = (right - left) / float(text.split()[0])
    assert (spots[other][1] - spots[one][1]) / per_metre == pytest.approx(metres_north, rel=0.01)


def test_4000_photos_stay_below_15_mb_and_every_photo_is_named(monkeypatch):
    small = sample_score()
    score = copy.copy(small)
    score.photos = []
    score.season = copy.copy(small.season)
    score.season.photos = dict(small.season.photos)
    for number in range(4000):
        photo = copy.copy(small.photos[number % len(small.photos)])
        file = small.season.photos[photo.name]
        photo.name = f"Weir/copy-{number:04}.jpg"
        score.season.photos[photo.name] = file
        score.photos.append(photo)
    # The same 33 files again and again: each is decoded once.
    monkeypatch.setattr(plates, "open_upright", functools.cache(plates.open_upright))
    real, known = plates.jpeg_bytes, {}
    monkeypatch.setattr(
        plates,
        "jpeg_bytes",
        lambda one, quality: known.get(id(one)) or known.setdefault(id(one), real(one, quality)),
    )
    text = render_report(score)
    assert len(text.encode("utf-8")) < 15_000_000
    assert all(f"copy-{number:04}.jpg" in text for number in range(0, 4000, 97))
    assert text.count("data:image/jpeg") > 100
    # Without the limit the same season is far beyond it.
    monkeypatch.setattr(plates, "_PICTURES_BYTES", 10**9)
    shown, _ = plates.photo_plates(score)
    size = sum(len(one.source or "") + sum(2 * len(f.points) for f in one.fruit) for one in shown)
    assert size > 30_000_000
