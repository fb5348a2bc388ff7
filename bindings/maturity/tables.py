"""Tables out: CSV that is safe to open in a spreadsheet, JSON for machines."""

from __future__ import annotations

import csv
import io
import json
import math
import os
from collections.abc import Iterable, Sequence
from os import PathLike
from pathlib import Path
from typing import Any

#: A cell that begins with one of these would be read as a formula by a spreadsheet.
_FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")


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
    text = str(value)
    return "'" + text if text.startswith(_FORMULA_SIGNS) else text


def write_csv(
    path: str | PathLike[str], columns: Sequence[str], rows: Iterable[dict[str, Any]]
) -> None:
    """Write rows as CSV (RFC 4180, UTF-8, comma, decimal point), whole or not at all."""
    draft = io.StringIO(newline="")
    writer = csv.writer(draft)
    writer.writerow(columns)
    for row in rows:
        writer.writerow([safe_cell(row.get(name)) for name in columns])
    write_text(path, draft.getvalue())


def write_json(path: str | PathLike[str], value: Any) -> None:
    """Write JSON; numbers that are not known are null, never NaN."""
    write_text(path, json.dumps(value, indent=1, allow_nan=False) + "\n")


def write_text(path: str | PathLike[str], text: str) -> None:
    """Write a text file (UTF-8) whole: first beside its place, then moved there."""
    write_bytes(path, text.encode("utf-8"))


def write_bytes(path: str | PathLike[str], data: bytes) -> None:
    """Write a file whole: first beside its place, then moved there."""
    target = Path(path)
    target.parent.mkdir(parents=True, exist_ok=True)
    draft = target.with_name(f".{target.name}.{os.getpid()}.draft")
    try:
        draft.write_bytes(data)
        os.replace(draft, target)
    finally:
        draft.unlink(missing_ok=True)
