"""The store of measurements: nothing twice, nothing lost, numbers frozen."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
import textwrap

import pytest

from maturity.store import Store, sha256_of_file


def square(number, x, y=0.0, **more):
    outline = [[x, y], [x, y + 20], [x + 10, y + 20], [x + 10, y]]
    return {"fruit": number, "outline_px": outline, "numbered_by_tile": False, **more}


def measured(*fruits, sha256="a" * 64):
    return {"sha256": sha256, "error": None, "flags": [], "fruits": list(fruits)}


def test_measurement_comes_back_as_it_was(tmp_path):
    with Store(tmp_path / "s.sqlite", version="1") as store:
        kept = store.put("p.jpg", "k", measured(square(1, 0), square(2, 50)))
    with Store(tmp_path / "s.sqlite", version="1") as store:
        assert store.get("a" * 64, "k") == kept
        assert store.count() == 1


def test_it_waits_for_the_disk_at_every_commit(tmp_path):
    """What SQLite's documentation asks for against a power cut: WAL with synchronous=FULL (2)."""
    with Store(tmp_path / "s.sqlite", version="1") as store:
        assert store._base.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        assert store._base.execute("PRAGMA synchronous").fetchone() == (2,)


@pytest.mark.parametrize(
    ("version", "settings", "sha"), [("2", "k", "a"), ("1", "l", "a"), ("1", "k", "b")]
)
def test_other_version_settings_or_photo_is_another_measurement(tmp_path, version, settings, sha):
    with Store(tmp_path / "s.sqlite", version="1") as store:
        store.put("p.jpg", "k", measured(square(1, 0)))
    with Store(tmp_path / "s.sqlite", version=version) as store:
        assert store.get(sha * 64, settings) is None


def test_later_version_keeps_the_numbers_by_position(tmp_path):
    with Store(tmp_path / "s.sqlite", version="1") as store:
        store.put("p.jpg", "k", measured(square(1, 0), square(2, 50)))
    with Store(tmp_path / "s.sqlite", version="2") as store:
        again = store.put("p.jpg", "k", measured(square(2, 1), square(1, 51)))
    assert again["error"] is None
    assert [(one["fruit"], one["outline_px"][0][0]) for one in again["fruits"]] == [(1, 1), (2, 51)]


@pytest.mark.parametrize(
    "fruits",
    [
        (square(1, 0),),
        (square(1, 0), square(2, 50), square(3, 100)),
        (square(1, 0), square(2, 90)),
        (square(1, 0), square(3, 50, numbered_by_tile=True)),
    ],
)
def test_change_of_fruit_is_an_error_that_names_the_photo(tmp_path, fruits):
    with Store(tmp_path / "s.sqlite", version="1") as store:
        store.put("p.jpg", "k", measured(square(1, 0), square(2, 50)))
    with Store(tmp_path / "s.sqlite", version="2") as store:
        changed = store.put("p.jpg", "k", measured(*fruits))
    assert changed["fruits"] == []
    assert "fruit numbers of this photo changed" in changed["error"] and "aaaa" in changed["error"]


def test_photo_that_failed_does_not_freeze_numbers(tmp_path):
    with Store(tmp_path / "s.sqlite", version="1") as store:
        store.put("p.jpg", "k", {**measured(), "error": "cut short"})
    with Store(tmp_path / "s.sqlite", version="2") as store:
        assert store.put("p.jpg", "k", measured(square(1, 0)))["error"] is None


def test_file_that_is_no_store_is_refused_in_words(tmp_path):
    path = tmp_path / "s.sqlite"
    path.write_text("not a data base, but long enough to be taken for one " * 50)
    with pytest.raises(OSError, match="not a usable store"):
        Store(path, version="1")


def test_killed_writer_loses_nothing_that_was_put(tmp_path):
    path = tmp_path / "s.sqlite"
    script = textwrap.dedent(
        f"""
        import os, signal
        from maturity.store import Store
        store = Store({str(path)!r}, version="1")
        for number in range(3):
            photo = {{"sha256": str(number), "error": None, "flags": [], "fruits": []}}
            store.put("p.jpg", "k", photo)
        os.kill(os.getpid(), signal.SIGKILL)
        """
    )
    finished = subprocess.run([sys.executable, "-c", script], timeout=120)
    assert finished.returncode == -signal.SIGKILL
    with Store(path, version="1") as store:
        assert [store.get(str(n), "k") is not None for n in range(4)] == [True, True, True, False]
    with sqlite3.connect(path) as base:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert base.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_checksum_is_the_published_one(tmp_path):
    # FIPS 180-4 example "abc" (from memory).
    path = tmp_path / "abc"
    path.write_bytes(b"abc")
    expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert sha256_of_file(path) == expected
