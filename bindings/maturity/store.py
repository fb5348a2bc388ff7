"""What was measured on each photo, kept in SQLite so that no photo is measured twice.

One writer at a time, write-ahead log: a batch that is stopped or killed keeps every photo that was
finished. Measurements are keyed by photo (SHA-256), version of library and method, and settings.

Power loss: `journal_mode=WAL` with `synchronous=FULL` makes SQLite wait at every commit until the
log is on the disk, so a photo that was kept stays kept (`NORMAL` would keep the file whole but
might lose the last photos; `OFF` promises neither). A commit costs milliseconds, a photo a hundred
times that. The promise is as good as the disk's own: a drive that reports writes done too early
breaks it.
"""

from __future__ import annotations

import contextlib
import datetime
import functools
import hashlib
import json
import os
import sqlite3
import stat
import time
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from os import PathLike
from pathlib import Path
from typing import Any

_SCHEMA = """
CREATE TABLE IF NOT EXISTS measurement (
    sha256 TEXT NOT NULL, version TEXT NOT NULL, settings TEXT NOT NULL,
    photo TEXT NOT NULL, result TEXT NOT NULL, measured_at TEXT NOT NULL,
    PRIMARY KEY (sha256, version, settings)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS summary (
    sha256 TEXT NOT NULL, version TEXT NOT NULL, settings TEXT NOT NULL, summary TEXT NOT NULL,
    PRIMARY KEY (sha256, version, settings)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS fruit_number (
    sha256 TEXT NOT NULL, fruit INTEGER NOT NULL,
    x_px REAL NOT NULL, y_px REAL NOT NULL, reach_px REAL NOT NULL,
    PRIMARY KEY (sha256, fruit)) WITHOUT ROWID;
"""

#: One photo by its three names.
_KEY = "sha256 = ? AND version = ? AND settings = ?"
#: Version of these tables, in SQLite's `user_version`; 0: before it was written, the same tables.
#: `summary` came later and is filled where it is missing: versions with and without it get along.
SCHEMA_VERSION = 1
#: How long a batch waits for another that is writing.
_PATIENCE_SECONDS = 30.0
#: What of a fruit is not in the summary: most of its size, read again when it is drawn or compared.
_NOT_IN_SUMMARY = frozenset({"outline_px", "outline_mm", "descriptor_se"})

Measurement = dict[str, Any]
#: Points (x, y) of a closed outline, px.
Outline = list[list[float]]


class FruitNumbersChanged(ValueError):
    """A new measurement numbers the fruit of a photo otherwise than the frozen one."""


@dataclass(frozen=True)
class StoredOutlines:
    """Outlines of one photo in a store that may be closed by now; px, upright."""

    path: Path
    key: tuple[str, str, str]

    def __call__(self, fruit: int) -> Outline:
        return _outlines_of(self.path, self.key).get(fruit, [])


@functools.lru_cache(maxsize=32)
def _outlines_of(path: Path, key: tuple[str, str, str]) -> dict[int, Outline]:
    with contextlib.closing(sqlite3.connect(path, timeout=_PATIENCE_SECONDS)) as base:
        found = base.execute(f"SELECT result FROM measurement WHERE {_KEY}", key).fetchone()
    fruits = [] if found is None else json.loads(found[0])["fruits"]
    return {one["fruit"]: one["outline_px"] for one in fruits}


