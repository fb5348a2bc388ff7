"""Results of many photos, kept on disk until they are written: memory must not grow with them."""

from __future__ import annotations

import json
import sqlite3
import zlib
from collections.abc import Iterator
from typing import Any

from maturity import _core
from maturity.store import without
from maturity.temporary_folder import temporary_faults

#: Most of the size of a fruit, and in no table.
_OUTLINES = frozenset({"outline_px", "outline_mm"})


class Spool:
    """Results in a temporary file that vanishes with the process; use it as a context manager.

    SQLite puts it into the folder for large temporary files (SQLITE_TMPDIR, TMPDIR, /var/tmp).

    Parameters
    ----------
    whole : bool
        Keep the whole JSON of each photo too, for `json_pieces`.
    """

    def __init__(self, *, whole: bool) -> None:
        self._whole = whole
        self._base = sqlite3.connect("", isolation_level=None)
        # Nobody needs it after a crash.
        self._base.execute("PRAGMA journal_mode=OFF")
        self._base.execute("CREATE TABLE photo (place INTEGER PRIMARY KEY, result TEXT)")
        self._base.execute("CREATE TABLE whole (name BLOB PRIMARY KEY, text BLOB) WITHOUT ROWID")

    def __enter__(self) -> Spool:
        return self

    def __exit__(self, *_exception: object) -> None:
        self._base.close()

    def put(self, place: int, photo: _core.PhotoMeasurement) -> dict[str, Any]:
        """Keep one photo under its place in the order of the photos; returns its JSON fields."""
        text = _core.to_json([photo], True)
        ((name, fields),) = json.loads(text)["photos"].items()
        with temporary_faults(sqlite3.Error):
            self._base.execute(
                "INSERT INTO photo VALUES (?, ?)", (place, json.dumps(without(fields, _OUTLINES)))
            )
            if self._whole:
                head, tail = _around()
                body = text[len(head) : len(text) - len(tail)].encode("utf-8", "surrogatepass")
                self._base.execute(
                    "INSERT OR REPLACE INTO whole VALUES (?, ?)",
                    (name.encode("utf-8", "surrogatepass"), zlib.compress(body, 1)),
                )
        return dict(fields)

    def results(self) -> Iterator[tuple[int, dict[str, Any]]]:
        """Yield (place, JSON fields without outlines) in order."""
        with temporary_faults(sqlite3.Error):
            for place, text in self._base.execute("SELECT * FROM photo ORDER BY place"):
                yield place, json.loads(text)

    def json_pieces(self) -> Iterator[str]:
        """The text of `to_json` of all photos, piece by piece."""
        head, tail = _around()
        before = head
        with temporary_faults(sqlite3.Error):
            for (body,) in self._base.execute("SELECT text FROM whole ORDER BY name"):
                yield before
                yield zlib.decompress(body).decode("utf-8", "surrogatepass")
                before = ",\n"
        yield tail if before != head else _core.to_json([], True)


def _around() -> tuple[str, str]:
    """What stands before and after the photos in the JSON results."""
    before, after = _core.to_json([], True).split("{}", 1)
    return before + "{\n", "\n  }" + after
