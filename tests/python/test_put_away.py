"""Results in a temporary file: the same values come back, and a full folder is said in words."""

from __future__ import annotations

import datetime
import errno
import pickle

import pytest
from measured_season import sample_score

from maturity import put_away
from maturity.kept import KeptMeasurement, StoreReader
from maturity.put_away import AwayList, PutAway

VALUES = [None, "\ud800 not text", {"a": [1.5, float("inf")]}, (datetime.date(2026, 11, 3), b"\0")]


@pytest.mark.parametrize("no_file_bytes", [1, 10**6])
def test_what_is_put_away_comes_back_as_a_copy(no_file_bytes, monkeypatch):
    monkeypatch.setattr(put_away, "_NO_FILE_BYTES", no_file_bytes)
    some = AwayList(PutAway(), VALUES)
    assert list(some) == VALUES and some[1:3] == VALUES[1:3] and some[-1] == VALUES[-1]
    some[2]["a"].append(2)
    assert some[2] == VALUES[2]
    some[2] = "another"
    assert list(some) == [*VALUES[:2], "another", VALUES[3]]
    with pytest.raises(IndexError):
        some[len(VALUES)]
    assert pickle.loads(pickle.dumps(some)) == list(some)


def test_the_last_ones_are_held(monkeypatch):
    monkeypatch.setattr(put_away, "_HELD_BYTES", 100)
    shelf = PutAway()
    small, large = shelf.put([1]), shelf.put([2] * 200)
    first = shelf.get(small)
    assert shelf.get(small) is first
    assert shelf.get(large) is shelf.get(large) and shelf.get(small) is not first


def test_photos_share_the_reader_of_their_store(tmp_path):
    reader = StoreReader(tmp_path / "s.sqlite", "1")
    some = AwayList(PutAway(), [KeptMeasurement(reader, name, "") for name in "ab"])
    assert some[0]._reader is some[1]._reader is reader


def test_a_full_folder_for_temporary_files_is_said_in_words(monkeypatch):
    shelf = PutAway()

    class Full:
        def seek(self, *_):
            raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(shelf, "_file", Full())
    with pytest.raises(OSError, match="No space left.*TMPDIR"):
        shelf.put(1)


def test_a_visit_is_the_same_to_the_last_digit_once_it_was_put_away():
    for visit in sample_score().visits:
        again = pickle.loads(pickle.dumps(visit))  # in memory
        before = again.to_dict()
        again.put_away(PutAway())
        assert again.to_dict() == before == visit.to_dict()
        assert again.estimate.to_dict() == visit.estimate.to_dict()
        assert again.estimate is again.estimate and again.fruit == visit.fruit