class Store:
    """Measurements of a season; use it as a context manager.

    Parameters
    ----------
    path : path
        The SQLite file; its folder is made where it is missing.
    version : str
        Version of library and method: measurements of another version are measured again.
    """

    def __init__(self, path: str | PathLike[str], *, version: str) -> None:
        self.path = Path(path)
        self.version = version
        self.path.parent.mkdir(parents=True, exist_ok=True)
        with self._faults_in_words():
            self._base = sqlite3.connect(self.path, timeout=_PATIENCE_SECONDS, isolation_level=None)
            found = self._checked_schema_version()
            self._use_wal()
            self._base.execute("PRAGMA synchronous=FULL")
            self._base.executescript(_SCHEMA)
            if found < SCHEMA_VERSION:  # not at each opening: another batch may be writing
                self._base.execute(f"PRAGMA user_version={SCHEMA_VERSION}")

    def _use_wal(self) -> None:
        """Where a new file changes its mode SQLite does not wait for another batch: this does."""
        last_try = time.monotonic() + _PATIENCE_SECONDS
        while True:
            try:
                self._base.execute("PRAGMA journal_mode=WAL")
                return
            except sqlite3.OperationalError as error:
                if "locked" not in str(error) or time.monotonic() > last_try:
                    raise
                time.sleep(0.02)

    def _checked_schema_version(self) -> int:
        found: int = self._base.execute("PRAGMA user_version").fetchone()[0]
        if found > SCHEMA_VERSION:
            self._base.close()
            raise OSError(
                f"{self.path} was written by a later version of maturity (its tables {found}, "
                f"known here {SCHEMA_VERSION}): update maturity, or give another folder with "
                "--results"
            )
        return found

    def __enter__(self) -> Store:
        return self

    def __exit__(self, *_exception: object) -> None:
        self.close()

    def close(self) -> None:
        """Close the file; what was kept stays."""
        self._base.close()

    @contextlib.contextmanager
    def _faults_in_words(self) -> Iterator[None]:
        """What SQLite cannot do is an OSError that says what to do about it."""
        try:
            yield
        except sqlite3.OperationalError as error:
            raise OSError(
                f"measurements cannot be kept in {self.path} ({error}): make room or allow "
                "writing there, or give another folder with --results; what was kept before is "
                "still there"
            ) from error
        except sqlite3.DatabaseError as error:
            raise OSError(
                f"{self.path} is not a usable store of measurements ({error}); "
                "move it away and measure again"
            ) from error

    def has(self, sha256: str, settings: str) -> bool:
        """True when `get` would find the measurement."""
        return self._text(sha256, settings, "1") is not None

    def get(self, sha256: str, settings: str) -> Measurement | None:
        """The measurement of this photo with these settings by this version, or None."""
        found = self._text(sha256, settings, "result")
        return None if found is None else json.loads(found)

    def _text(self, sha256: str, settings: str, column: str) -> Any:
        with self._faults_in_words():
            found = self._base.execute(
                f"SELECT {column} FROM measurement WHERE {_KEY}",
                (sha256, self.version, settings),
            ).fetchone()
        return None if found is None else found[0]

    def put(self, photo: str, settings: str, measurement: Measurement) -> Measurement:
        """Keep one measurement and freeze its fruit numbers.

        Returns
        -------
        dict
            The measurement with the frozen numbers of the first time this photo was measured. When
            the fruit cannot be told to be the same, its `error` says so and it holds no fruit. When
            another batch was first, its measurement.

        Raises
        ------
        OSError
            The disk is full or may not be written, or another batch holds the file for half a
            minute; what was kept before is untouched.
        """
        with self._faults_in_words():
            kept, first = self._put(photo, settings, measurement)
        return kept if first else self.get(kept["sha256"], settings) or kept

    def _put(self, photo: str, settings: str, measurement: Measurement) -> tuple[Measurement, bool]:
        """What was to be kept, and whether no other batch had kept the photo before."""
        sha256 = measurement["sha256"]
        if not measurement.get("error"):
            try:
                measurement = self._with_frozen_numbers(measurement)
            except FruitNumbersChanged as error:
                measurement = {**measurement, "error": str(error), "fruits": []}
        now = datetime.datetime.now(datetime.UTC).isoformat(timespec="seconds")
        text = json.dumps(measurement, allow_nan=False)
        with self._base:
            self._base.execute("BEGIN IMMEDIATE")
            added = self._base.execute(
                "INSERT OR IGNORE INTO measurement VALUES (?, ?, ?, ?, ?, ?)",
                (sha256, self.version, settings, photo, text, now),
            )
            first = added.rowcount == 1
            if first:
                self._keep_summary(measurement, settings)
            if not self._frozen(sha256):
                self._base.executemany(
                    "INSERT INTO fruit_number VALUES (?, ?, ?, ?, ?)",
                    [
                        (sha256, fruit["fruit"], *_place(fruit["outline_px"]))
                        for fruit in measurement["fruits"]
                    ],
                )
        return measurement, first

    def summarise(self, sha256: str, settings: str) -> bool:
        """Make sure that a kept photo has its summary; False where the photo is not kept."""
        key = sha256, self.version, settings
        with self._faults_in_words():
            if self._base.execute(f"SELECT 1 FROM summary WHERE {_KEY}", key).fetchone():
                return True
            found = self._text(sha256, settings, "result")
            if found is not None:
                self._keep_summary(json.loads(found), settings)
        return found is not None

    def _keep_summary(self, measurement: Measurement, settings: str) -> None:
        self._base.execute(
            "INSERT OR REPLACE INTO summary VALUES (?, ?, ?, ?)",
            (
                measurement["sha256"],
                self.version,
                settings,
                json.dumps(without(measurement, _NOT_IN_SUMMARY)),
            ),
        )

    def outlines(self, sha256: str, settings: str) -> StoredOutlines:
        """Outlines of a kept photo by the number of the fruit, read when asked for."""
        return StoredOutlines(self.path, (sha256, self.version, settings))

    def count(self) -> int:
        """Number of measurements kept, of all versions and settings."""
        return int(self._base.execute("SELECT count(*) FROM measurement").fetchone()[0])

    def _frozen(self, sha256: str) -> list[tuple[int, float, float, float]]:
        return self._base.execute(
            "SELECT fruit, x_px, y_px, reach_px FROM fruit_number WHERE sha256 = ? ORDER BY fruit",
            (sha256,),
        ).fetchall()

    def _with_frozen_numbers(self, measurement: Measurement) -> Measurement:
        frozen = self._frozen(measurement["sha256"])
        if not frozen:
            return measurement
        fruits = []
        taken: set[int] = set()
        for fruit in measurement["fruits"]:
            x, y, _ = _place(fruit["outline_px"])
            here = [n for n, fx, fy, r in frozen if max(abs(x - fx), abs(y - fy)) < r / 2]
            number = here[0] if len(here) == 1 else None
            if number is None or number in taken:
                raise _changed(measurement, frozen, f"fruit {fruit['fruit']} is in a new place")
            if fruit.get("numbered_by_tile") and fruit["fruit"] != number:
                reason = f"fruit {number} now lies at the tile {fruit['fruit']}"
                raise _changed(measurement, frozen, reason)
            taken.add(number)
            fruits.append({**fruit, "fruit": number})
        missing = sorted({one[0] for one in frozen} - taken)
        if missing:
            raise _changed(measurement, frozen, f"fruit {missing[0]} was not found again")
        return {**measurement, "fruits": sorted(fruits, key=lambda one: int(one["fruit"]))}


