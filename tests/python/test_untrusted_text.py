"""Text from outside never becomes markup, formula, path, command of a terminal, or SQL."""

from __future__ import annotations

import csv
import html.parser
import io
import json
import os
import shutil
import sqlite3
import subprocess
import sys

import pytest
from sample_photos import sample_photos
from season_folders import CLEARED, POLICY, oven_table, ripe_oven, write_files

import maturity
from maturity.photo_places import place_from_code
from maturity.report import render_report
from maturity.store import Store
from maturity.tables import safe_cell, write_csv

DAY = "2026-11-03"
#: Names that somebody could write into a cell, onto a card, or call a photo.
EVIL = [
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</style><svg onload=alert(1)>",
    "{{ 7 * 7 }}{% include '/etc/passwd' %}",
    "javascript:alert(1)",
    "=1+1",
    '=HYPERLINK("http://example.invalid","x")',
    "+1",
    "-1",
    "@SUM(A1)",
    " =1+1",
    "\uff1d1+1",
    "a;=1+1;",
    'a; "=1',
    "../../outside",
    "/etc/passwd",
    "..\\..\\outside",
    "'; DROP TABLE measurement; --",
    '" OR 1=1',
    "[bold red]x[/]",
    "Q1\u5730\u5757",
    "\u0628\u0644\u0648\u0643",
    "%s%n{0}",
]
#: First signs by which spreadsheets know a formula (OWASP, "CSV Injection"; from memory).
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


