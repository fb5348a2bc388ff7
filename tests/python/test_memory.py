"""Memory does not hold what was measured: the peak of N and of 4 N of them, measured and scored."""

from __future__ import annotations

import hashlib
import io
import struct
import subprocess
import sys
import tracemalloc

import pytest
from PIL import Image
from sample_photos import sample_photos
from season_folders import POLICY, write_files

import maturity
from maturity import _core
from maturity.about import library_version
from maturity.block_scoring import score_block
from maturity.photo_limits import PhotoLimits
from maturity.store import Store
from maturity.tables import write_json

#: What a photo may cost once it is measured and scored, bytes: its name, its place, and a twentieth
#: of its block. Its measurement, read into memory, is 15 kB; what an estimate needs of its six
#: fruit 6 kB.
_BYTES_A_PHOTO = 2_500
#: Photos of a season whose measurements are made up.
_FEW = 200
#: Photos that are measured, and what 4 N may need beyond N of them, MB: the result of this photo of
#: eight fruit takes 0.2 MB or more, so that a program that holds them needs some 25 MB more.
_MEASURED, _MOST_MORE_MB = 12, 8


def made_up_photo(number: int) -> dict[str, object]:
    """A measurement as the library gives it, of six fruit."""
    names = [one["name"] for one in _core.descriptor_registry()]
    fruits = []
    for fruit in range(1, 7):
        x = 100.0 * fruit
        fruits.append(
            {
                "fruit": fruit,
                "numbered_by_tile": True,
                "outline_px": [[x, 0.0], [x, 60.0], [x + 50, 60.0], [x + 50, 0.0]],
                "outline_mm": [],
                "stem_px": [x, 30.0],
                "nose_px": [x + 50, 30.0],
                "ventral_side": 1,
                "length_mm": 110.0 + (number + fruit) % 17 / 7,
                "width_mm": 80.0,
                "flags": [],
                "usable": True,
                "descriptors": {
                    name: 0.5 + (number * 7 + fruit * place) % 101 / 300
                    for place, name in enumerate(names)
                },
                "descriptor_se": dict.fromkeys(names, 0.01),
            }
        )
    return {"error": None, "flags": [], "taken_at": None, "code_text": None, "fruits": fruits}


