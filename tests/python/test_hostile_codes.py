"""Cards whose square code holds markup, a formula, a path or SQL: text in every result, no more."""

from __future__ import annotations

import csv
import json
import shutil
import sqlite3
import subprocess
import sys

import numpy
import pytest
from PIL import Image
from sample_photos import sample_photos
from season_folders import POLICY, oven_table, ripe_oven, write_files
from test_untrusted_text import Tags, formula

import maturity
from maturity import _core

#: As a tree of the block River, where the text reaches every result.
TREES = [
    "<script>alert(1)<",
    '"><img src=x onerror=alert(1)>',
    "{{7*7}}{% raw %}",
    '=HYPERLINK("x")',
    "@SUM(A1)",
    "+1+1",
    "'; DROP TABLE measurement; --",
    "..",
    "[bold red]x[ ]",
    "\u5730\u5757",
]
#: Codes that name no block of the season, or no place at all.
OTHERS = [
    "../../etc/passwd",
    "</style><svg onload=alert(1)>/1",
    "=1+1/2",
    "http://example.invalid/",
]
_SIDE, _MODULE = 1300, 5


def hostile_photo(text, target):
    """A photo of the sample season with a card of this text laid into a corner of the board."""
    cells = [[sign == "1" for sign in row] for row in _core.code_cells(text)]
    code = numpy.kron(numpy.where(numpy.array(cells), 15, 235), numpy.ones((_MODULE, _MODULE)))
    card = numpy.pad(code, 4 * _MODULE, constant_values=235).astype(numpy.uint8)
    with Image.open(sample_photos(2)[1]) as photo:
        photo = photo.convert("RGB").resize((_SIDE, _SIDE * photo.height // photo.width))
    photo.paste(Image.fromarray(card).convert("RGB"), (photo.width // 2 - 90, 15))
    target.parent.mkdir(parents=True, exist_ok=True)
    photo.save(target, quality=92)


@pytest.fixture(scope="module")
def season(tmp_path_factory):
    """A season whose photos are placed by their cards alone."""
    folder = tmp_path_factory.mktemp("hostile") / "season"
    write_files(
        folder,
        blocks="block,cultivar\nRiver,Amberlee\n",
        policy=POLICY,
        oven=oven_table(ripe_oven()),
    )
    texts = [f"River/{tree}/2026-11-03" for tree in TREES] + OTHERS
    for number, text in enumerate(texts):
        hostile_photo(text, folder / "photos" / f"{number}.jpg")
    return folder, texts


def run(*arguments):
    done = subprocess.run(
        [sys.executable, "-P", "-m", "maturity", *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode in (0, 1) and "Traceback" not in done.stderr, done.stderr
    assert "\x1b" not in done.stdout
    return done.stdout


def cells_of(path):
    with open(path, encoding="utf-8", newline="") as file:
        return [cell for row in csv.reader(file) for cell in row]


def test_the_codes_are_read_as_they_are_and_tables_hold_no_formula(season, tmp_path):
    folder, texts = season
    run("measure", folder / "photos", "--csv", tmp_path / "a.csv", "--json", tmp_path / "a.json")
    photos = json.loads((tmp_path / "a.json").read_text())["photos"]
    read = {path.rsplit("/")[-1]: one["code_text"] for path, one in photos.items()}
    assert read == {f"{number}.jpg": text for number, text in enumerate(texts)}
    assert all(one["fruits"] for one in photos.values())
    assert [cell for cell in cells_of(tmp_path / "a.csv") if formula(cell)] == []


def test_they_place_photos_and_stay_text_in_every_result(season, tmp_path):
    folder, texts = season
    before = sorted(path for path in folder.parent.rglob("*") if path.is_file())
    shown = run("score", folder, "--results", tmp_path / "results")
    harmless = tmp_path / "harmless"
    shutil.copytree(folder, harmless)
    for number in range(len(TREES)):
        hostile_photo(f"River/{number}/2026-11-03", harmless / "photos" / f"{number}.jpg")
    run("report", harmless, "--out", tmp_path / "plain.html")
    run("report", folder, "--results", tmp_path / "results", "--out", tmp_path / "report.html")
    result = maturity.score_season(folder, results=tmp_path / "results")
    placed = {photo.tree for photo in result.photos if photo.left_out is None}
    assert placed == set(TREES)
    left_out = [photo.left_out for photo in result.photos if photo.left_out is not None]
    assert len(left_out) == len(OTHERS)
    # Nothing that was named by a code was opened, made or overwritten.
    assert sorted(path for path in folder.parent.rglob("*") if path.is_file()) == before
    rows = [row for visit in result.visits for row in visit.fruit]
    assert {row["tree"] for row in rows} >= set(TREES)
    assert [cell for cell in cells_of(tmp_path / "results" / "score.csv") if formula(cell)] == []
    with sqlite3.connect(tmp_path / "results" / "measurements.sqlite") as base:
        assert base.execute("SELECT count(*) FROM measurement").fetchone() == (len(texts),)
    text = (tmp_path / "report.html").read_text("utf-8")
    page, plain = Tags(text), Tags((tmp_path / "plain.html").read_text("utf-8"))
    assert page.tags == plain.tags
    assert not any(name.startswith("on") for name, _ in page.attributes)
    assert links_of(page) == links_of(plain)
    assert "".join(page.words).count("<script>alert(1)<") > 0
    assert "<script" not in shown.replace("<script>alert(1)<", "")


def links_of(page):
    """Where a page points to; pictures inside it by their kind."""
    links = [value for name, value in page.attributes if name in ("href", "src")]
    return {one.partition(",")[0] if one.startswith("data:") else one for one in links}
