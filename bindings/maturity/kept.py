"""Measurements that stay in the store and are read when asked for: memory does not hold them."""

from __future__ import annotations

import collections
import json
import sqlite3
import weakref
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from maturity.store import Measurement, StoredOutlines

#: Summaries that a reader holds: the fruit of one tree are asked for one after the other.
_HELD = 128


class StoreReader:
    """Reads summaries from a store that may be closed by now; copies of it open the file anew."""

    def __init__(self, path: Path, version: str) -> None:
        self.path, self.version = path, version
        self._base: sqlite3.Connection | None = None
        self._held: collections.OrderedDict[tuple[str, str], Measurement]
        self._held = collections.OrderedDict()

    def __getstate__(self) -> tuple[Path, str]:
        return self.path, self.version

    def __setstate__(self, state: tuple[Path, str]) -> None:
        self.__init__(*state)  # type: ignore[misc]

    def summary(self, sha256: str, settings: str) -> Measurement:
        """A measurement without its outlines.

        Raises
        ------
        OSError
            The store is gone, or no longer holds it.
        """
        key = sha256, settings
        if key in self._held:
            self._held.move_to_end(key)
            return self._held[key]
        found = self._held[key] = self._read(sha256, settings)
        if len(self._held) > _HELD:
            self._held.popitem(last=False)
        return found

    def _read(self, sha256: str, settings: str) -> Measurement:
        key = sha256, self.version, settings
        try:
            if self._base is None:
                self._base = sqlite3.connect(self.path, timeout=30.0, check_same_thread=False)
                weakref.finalize(self, self._base.close)
            text = self._base.execute(
                "SELECT summary FROM summary WHERE sha256 = ? AND version = ? AND settings = ?", key
            ).fetchone()
        except sqlite3.Error as error:
            raise OSError(f"{self.path} can no longer be read ({error}): score again") from error
        if text is None:
            raise OSError(f"{self.path} no longer holds the photo {sha256[:12]}: score again")
        found: Measurement = json.loads(text[0])
        return found


class KeptMeasurement(Mapping[str, Any]):
    """The JSON fields of one photo without its outlines, read from the store when asked for.

    ``["outlines"]`` finds the outline of a fruit by its number.
    """

    __slots__ = ("_reader", "_sha256", "_settings", "_more_flags")

    def __init__(
        self, reader: StoreReader, sha256: str, settings: str, more_flags: tuple[str, ...] = ()
    ) -> None:
        self._reader, self._sha256, self._settings = reader, sha256, settings
        self._more_flags = more_flags

    @property
    def key(self) -> tuple[str, str]:
        """SHA-256 and settings."""
        return self._sha256, self._settings

    def __getitem__(self, name: str) -> Any:
        if name == "sha256":
            return self._sha256
        if name == "outlines":
            key = self._sha256, self._reader.version, self._settings
            return StoredOutlines(self._reader.path, key)
        found = self._reader.summary(self._sha256, self._settings)[name]
        return [*found, *self._more_flags] if name == "flags" else found

    def __iter__(self) -> Iterator[str]:
        yield from self._reader.summary(self._sha256, self._settings)
        yield "outlines"

    def __len__(self) -> int:
        return len(self._reader.summary(self._sha256, self._settings)) + 1

    def with_flag(self, flag: str) -> KeptMeasurement:
        """The same with one more flag."""
        return KeptMeasurement(
            self._reader, self._sha256, self._settings, (*self._more_flags, flag)
        )


def with_flag(measurement: Mapping[str, Any], flag: str) -> Mapping[str, Any]:
    """A measurement with one more flag; the given one is not changed."""
    if isinstance(measurement, KeptMeasurement):
        return measurement.with_flag(flag)
    return {**measurement, "flags": [*measurement["flags"], flag]}