def without(measurement: Measurement, fields: frozenset[str]) -> Measurement:
    """A measurement without some fields of its fruit."""
    fruits = [{n: v for n, v in one.items() if n not in fields} for one in measurement["fruits"]]
    return {**measurement, "fruits": fruits}


def _changed(
    measurement: Measurement, frozen: Iterable[tuple[int, float, float, float]], reason: str
) -> FruitNumbersChanged:
    numbers = ", ".join(str(one[0]) for one in frozen)
    return FruitNumbersChanged(
        f"fruit numbers of this photo changed: {reason} (frozen numbers {numbers}; photo "
        f"{measurement['sha256'][:12]}). Look at the photo; to number it anew, move the store away"
    )


def _place(outline: list[list[float]]) -> tuple[float, float, float]:
    """Middle of the bounding box of an outline, and the smaller of its half sides."""
    xs = [point[0] for point in outline]
    ys = [point[1] for point in outline]
    left, right, top, bottom = min(xs), max(xs), min(ys), max(ys)
    return (left + right) / 2, (top + bottom) / 2, min(right - left, bottom - top) / 2


def sha256_of_file(path: str | PathLike[str]) -> str:
    """SHA-256 of a file in hexadecimal, read in pieces.

    Raises
    ------
    OSError
        It cannot be read, or is no file: a pipe would be waited for without end.
    """
    # Windows has no O_NONBLOCK, and would read text without O_BINARY.
    how = os.O_RDONLY | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    with open(os.open(path, how), "rb") as file:
        if not stat.S_ISREG(os.fstat(file.fileno()).st_mode):
            raise OSError(0, "it is not a file but a folder or a device")
        return hashlib.file_digest(file, "sha256").hexdigest()