def season_of(folder, count):
    """Photos that were measured, a tree each, in blocks of twenty: the files are no photos."""
    names = [f"Block{number}" for number in range(count // 20)]
    rows = [
        f"{name},{tree},2026-11-03,1,{15 + tree % 9 / 3}" for name in names for tree in range(9)
    ]
    write_files(
        folder,
        blocks="block,cultivar\n" + "".join(f"{name},Amberlee\n" for name in names),
        policy=POLICY.split("\n")[0]
        + "\n"
        + "".join(POLICY.split("\n")[1].replace("River", name) + "\n" for name in names),
        oven="block,tree,date,fruit,dm_pct\n" + "\n".join(rows) + "\n",
    )
    key = PhotoLimits().settings(0).key()
    with Store(folder / "results" / "measurements.sqlite", version=library_version()) as store:
        store._base.execute("PRAGMA synchronous=OFF")
        for number in range(count):
            place = folder / "photos" / names[number // 20] / "2026-11-03" / str(number % 20)
            place.mkdir(parents=True)
            data = b"photo %d" % number
            (place / "a.jpg").write_bytes(data)
            photo = {"sha256": hashlib.sha256(data).hexdigest(), **made_up_photo(number)}
            store.put("a.jpg", key, photo)
    return folder


def peak_of_score(folder):
    """Most memory that Python had in use while a season was scored and written, bytes."""
    tracemalloc.start()
    try:
        score = maturity.score_season(folder)
        write_json(folder / "results" / "score.json", score.to_write())
        peak = tracemalloc.get_traced_memory()[1]
    finally:
        tracemalloc.stop()
    assert sum(visit.used["fruit_with_shape"] for visit in score.visits) == 6 * len(score.photos)
    return peak


def bytes_a_photo(seasons):
    """How much more memory each further photo took."""
    few, many = (peak_of_score(season) for season in seasons)
    return (many - few) / (3 * _FEW)


@pytest.fixture(autouse=True)
def a_file_from_the_start(monkeypatch):
    """As in a large season: the first megabytes would be put away in memory."""
    monkeypatch.setattr("maturity.put_away._NO_FILE_BYTES", 1)


@pytest.fixture(scope="module")
def seasons(tmp_path_factory):
    folder = tmp_path_factory.mktemp("seasons")
    return [season_of(folder / str(count), count) for count in (_FEW, 4 * _FEW)]


def test_a_scored_season_does_not_hold_its_measurements(seasons):
    assert bytes_a_photo(seasons) < _BYTES_A_PHOTO


def test_the_bound_is_below_what_holding_them_takes(seasons, monkeypatch):
    """Made wrong on purpose: every measurement that was read is held."""
    monkeypatch.setattr("maturity.kept._HELD", 10**9)
    assert bytes_a_photo(seasons) > 1.5 * _BYTES_A_PHOTO


def test_the_bound_is_below_what_the_fruit_of_all_blocks_take(seasons, monkeypatch):
    """Made wrong on purpose: all blocks are made ready before the first is scored."""
    monkeypatch.setattr(
        "maturity.scoring.score_here", lambda tasks: [(one, score_block(one)) for one in [*tasks]]
    )
    assert bytes_a_photo(seasons) > 1.5 * _BYTES_A_PHOTO


_SAY_PEAK = """
import atexit, re, sys
peak = lambda: re.search(r"VmHWM:\\s+(\\d+) kB", open("/proc/self/status").read())[1]
atexit.register(lambda: print(peak(), file=sys.stderr))
"""
_MEASURE = """
from maturity.__main__ import main
sys.argv = ["maturity", "measure", sys.argv[1], "--threads", "1"] + sys.argv[2:]
main()
"""
_HOLD_ALL = """
import pathlib
from maturity import measure_photos
photos = measure_photos(sorted(pathlib.Path(sys.argv[1]).glob("*.jpg")), threads=1)
held = [photo.to_dict() for photo in photos]
"""


def peak_mb(script, *arguments):
    """Most resident memory of a Python program, MB, by its own word.

    What the system says of a child counts the parent's memory from before it became the child.
    """
    done = subprocess.run(
        [sys.executable, "-P", "-c", _SAY_PEAK + script, *map(str, arguments)],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        timeout=600,
    )
    assert done.returncode in (0, 1), done.stderr
    return int(done.stderr.split()[-1]) / 1024


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    """N and 4 N small photos, each with a comment of its own, so that none is a copy."""
    buffer = io.BytesIO()
    with Image.open(sample_photos(5)[4]) as photo:
        photo.resize((640, 640 * photo.height // photo.width)).save(buffer, "JPEG", quality=88)
    jpeg = buffer.getvalue()
    made = []
    for count in (_MEASURED, 4 * _MEASURED):
        folder = tmp_path_factory.mktemp(f"photos-{count}")
        for number in range(count):
            text = b"copy %d" % number
            comment = b"\xff\xfe" + struct.pack(">H", len(text) + 2) + text
            (folder / f"{number}.jpg").write_bytes(jpeg[:2] + comment + jpeg[2:])
        made.append(folder)
    return made


def test_measured_photos_are_not_held_until_they_are_written(folders, tmp_path):
    out = ["--csv", tmp_path / "a.csv", "--json", tmp_path / "a.json"]
    few, many = (peak_mb(_MEASURE, folder, *out) for folder in folders)
    assert (tmp_path / "a.csv").stat().st_size > 0
    assert many - few < _MOST_MORE_MB


def test_the_bound_is_below_what_held_results_take(folders):
    """Made wrong on purpose: results of all photos in one list."""
    few, many = (peak_mb(_HOLD_ALL, folder) for folder in folders)
    assert many - few > 1.5 * _MOST_MORE_MB
