"""How one CSV file is written: encoding, separator, decimal sign. Recognised per file."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass

from maturity.plain_text import plain_text

#: How the files of spreadsheets begin: zip archives (xlsx, ods) and compound files (xls).
_WORKBOOKS = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1")
_DECIMAL_COMMA = re.compile(r"[+-]?\d*,\d+")
_LINE_BREAK = re.compile(r"[\t\r\n\v\f\x1c-\x1e\x85\u2028\u2029]+")
_DECIMAL_POINT = re.compile(r"[+-]?\d*\.\d+")


@dataclass(frozen=True)
class Dialect:
    """Separator and decimal sign of a file, as recognised."""

    separator: str
    decimal: str
    byte_order_mark: bool

    def __str__(self) -> str:
        names = {",": "comma", ";": "semicolon", "\t": "tab", ".": "point"}
        mark = ", with byte order mark" if self.byte_order_mark else ""
        return f"separated by {names[self.separator]}, decimal {names[self.decimal]}{mark}"


@dataclass(frozen=True)
class RawTable:
    """The cells of a file as text. `rows` holds the spreadsheet row number beside the cells."""

    dialect: Dialect
    header: list[str]
    rows: list[tuple[int, list[str]]]


class UnreadableCsv(ValueError):
    """The bytes are not a CSV text at all; the message says what was expected."""


def read_cells(data: bytes) -> RawTable:
    """Cells of a CSV file (RFC 4180, UTF-8 with or without byte order mark).

    Raises
    ------
    UnreadableCsv
        Not UTF-8, NUL bytes, an unclosed quote, or no header row.
    """
    if data.startswith(_WORKBOOKS):
        raise UnreadableCsv(
            "a CSV text; this is a spreadsheet's workbook under another name: open it in the "
            "spreadsheet and save the sheet as CSV UTF-8"
        )
    mark = data.startswith(b"\xef\xbb\xbf")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise UnreadableCsv(
            f"text in UTF-8 (byte {error.start} is not); save the sheet as CSV UTF-8"
        ) from None
    if "\x00" in text:
        raise UnreadableCsv("a CSV text, not a binary file")
    first_line = text.lstrip("\r\n").split("\n", 1)[0]
    separator = max(";\t,", key=lambda sign: (first_line.count(sign), sign == ","))
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    try:
        records = [(number, cells) for number, cells in enumerate(reader, start=1)]
    except csv.Error as error:
        raise UnreadableCsv(f"rows with closed quotes ({error})") from None
    filled = [(row, cells) for row, cells in records if any(cell.strip() for cell in cells)]
    if not filled:
        raise UnreadableCsv("a header row with the column names")
    header = [plain_text(_one_line(cell)) for cell in filled[0][1]]
    rows = [(row, [_one_line(cell) for cell in cells]) for row, cells in filled[1:]]
    decimal = "." if separator == "," else _decimal_sign(rows)
    return RawTable(Dialect(separator, decimal, mark), header, rows)


def _one_line(cell: str) -> str:
    return _LINE_BREAK.sub(" ", cell.strip())


def _decimal_sign(rows: list[tuple[int, list[str]]]) -> str:
    """The sign that more cells use; a file without fractions counts as decimal point."""
    commas = points = 0
    for _, cells in rows:
        commas += sum(_DECIMAL_COMMA.fullmatch(cell) is not None for cell in cells)
        points += sum(_DECIMAL_POINT.fullmatch(cell) is not None for cell in cells)
    return "," if commas > points else "."