class Tags(html.parser.HTMLParser):
    """Names of the tags of a page, and its text."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.attributes, self.words = set(), [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.add(tag)
        self.attributes += attributes

    def handle_data(self, data):
        self.words.append(data)


def quoted(text):
    return '"' + text.replace('"', '""') + '"'


def evil_season(folder, evil):
    """A season in which every name that may be any text is this one."""
    name = quoted(evil)
    oven = oven_table(ripe_oven()).replace("River", name).replace(",1,2026", f",{name},2026")
    return write_files(
        folder,
        blocks=f"block,cultivar,{name}\n{name},{name},{name}\n",
        policy=POLICY.replace("River,,", f"{name},,").replace("invented policy", name),
        sprays=CLEARED.replace("River", name).replace("A. Person", name),
        oven=oven,
        trees=f"block,row,tree,flowering\n{name},{name},2,{name}\n",
        photos=f"photo,block,tree,date\n{name},{name},{name},{DAY}\n",
        meter=f"block,tree,date,fruit,meter,dm_pct\n{name},{name},{DAY},1,{name},16\n",
        picked="date,block,crew,bin,seen_at,fruit_checked,finding,count,judged_by\n"
        f"{DAY},{name},{name},{name},arrival,50,immature,9,{name}\n",
    )


def plain_report():
    """Tags of a report about harmless names."""
    import tempfile
    from pathlib import Path

    with tempfile.TemporaryDirectory() as name:
        return Tags(render_report(maturity.score_season(evil_season(Path(name), "River")))).tags


@pytest.mark.parametrize("evil", EVIL)
def test_names_stay_names_in_report_tables_and_folder(tmp_path, evil):
    folder = evil_season(tmp_path / "season", evil)
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    done = subprocess.run(
        [sys.executable, "-P", "-m", "maturity", "score", str(folder)],
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert done.returncode in (0, 1) and "Traceback" not in done.stderr, done.stderr
    assert "\x1b" not in done.stdout
    score = json.loads((folder / "results" / "score.json").read_text())
    assert [one["block"] for one in score["blocks"]] == [evil.strip()]
    with open(folder / "results" / "score.csv", encoding="utf-8", newline="") as file:
        cells = [cell for row in csv.reader(file) for cell in row]
    assert any(safe_cell(evil.strip()) in cell for cell in cells)
    # Where the decimal sign is a comma, spreadsheets split at semicolons.
    with open(folder / "results" / "score.csv", encoding="utf-8", newline="") as file:
        cells += [cell for row in csv.reader(file, delimiter=";") for cell in row]
    assert [cell for cell in cells if formula(cell)] == []
    page = Tags(render_report(maturity.score_season(folder)))
    assert page.tags == plain_report()
    assert evil.strip() in " ".join("".join(page.words).split()) or "  " in evil
    assert not any(name.startswith("on") for name, _ in page.attributes)
    assert {p: p.read_bytes() for p in before} == before, "the season folder was changed"
    made = {path.name for path in tmp_path.rglob("*") if path.is_file()} - {p.name for p in before}
    assert made == {"measurements.sqlite", "score.json", "score.csv"}


def formula(cell):
    """True when a spreadsheet would calculate with this cell: a number alone it may."""
    try:
        float(cell)
        return False
    except ValueError:
        return cell.lstrip(" \u00a0").startswith(
            (*FORMULA_SIGNS, "\uff1d", "\uff0b", "\uff0d", "\uff20")
        )


@pytest.mark.parametrize("sign", [*FORMULA_SIGNS, "\n", "\uff1d", " =", "\u00a0@"])
def test_a_cell_that_begins_like_a_formula_is_quoted(tmp_path, sign):
    text = f"{sign}cmd|' /C calc'!A0"
    assert formula(text) or sign == "\n"
    assert safe_cell(text) == "'" + text
    write_csv(tmp_path / "t.csv", [text], [{text: text}])
    with open(tmp_path / "t.csv", encoding="utf-8", newline="") as file:
        assert [row for row in csv.reader(file) if formula(row[0])] == []


def test_the_check_itself_would_see_a_bare_formula():
    text = io.StringIO("block\n=1+1\n")
    assert any(formula(cell) for row in csv.reader(text) for cell in row)


OUTSIDE = [
    "../outside.jpg",
    "../../outside.jpg",
    "/etc/passwd",
    "photos/../../outside.jpg",
    "~/x.jpg",
]


@pytest.mark.parametrize("named", OUTSIDE)
def test_a_photo_named_in_a_table_is_never_looked_for_outside(tmp_path, named):
    season = tmp_path / "season"
    (season / "photos" / "River").mkdir(parents=True)
    for place in (tmp_path, season):
        shutil.copy(sample_photos(1)[0], place / "outside.jpg")
    write_files(
        season,
        blocks="block,cultivar\nRiver,Amberlee\n",
        photos=f"photo,block,tree,date\n{named},River,1,{DAY}\n",
        oven=oven_table(ripe_oven()),
    )
    read = maturity.read_season(season)
    assert read.photos == {} and read.tables["photos"].rows == []
    assert any(problem.value == named for problem in read.problems)
    maturity.score_season(read)
    with sqlite3.connect(season / "results" / "measurements.sqlite") as base:
        assert base.execute("SELECT count(*) FROM measurement").fetchone() == (0,)


@pytest.mark.parametrize("evil", EVIL)
def test_sql_in_names_is_only_text(tmp_path, evil):
    with Store(tmp_path / "s.sqlite", version=evil) as store:
        photo = {"sha256": evil, "error": None, "flags": [], "fruits": [], "code_text": evil}
        assert store.put(evil, evil, photo) == photo
        assert store.get(evil, evil) == photo and store.count() == 1
        assert store.get("x", evil) is None


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("River/12", {"block": "River", "tree": "12"}),
        ("../..", {"block": "..", "tree": ".."}),
        ("River", {}),
        ("River/12/2026-11-03/4", {}),
        ("http://example.invalid/x", {}),
        ("/etc", {}),
        ("", {}),
        (None, {}),
    ],
)
def test_text_of_a_code_is_a_place_or_nothing(text, place):
    assert {k: v for k, v in place_from_code(text).items() if v is not None} == place


def test_a_code_that_names_no_block_of_the_season_leaves_the_photo_out():
    from maturity.photo_places import PlacedPhoto

    measured = {"sha256": "a", "error": None, "flags": [], "fruits": [], "code_text": "../../x"}
    assert PlacedPhoto("p.jpg", measured).block is None


def awkward_names():
    """Names that a file system of Unix allows."""
    return [
        "line\nbreak.jpg",
        "tab\tquote'\"`$(id).jpg",
        "=1+1.jpg",
        "-rf.jpg",
        "<b>bold<.jpg",
        "\u82b1\u679c\u5c71 \u0645\u0627\u0646\u062c\u0648 \U0001f96d.jpg",
        "n" * 251 + ".jpg",
        "\u82b1" * 83 + ".jpg",
        os.fsdecode(b"latin-\xe9\xff.jpg"),
        "esc\x1b[31m.jpg",
        " .jpg",
        "%41.jpg",
    ]


def test_photos_of_any_name_are_measured_drawn_and_listed(tmp_path):
    folder = tmp_path / "photos"
    folder.mkdir()
    from PIL import Image

    with Image.open(sample_photos(1)[0]) as photo:
        small = photo.resize((480, 480 * photo.height // photo.width))
    for number, name in enumerate(awkward_names()):
        small.save(tmp_path / "one.jpg", quality=70 + number)
        os.rename(tmp_path / "one.jpg", folder / name)
    (folder / "loop").symlink_to(folder)
    (folder / "up").symlink_to(tmp_path)
    (folder / "gone.jpg").symlink_to("nowhere.jpg")
    (folder / "round.jpg").symlink_to("round.jpg")
    (folder / "folder.jpg").mkdir()
    os.mkfifo(folder / "pipe.jpg")
    done = subprocess.run(
        [sys.executable, "-P", "-m", "maturity", "measure", "photos"]
        + ["--json", "a.json", "--csv", "a.csv", "--overlays", "drawn"],
        capture_output=True,
        timeout=300,
        cwd=tmp_path,
    )
    shown = done.stdout.decode()
    assert done.returncode == 1 and b"Traceback" not in done.stderr, done.stderr
    assert "\x1b" not in shown
    assert "folder above it" in done.stderr.decode()
    photos = json.loads((tmp_path / "a.json").read_text())["photos"]
    good = [one for one in photos.values() if one["error"] is None]
    assert len(good) == len(awkward_names()) and all(one["fruits"] for one in good)
    assert {name for name, one in photos.items() if one["error"]} == {
        "photos/gone.jpg",
        "photos/round.jpg",
        "photos/pipe.jpg",
    }
    with open(tmp_path / "a.csv", encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    named = {row["photo"] for row in rows}
    assert len(named) == len(photos)
    assert {"photos/latin-%E9%FF.jpg", "photos/line%0Abreak.jpg", "photos/%41.jpg"} <= named
    assert len(os.listdir(tmp_path / "drawn")) == len(awkward_names())


def test_a_season_of_such_photos_is_scored_and_reported(tmp_path):
    folder = tmp_path / "season"
    write_files(folder, blocks="block,cultivar\nRiver,Amberlee\n", policy=POLICY, sprays=CLEARED)
    write_files(folder, oven=oven_table(ripe_oven()))
    for tree, name in enumerate(awkward_names(), start=1):
        place = folder / "photos" / "River" / DAY / str(tree)
        place.mkdir(parents=True)
        shutil.copy(sample_photos(1)[0], place / name)
        with open(place / name, "ab") as file:
            file.write(b"\0" * tree)
    (folder / "photos" / "up").symlink_to(folder)
    result = maturity.score_season(folder)
    assert len(result.photos) == len(awkward_names())
    assert any("folder above it" in str(problem) for problem in result.season.problems)
    for one in result.photos:
        assert one.name.isprintable() and one.measurement["error"] is None
    render_report(result).encode("utf-8")


def test_a_folder_without_permission_is_named(tmp_path):
    import tempfile
    from pathlib import Path

    others = {"user": 65534, "group": 65534} if os.geteuid() == 0 else {}
    trial = [sys.executable, "-P", "-c", "import maturity"]
    if subprocess.run(trial, capture_output=True, cwd="/", **others).returncode != 0:
        pytest.skip("NOT TESTED: a shut folder; another user cannot reach the package here")
    with tempfile.TemporaryDirectory() as name:
        photos = Path(name) / "photos"
        (photos / "shut").mkdir(parents=True)
        for place in (photos, photos / "shut"):
            shutil.copy(sample_photos(1)[0], place / "p.jpg")
        shutil.copy(sample_photos(2)[1], photos / "unreadable.jpg")
        os.chmod(photos / "unreadable.jpg", 0)
        os.chmod(name, 0o755)
        os.chmod(photos / "shut", 0)
        done = subprocess.run(
            [sys.executable, "-P", "-m", "maturity", "measure", str(photos)],
            capture_output=True,
            text=True,
            timeout=300,
            cwd="/",
            **others,
        )
        os.chmod(photos / "shut", 0o755)
    assert done.returncode == 1 and "Traceback" not in done.stderr
    assert "shut: Permission denied" in done.stderr
    assert "no permission" in " ".join(done.stdout.split())


def test_a_path_of_five_thousand_characters_is_a_sentence(tmp_path):
    for path in ("x" * 5000, "x/" * 2500 + "y.jpg"):
        done = subprocess.run(
            [sys.executable, "-P", "-m", "maturity", "measure", path],
            capture_output=True,
            text=True,
            timeout=300,
            cwd=tmp_path,
        )
        assert done.returncode == 2 and "Traceback" not in done.stderr
    (photo,) = maturity.measure_photos(["x" * 5000])
    assert photo.error
