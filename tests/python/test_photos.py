"""Measuring photos from Python: bad files named, the rest done, the same for any threads."""

from __future__ import annotations

import json
import math
import pickle
import shutil
import threading

import pytest
from sample_photos import board_picture, sample_photos

import maturity

FIELDS = {"sha256", "width_px", "height_px", "taken_at", "error", "flags", "mm_per_px", "tilt_deg"}
FRUIT_FIELDS = {
    "fruit",
    "outline_px",
    "stem_px",
    "nose_px",
    "ventral_side",
    "length_mm",
    "width_mm",
    "mass_g_estimate",
    "flags",
    "usable",
    "descriptors",
    "descriptor_se",
}


def without_time(photo):
    return {name: value for name, value in photo.to_dict().items() if name != "seconds"}


def test_bad_files_are_named_and_the_rest_is_done(tmp_path):
    good = sample_photos(1)[0]
    text = tmp_path / "text.jpg"
    text.write_text("not a photo")
    short = tmp_path / "short.jpg"
    short.write_bytes(good.read_bytes()[: good.stat().st_size // 2])
    paths = [text, short, tmp_path / "missing.jpg", good]
    photos = maturity.measure_photos(paths)
    assert [photo.path for photo in photos] == [str(path) for path in paths]
    assert [photo.error is None for photo in photos] == [False, False, False, True]
    assert all(photo.fruits == [] for photo in photos[:3])
    assert len(photos[3].fruits) >= 4


def test_result_holds_the_promised_fields_and_no_nan():
    (photo,) = maturity.measure_photos(sample_photos(1))
    fields = photo.to_dict()
    assert FIELDS <= set(fields)
    json.dumps(fields, allow_nan=False)
    for fruit, shown in zip(photo.fruits, fields["fruits"]):
        assert FRUIT_FIELDS <= set(shown)
        assert fruit.outline_px.ndim == 2 and fruit.outline_px.shape[1] == 2
        assert all(math.isfinite(value) for value in fruit.descriptors.values())
    assert "PhotoMeasurement(" in repr(photo)


def test_result_goes_through_pickle_unchanged():
    (photo,) = maturity.measure_photos(sample_photos(1))
    assert pickle.loads(pickle.dumps(photo)).to_dict() == photo.to_dict()


def test_threads_change_nothing():
    paths = sample_photos(3)
    one = maturity.measure_photos(paths, threads=1)
    two = maturity.measure_photos(paths, threads=2)
    assert [without_time(photo) for photo in one] == [without_time(photo) for photo in two]


def test_other_threads_of_the_interpreter_go_on_meanwhile():
    paths = sample_photos(2)
    seen = []
    worker = threading.Thread(target=lambda: seen.append(maturity.measure_photos(paths)))
    worker.start()
    turns = 0
    while worker.is_alive():
        turns += 1
        worker.join(0.005)
    assert len(seen[0]) == 2
    # A held lock would let this loop turn once or twice in the half second that measuring takes.
    assert turns > 5


def test_one_path_instead_of_a_list_is_refused():
    with pytest.raises(ValueError, match="one path"):
        maturity.measure_photos("photo.jpg")
    with pytest.raises(ValueError, match="threads"):
        maturity.measure_photos([], threads=-1)


def test_printed_markers_are_found_again_with_the_right_scale(tmp_path):
    """The cells drawn by the sheet are those of the dictionary that the board stage reads."""
    board_picture(0.4).save(tmp_path / "board.png")
    (photo,) = maturity.measure_photos([tmp_path / "board.png"])
    assert photo.error is None
    assert "no_markers" not in photo.flags and "few_markers" not in photo.flags
    assert "no_fruit" in photo.flags
    assert photo.mm_per_px == pytest.approx(0.4, rel=0.005)


def test_board_without_markers_and_fruit_says_so(tmp_path):
    board_picture(0.4, markers=False).save(tmp_path / "board.png")
    (photo,) = maturity.measure_photos([tmp_path / "board.png"])
    assert {"no_markers", "no_fruit"} <= set(photo.flags)
    assert photo.mm_per_px is None


def test_outline_in_pixels_does_not_depend_on_the_file_name(tmp_path):
    good = sample_photos(1)[0]
    shutil.copy(good, tmp_path / "=1+1.jpg")
    one, two = maturity.measure_photos([good, tmp_path / "=1+1.jpg"])
    assert without_time(one) == without_time(two)
