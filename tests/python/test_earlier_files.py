"""Files of earlier versions are read; those of a later version are refused in words.

`earlier_files` is never made anew: a file joins it whenever a format changes. The store there was
written before its tables had a version, the calibration by the first format.
"""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path

import pytest

from maturity.about import library_version
from maturity.cluster import dataset_results
from maturity.cluster.dataset import DATASET_FORMAT, Row, write_rows
from maturity.cluster.listing import Place
from maturity.cluster.needs import OptionalPackageMissing, need
from maturity.shape_range import compare_shapes
from maturity.stored_calibration import read_calibration
from maturity.store import SCHEMA_VERSION, Store

EARLIER = Path(__file__).parent / "earlier_files"


def copied(name, tmp_path):
    return Path(shutil.copy(EARLIER / name, tmp_path / name))


def test_store_of_the_first_version_is_read_and_keeps_its_numbers(tmp_path):
    path = copied("store_schema_0.sqlite", tmp_path)
    with Store(path, version="0.1.0, method 2") as store:
        found = store.get("a" * 64, "method=2;marker=40")
        assert [one["fruit"] for one in found["fruits"]] == [1, 2] and found["flags"] == ["tilted"]
        assert len(store.outlines("a" * 64, "method=2;marker=40")(2)) == 4
    with Store(path, version=library_version()) as store:
        assert not store.has("a" * 64, "method=2;marker=40")  # another method: measured again
        # Found in another order by the later method, the fruit keep the numbers of the first time.
        turned = [{**one, "fruit": 3 - one["fruit"]} for one in reversed(found["fruits"])]
        kept = store.put("IMG_1.jpg", "now", {**found, "fruits": turned})
        assert [(f["fruit"], f["outline_px"][0][0]) for f in kept["fruits"]] == [(1, 0), (2, 100)]
        assert store.count() == 2


def test_store_of_a_later_version_is_refused_and_untouched(tmp_path):
    path = copied("store_schema_0.sqlite", tmp_path)
    base = sqlite3.connect(path)
    base.execute(f"PRAGMA user_version={SCHEMA_VERSION + 1}")
    base.close()
    before = path.read_bytes()
    with pytest.raises(OSError, match="written by a later version of maturity"):
        Store(path, version=library_version())
    assert path.read_bytes() == before


def test_calibration_of_the_first_format_is_read():
    made = read_calibration(EARLIER / "calibration_format_1.json")
    shape = made.shape["Amberlee"]
    assert (shape.outcome, shape.folds, shape.fruit) == ("usable", 4, 64)
    assert made.meters["A"].fruit == 61 and made.meters["A"].sep_pct == pytest.approx(
        0.657, abs=5e-4
    )
    # Its slopes belong to shapes as an earlier method measured them.
    with pytest.raises(ValueError, match="method_version: 3; expected this library's, 9"):
        made.slopes("Amberlee")


def test_calibration_of_the_first_format_has_its_range_and_no_baselines_of_blocks():
    shape = read_calibration(EARLIER / "calibration_format_1.json").shape["Amberlee"]
    assert (shape.format, shape.block_baselines) == (1, [])
    at_home = [[float(value) for value in shape.shape_mean]] * 3
    found = shape.compare(at_home)
    assert not found.outside and found.distance == pytest.approx(0)
    assert len(shape.block_distances(at_home)) == 0
    away = shape.shape_mean + 4 * shape.shape_covariance.diagonal() ** 0.5
    assert shape.compare([list(away)]).outside
    # Shapes measured by a later method are not held against it.
    assert compare_shapes(shape, "River", at_home) is None


def test_calibration_of_the_second_format_is_read_and_has_no_ranges():
    made = read_calibration(EARLIER / "calibration_format_2.json")
    shape = made.shape["Velorine"]
    assert (shape.format, len(shape.block_baselines), shape.new_block.pairs) == (2, 6, 57)
    assert shape.new_block_ranges is None and shape.by_season is None
    assert made.meters["M1"].fruit == 82
    assert json.loads(shape.to_json())["id"] == shape.id


@pytest.mark.parametrize("which", ["file", "shape"])
def test_calibration_of_a_later_format_is_refused(which, tmp_path):
    content = json.loads((EARLIER / "calibration_format_1.json").read_text())
    if which == "file":
        content["file_format"] = 3
    else:
        content["shape"][0]["format"] = 4
    (tmp_path / "c.json").write_text(json.dumps(content))
    with pytest.raises(ValueError, match="format"):
        read_calibration(tmp_path / "c.json")


def test_dataset_of_the_first_format_is_read_and_a_later_one_refused(tmp_path, monkeypatch):
    try:
        need("pyarrow.parquet")
        need("fsspec")
    except OptionalPackageMissing as error:
        pytest.skip(f"NOT TESTED: {error}")
    dataset = tmp_path / "d"
    shutil.copytree(EARLIER / "dataset_format_1", dataset)
    found = dict(dataset_results(str(dataset), ["a" * 64], "0.1.0, method 3", "first"))
    assert found["a" * 64]["flags"] == ["tilted"]
    monkeypatch.setattr("maturity.cluster.dataset.DATASET_FORMAT", DATASET_FORMAT + 1)
    write_rows(str(dataset), [Row("b.jpg", Place(), found["a" * 64])], "v", "k", "later")
    monkeypatch.undo()
    with pytest.raises(OSError, match="update maturity"):
        list(dataset_results(str(dataset), ["a" * 64], "0.1.0, method 3", "first"))
