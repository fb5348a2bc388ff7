"""Hundreds of bad photos in a batch: none crashes, hangs, prints, or costs another its result."""

from __future__ import annotations

import json
import subprocess
import sys
import textwrap

import pytest
from bad_photos import ERROR, MEASURED, bad_files, good_files

import maturity
from maturity.photo_limits import PhotoLimits

#: A whole minute would do; other people's work on the machine is not to fail this.
_TIMEOUT_S = 900
_BATCH = textwrap.dedent(
    """
    import json, sys
    import maturity
    paths = json.loads(sys.stdin.read())
    photos = maturity.measure_photos(paths, threads=2)
    json.dump([photo.to_dict() for photo in photos], sys.stdout)
    """
)


@pytest.fixture(scope="module")
def batch(tmp_path_factory):
    """(file, result) of the whole table, good photos between the bad ones, and the good results."""
    folder = tmp_path_factory.mktemp("bad")
    table = bad_files()
    paths, good = [], []
    for number, file in enumerate(table):
        (folder / file.name).write_bytes(file.data)
        paths.append(str(folder / file.name))
        if number % 20 == 0:
            good.append(len(paths))
            paths.append(str(folder / f"good-{number}.jpg"))
            (folder / f"good-{number}.jpg").write_bytes(good_files()[".jpg"])
    done = subprocess.run(
        [sys.executable, "-P", "-c", _BATCH],
        input=json.dumps(paths),
        capture_output=True,
        text=True,
        timeout=_TIMEOUT_S,
    )
    assert done.returncode == 0, done.stderr[-2000:]
    results = json.loads(done.stdout)
    others = [one for place, one in enumerate(results) if place not in good]
    return list(zip(table, others)), [results[place] for place in good], done.stderr


def test_the_table_is_large_and_names_nothing_twice():
    names = [file.name for file in bad_files()]
    assert len(names) >= 500 and len(set(names)) == len(names)


def test_nothing_is_printed(batch):
    assert batch[2] == ""


def test_every_bad_photo_has_the_outcome_it_should(batch):
    wrong = [
        (file.name, file.outcome, result["error"])
        for file, result in batch[0]
        if (file.outcome == ERROR and not result["error"])
        or (file.outcome == MEASURED and result["error"])
    ]
    assert wrong == []


def test_an_error_is_a_sentence_and_leaves_no_fruit(batch):
    for file, result in batch[0]:
        if result["error"]:
            assert result["fruits"] == [] and result["error"].endswith((".", "phone", "again")), (
                file.name,
                result["error"],
            )


def test_good_photos_between_them_are_measured_as_alone(batch, tmp_path):
    (tmp_path / "alone.jpg").write_bytes(good_files()[".jpg"])
    alone = maturity.measure_photos([tmp_path / "alone.jpg"])[0].to_dict()
    assert alone["error"] is None and alone["fruits"]
    assert len(batch[1]) >= 25
    for one in batch[1]:
        assert {**one, "seconds": 0} == {**alone, "seconds": 0}


def test_limits_can_be_set(tmp_path):
    photo = tmp_path / "good.jpg"
    photo.write_bytes(good_files()[".jpg"])
    (small,) = maturity.measure_photos([photo], limits=PhotoLimits(max_megapixels=0.01))
    assert "limit of 0.01 megapixels" in small.error and small.error_may_pass
    (late,) = maturity.measure_photos([photo], limits=PhotoLimits(max_seconds=0))
    assert "longer than the limit of 0 seconds" in late.error and late.error_may_pass
    with pytest.raises(ValueError, match="max_seconds is -1"):
        maturity.measure_photos([photo], limits=PhotoLimits(max_seconds=-1))
