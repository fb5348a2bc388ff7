"""Photos into a Parquet dataset, on one machine and on a Dask cluster whose workers die."""

from __future__ import annotations

import doctest
import importlib
import json
import os
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from clusters import have, two_workers
from PIL import Image
from sample_photos import sample_photos
from season_folders import BLOCKS, CLEARED, POLICY, oven_table, ripe_oven, write_files

from maturity import _core, score_season
from maturity.about import library_version
from maturity.cluster import dataset_results, measure_into_dataset
from maturity.cluster.dataset import Folder, Row, known_photos, write_rows
from maturity.cluster.listing import Place, place_from_path, place_of
from maturity.cluster.needs import need
from maturity.cluster.work import Batch, measure_batch
from maturity.photo_limits import PhotoLimits

#: Photos of one piece of work here: small, so that a kill meets many pieces.
BATCH = 2
COUNT = 20


@pytest.fixture(scope="module")
def photos(tmp_path_factory):
    """Small photos, no two alike, of two blocks on two days; one cannot be read."""
    root = tmp_path_factory.mktemp("cluster") / "photos"
    sources = sample_photos(4)
    for number in range(COUNT):
        folder = (
            root / ("Weir", "Saddle")[number % 2] / f"2026-11-0{1 + number // 10}" / str(number)
        )
        folder.mkdir(parents=True)
        with Image.open(sources[number % len(sources)]) as photo:
            width = 640 + number
            small = photo.resize((width, width * photo.height // photo.width))
        small.save(folder / "IMG.jpg", quality=85)
    broken = root / "Weir" / "2026-11-01" / "99" / "half.jpg"
    broken.parent.mkdir()
    broken.write_bytes((root / "Weir" / "2026-11-01" / "0" / "IMG.jpg").read_bytes()[:2000])
    return root


def files_of(dataset):
    """Every file of a dataset, hidden ones too, to the byte."""
    files = (path for path in Path(dataset).rglob("*") if path.is_file())
    return {str(path.relative_to(dataset)): path.read_bytes() for path in files}


def results_of(dataset, run):
    """Measurements by SHA-256."""
    return dict(dataset_results(str(dataset), run.sha256.values(), run.version, run.settings))


@pytest.fixture(scope="module")
def alone(photos, tmp_path_factory):
    """The dataset of one machine that nobody disturbed."""
    have("pyarrow.parquet", "fsspec")
    dataset = tmp_path_factory.mktemp("alone") / "dataset"
    run = measure_into_dataset([photos], dataset, batch_photos=BATCH)
    assert (run.measured, run.known, run.not_measured) == (COUNT + 1, 0, {})
    return dataset, run


@pytest.fixture(scope="module")
def client():
    """A cluster of two worker processes on this machine."""
    have("pyarrow.parquet", "fsspec")
    with two_workers() as client:
        yield client


def test_rows_are_what_the_library_measures(alone, photos):
    dataset, run = alone
    results = results_of(dataset, run)
    assert len(results) == COUNT + 1
    for path, sha256 in run.sha256.items():
        expected = _core.measure_photo(path).to_dict()
        del expected["seconds"]
        assert results[sha256] == expected
    assert sum(one["error"] is not None for one in results.values()) == 1
    assert sum(len(one["fruits"]) for one in results.values()) > COUNT


def test_other_programs_read_it_with_block_and_date(alone):
    """Hive-style folders are what pyarrow and pandas understand without being told."""
    dataset, run = alone
    frame = need("pandas").read_parquet(dataset)
    assert set(frame["block"]) == {"Weir", "Saddle"}
    assert frame.groupby("block").size().to_dict() == {"Saddle": COUNT // 2, "Weir": COUNT // 2 + 1}
    fruit = frame["fruits"].explode().dropna()
    row = json.loads(frame["result"].iloc[0])
    assert {one["fruit"] for one in frame["fruits"].iloc[0]} == {f["fruit"] for f in row["fruits"]}
    assert dict(fruit.iloc[0]["descriptors"]) and fruit.iloc[0]["length_mm"] > 0


def test_a_worker_killed_midway_changes_no_byte(alone, photos, client, tmp_path):
    killed = []

    def kill_one(done, total):
        busy = [worker for worker, tasks in client.processing().items() if tasks]
        if not killed and busy and done < total / 2:
            pid = client.run(os.getpid, workers=busy[:1])[busy[0]]
            os.kill(pid, signal.SIGKILL)
            killed.append(pid)

    run = measure_into_dataset(
        [photos], tmp_path / "d", client=client, batch_photos=BATCH, progress=kill_one
    )
    assert len(killed) == 1, "no worker was killed while it had work"
    assert (run.measured, run.not_measured) == (COUNT + 1, {})
    assert files_of(tmp_path / "d") == files_of(alone[0])


def test_a_photo_that_kills_every_worker_costs_only_itself(photos, client, tmp_path, monkeypatch):
    from maturity.cluster import run as module

    deadly, real = str(photos / "Saddle" / "2026-11-01" / "1" / "IMG.jpg"), module.measure_batch

    def die_of_it(batch):
        if deadly in dict(batch.photos):
            os.kill(os.getpid(), signal.SIGKILL)
        return real(batch)

    monkeypatch.setattr(module, "measure_batch", die_of_it)
    run = measure_into_dataset([photos], tmp_path / "d", client=client, batch_photos=4)
    assert list(run.not_measured) == [deadly]
    assert "every worker that tried it was lost" in run.not_measured[deadly]
    assert run.measured == len(results_of(tmp_path / "d", run)) == COUNT


def test_what_is_there_is_not_measured_again(alone, photos, tmp_path):
    dataset = tmp_path / "d"
    shutil.copytree(alone[0], dataset)
    before = files_of(dataset)
    again = measure_into_dataset([photos], dataset, batch_photos=BATCH)
    assert (again.measured, again.known) == (0, COUNT + 1)
    assert files_of(dataset) == before
    lost = next(iter(sorted(before)))
    (dataset / lost).unlink()
    (dataset / Path(lost).parent / ".half-written.parquet").write_bytes(b"PAR1")
    more = measure_into_dataset([photos], dataset, batch_photos=7)  # pieces of another size
    assert 0 < more.measured <= BATCH and more.measured + more.known == COUNT + 1
    assert results_of(dataset, more) == results_of(*alone)


def test_copies_are_kept_once_and_other_settings_are_not_known(photos, tmp_path):
    have("pyarrow.parquet", "fsspec")

    one = photos / "Weir" / "2026-11-01" / "0" / "IMG.jpg"
    copy = tmp_path / "copy.jpg"
    shutil.copy(one, copy)
    first = measure_into_dataset([one, copy], tmp_path / "d")
    assert (first.measured, first.copies) == (1, 1)
    known = known_photos(str(tmp_path / "d"), first.version, first.settings)
    assert known == set(first.sha256.values())
    for version, key in ((first.version + "x", first.settings), (first.version, "other")):
        assert known_photos(str(tmp_path / "d"), version, key) == set()
    refused = measure_into_dataset([one], tmp_path / "e", limits=PhotoLimits(max_megapixels=0.1))
    assert refused.measured == 0 and list(refused.not_measured) == [str(one)]


def test_scores_from_a_dataset_are_those_of_the_season_measured_here(tmp_path):
    have("pyarrow.parquet", "fsspec")
    write_files(
        tmp_path / "a", blocks=BLOCKS, policy=POLICY, sprays=CLEARED, oven=oven_table(ripe_oven())
    )
    for number, source in enumerate(sample_photos(3)):
        folder = tmp_path / "a" / "photos" / "River" / "2026-11-03" / str(number + 1)
        folder.mkdir(parents=True)
        with Image.open(source) as photo:
            photo.resize((800, 800 * photo.height // photo.width)).save(folder / "IMG.jpg")
    measure_into_dataset([tmp_path / "a" / "photos"], tmp_path / "d")
    here = score_season(tmp_path / "a", results=tmp_path / "here").to_dict()
    measured_here = []
    there = score_season(
        tmp_path / "a",
        results=tmp_path / "there",
        measured=tmp_path / "d",
        progress=lambda done, total: measured_here.append(done),
    ).to_dict()
    assert there == here and measured_here == []


def test_photos_and_dataset_by_url_have_the_same_results(alone, photos, client, tmp_path):
    url, dataset = photos.as_uri(), (tmp_path / "d").as_uri()
    run = measure_into_dataset([url], dataset, client=client, batch_photos=BATCH)
    assert run.measured == COUNT + 1
    assert all(path.startswith("file://") for path in run.sha256)
    assert results_of(tmp_path / "d", run) == results_of(*alone)


def test_code_on_the_board_outranks_folders_and_never_becomes_a_path(tmp_path):
    assert place_from_path("/x/Weir/2026-11-03/7/a.jpg") == Place("Weir", "7", "2026-11-03")
    assert place_from_path("s3://bucket/photos/Weir/7/a.jpg") == Place("Weir", "7", None)
    assert place_from_path("photos/2026-11-03/a.jpg") == Place("2026-11-03", None, None)
    assert place_from_path("a.jpg") == Place()
    code = {"code_text": "Quarry/12", "taken_at": "2026-11-04T08:00:00"}
    assert place_of("/x/Weir/2026-11-03/7/a.jpg", code) == Place("Quarry", "12", "2026-11-03")
    assert place_of("a.jpg", {"taken_at": "2026-11-04T08:00"}) == Place(None, None, "2026-11-04")
    have("pyarrow.parquet", "fsspec")
    blank = {"sha256": "0" * 64, "fruits": [], "flags": [], "error": None}
    places = [Place("../../up", "1", "2026-11-03"), Place("x" * 5000), Place("..", None, None)]
    rows = [Row("a\n.jpg", place, blank) for place in places]
    for file in write_rows(str(tmp_path / "d"), rows, "v", "k", "n"):
        assert Path(file).resolve().is_relative_to(tmp_path / "d")
    assert len(files_of(tmp_path / "d")) == 3
    frame = need("pandas").read_parquet(tmp_path / "d")
    assert len(frame) == 3 and set(frame["date"]) == {"", "2026-11-03"}


def test_the_example_of_the_docstring_runs():
    have("pyarrow.parquet", "fsspec")
    result = doctest.testmod(importlib.import_module("maturity.cluster.run"))
    assert result.failed == 0 and result.attempted > 0


def test_what_a_killed_worker_left_half_written_is_cleared_away(tmp_path):
    have("pyarrow.parquet", "fsspec")
    blank = {"sha256": "0" * 64, "fruits": [], "flags": [], "error": None}
    rows = [Row("a.jpg", Place("Weir", "1", "2026-11-03"), blank)]
    (file,) = write_rows(str(tmp_path), rows, "v", "k", "n")
    half = Path(file).with_name(f".123-{Path(file).name}")
    unfinished = Path(file).with_name(".124-part-other.parquet")
    for left in (half, unfinished):
        left.write_bytes(b"half")
    Folder(str(tmp_path)).clear_unfinished()
    assert not half.exists() and unfinished.exists() and Path(file).exists()


def command(*arguments, **more):
    return subprocess.run(
        [sys.executable, "-P", "-m", "maturity", "measure", *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=120,
        **more,
    )


def test_the_command_measures_on_a_cluster(alone, photos, client, tmp_path):
    address = client.scheduler.address
    done = command(photos, "--dataset", tmp_path / "d", "--cluster", address)
    assert done.returncode == 0 and "Traceback" not in done.stderr, done.stderr
    assert f"{COUNT + 1} measured now, 0 already there" in " ".join(done.stdout.split())
    assert results_of(tmp_path / "d", alone[1]) == results_of(*alone)


def test_wrong_use_is_one_plain_sentence(photos, tmp_path):
    alone = command(photos, "--cluster", "tcp://127.0.0.1:9")
    assert alone.returncode == 2 and "give --dataset FOLDER too" in alone.stderr
    both = command(photos, "--dataset", tmp_path / "d", "--csv", tmp_path / "a.csv")
    assert both.returncode == 2 and "--dataset holds all results" in both.stderr


def test_a_missing_package_says_what_to_install(photos, tmp_path):
    """Whether or not it is installed: an empty file in its place cannot be used."""
    (tmp_path / "pyarrow.py").write_text("raise ImportError('not here')\n")
    environment = {**os.environ, "PYTHONPATH": str(tmp_path)}
    done = command(photos, "--dataset", tmp_path / "d", env=environment)
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert "pip install 'maturity[cluster]'" in " ".join(done.stderr.split())
    assert "Traceback" not in done.stderr


def test_no_scheduler_is_one_plain_sentence(photos, tmp_path):
    have("pyarrow.parquet", "fsspec", "distributed")
    done = command(photos, "--dataset", tmp_path / "d", "--cluster", "tcp://127.0.0.1:9")
    assert done.returncode == 2 and "Traceback" not in done.stderr
    assert "no scheduler answers at tcp://127.0.0.1:9" in " ".join(done.stderr.split())


def test_a_worker_of_another_version_is_refused(photos, tmp_path):
    have("pyarrow.parquet", "fsspec")
    batch = Batch((), str(tmp_path), library_version() + "x", PhotoLimits())
    with pytest.raises(RuntimeError, match="install the same version on all machines"):
        measure_batch(batch)
