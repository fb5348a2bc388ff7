"""Tables out: CSV that is safe to open in a spreadsheet, JSON for machines."""

from __future__ import annotations

import contextlib
import csv
import io
import itertools
import json
import math
import os
import re
import time
from collections.abc import Callable, Iterable, Iterator, Sequence
from os import PathLike
from pathlib import Path
from typing import Any, BinaryIO

from maturity.plain_text import plain_text

#: A cell that begins with one of these would be read as a formula by a spreadsheet.
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")
#: Where a spreadsheet splits at semicolons, a cell ends inside ours, quoted or not.
_INNER_FORMULA = re.compile('(;[ \u00a0"]*)(?=[=+\\-@\uff1d\uff0b\uff0d\uff20])')
#: Ending of half-written files, how much of the target's name is in theirs, when they are litter.
_DRAFT, _DRAFT_NAME, _DRAFT_SECONDS = ".maturity-draft", 40, 3600.0


def safe_cell(value: Any) -> Any:
    """A cell's value as it may stand in a CSV file.

    Text that a spreadsheet would read as a formula gets a leading apostrophe. Numbers stay numbers;
    None and NaN become blank.
    """
    if value is None or (isinstance(value, float) and math.isnan(value)):
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, (int, float)):
        return value
    text = _INNER_FORMULA.sub(r"\1'", str(value))
    # Some programs strip spaces before they look for a formula.
    return "'" + text if text.lstrip(" \u00a0").startswith(_FORMULA_SIGNS) else text


def write_csv(
    path: str | PathLike[str], columns: Sequence[str], rows: Iterable[dict[str, Any]]
) -> None:
    """Write rows as CSV (RFC 4180, UTF-8, comma, decimal point), whole or not at all.

    Rows are taken one after the other: none is held.
    """

    def lines() -> Iterator[str]:
        line = io.StringIO(newline="")
        writer = csv.writer(line)
        writer.writerow([safe_cell(name) for name in columns])
        for row in rows:
            yield line.getvalue()
            line.seek(0)
            line.truncate()
            writer.writerow([safe_cell(row.get(name)) for name in columns])
        yield line.getvalue()

    write_pieces(path, lines())


class MadeWhenWritten(list[Any]):
    """A list of JSON values that are made one after the other while they are written."""

    def __init__(self, length: int, make: Callable[[], Iterator[Any]]) -> None:
        super().__init__()
        self._length, self._make = length, make

    def __len__(self) -> int:
        return self._length

    def __iter__(self) -> Iterator[Any]:
        return self._make()


def write_json(path: str | PathLike[str], value: Any) -> None:
    """Write JSON; numbers that are not known are null, never NaN."""
    encoder = json.JSONEncoder(indent=1, allow_nan=False)
    write_pieces(path, itertools.chain(encoder.iterencode(value), ["\n"]))


def write_text(path: str | PathLike[str], text: str) -> None:
    """Write a text file (UTF-8) whole: first beside its place, then moved there."""
    write_pieces(path, [text])


def write_pieces(path: str | PathLike[str], pieces: Iterable[str]) -> None:
    """`write_text` of a text that need not fit into memory."""
    with _whole_file(Path(path), synced=True) as file:
        for piece in pieces:
            file.write(piece.encode("utf-8", "backslashreplace"))


def write_bytes(path: str | PathLike[str], data: bytes) -> None:
    """Write a file whole: first beside its place, then moved there.

    Raises
    ------
    OSError
        Naming the file; an earlier one is untouched.
    """
    with _whole_file(Path(path), synced=False) as file:
        file.write(data)


@contextlib.contextmanager
def _whole_file(target: Path, *, synced: bool) -> Iterator[BinaryIO]:
    """A file beside its place, moved there at the end; an earlier one is untouched until then.

    `synced` waits until it is on the disk before it takes the place of an earlier one.
    """
    if target.exists() and not target.is_file() and not target.is_dir():
        with open(target, "wb") as file:  # a pipe or device: nothing to keep whole, never replaced
            yield file
        return
    target = Path(os.path.realpath(target))  # what a link leads to, not the link
    # A name may be as long as the file system allows: the draft's has to be shorter.
    draft = target.with_name(f".{target.name[:_DRAFT_NAME]}.{os.getpid()}{_DRAFT}")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        if synced:
            sweep_drafts(target.parent)
        with open(draft, "wb") as file:
            yield file
            file.flush()
            if synced:
                os.fsync(file.fileno())
        os.replace(draft, target)
    except OSError as error:
        raise OSError(
            f"{plain_text(str(target))} cannot be written ({error.strerror}); an earlier file of "
            "this name is untouched"
        ) from error
    finally:
        with contextlib.suppress(OSError):
            draft.unlink(missing_ok=True)


def sweep_drafts(folder: Path) -> None:
    """Remove what killed programs left half written, an hour old: no living one loses its own."""
    for draft in folder.glob(f".*{_DRAFT}"):
        with contextlib.suppress(OSError):
            if abs(time.time() - draft.stat().st_mtime) > _DRAFT_SECONDS:
                draft.unlink()
