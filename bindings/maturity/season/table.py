"""One file of the season folder, read and checked row by row."""

from __future__ import annotations

import difflib
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pandas

from maturity.season.columns import BadCell
from maturity.season.dialect import Dialect, RawTable, UnreadableCsv, read_cells
from maturity.season.problems import Problem, in_short
from maturity.season.table_declaration import TableDeclaration

Row = dict[str, Any]

#: Endings of spreadsheets' own files, which are not read.
_WORKBOOKS = (".xlsx", ".xls", ".ods")

#: Key of a row's own spreadsheet number among its values.
ROW_NUMBER = "_row"


@dataclass
class Table:
    """Rows of one file: declared columns as values (blank: None), unknown columns as text.

    `left_out` has the rows that could not be used, so far as they could be read: what is gone from
    the rows is not the same as what was never written.
    """

    declaration: TableDeclaration
    rows: list[Row] = field(default_factory=list)
    extra_columns: list[str] = field(default_factory=list)
    dialect: Dialect | None = None
    left_out: list[Row] = field(default_factory=list)

    @property
    def present(self) -> bool:
        """True when the file exists and could be read."""
        return self.dialect is not None

    def to_frame(self) -> pandas.DataFrame:
        """The rows as a data frame, one column per declared or kept column."""
        names = [column.name for column in self.declaration.columns] + self.extra_columns
        return pandas.DataFrame([{n: row[n] for n in names} for row in self.rows], columns=names)

    def __repr__(self) -> str:
        return f"<{self.declaration.file}: {len(self.rows)} rows>"


def read_table(folder: Path, declaration: TableDeclaration, problems: list[Problem]) -> Table:
    """Read one file; what is wrong is added to `problems` and the rest is kept."""
    path = folder / declaration.file
    try:
        if path.exists() and not path.is_file():
            raise OSError(0, "it is not a file but a folder or a device")
        data = path.read_bytes()
    except FileNotFoundError:
        if path.is_symlink():
            problems.append(_whole(declaration, "a readable file (a link that leads nowhere)"))
        workbook = next((one for one in map(path.with_suffix, _WORKBOOKS) if one.exists()), None)
        if workbook is not None:
            expected = (
                f"this file; there is {workbook.name}, which is not read: save its sheet as CSV "
                f"UTF-8 under the name {declaration.file}"
            )
            problems.append(_whole(declaration, expected))
        return Table(declaration)
    except OSError as error:
        problems.append(_whole(declaration, f"a readable file ({error.strerror})"))
        return Table(declaration)
    try:
        raw = read_cells(data)
    except UnreadableCsv as error:
        problems.append(_whole(declaration, str(error)))
        return Table(declaration)
    if not _check_header(raw, declaration, problems):
        return Table(declaration)
    known = {column.name for column in declaration.columns}
    extra = [name for name in raw.header if name not in known]
    table = Table(declaration, extra_columns=extra, dialect=raw.dialect)
    for number, cells in raw.rows:
        row = _read_row(number, cells, raw, table, problems)
        if row is not None:
            table.rows.append(row)
    _leave_out_repeats(table, problems)
    return table


def _whole(declaration: TableDeclaration, expected: str) -> Problem:
    return Problem(declaration.file, None, None, None, expected, "file left out")


def _check_header(raw: RawTable, declaration: TableDeclaration, problems: list[Problem]) -> bool:
    repeated = sorted({name for name in raw.header if raw.header.count(name) > 1})
    missing = [c.name for c in declaration.columns if c.required and c.name not in raw.header]
    for name in repeated:
        problems.append(
            Problem(declaration.file, 1, name, name, "each column once", "file left out")
        )
    for name in missing:
        close = difflib.get_close_matches(name, raw.header, n=1)
        hint = f"; is {close[0]!r} meant?" if close else ""
        found = ", ".join(raw.header)
        problems.append(
            Problem(declaration.file, 1, name, found, f"a column {name!r}{hint}", "file left out")
        )
    return not repeated and not missing


def _read_row(
    number: int, cells: list[str], raw: RawTable, table: Table, problems: list[Problem]
) -> Row | None:
    declaration = table.declaration
    if len(cells) > len(raw.header) and any(cells[len(raw.header) :]):
        problems.append(
            Problem(
                declaration.file,
                number,
                None,
                raw.dialect.separator.join(cells),
                f"{len(raw.header)} cells as in the header (a comma inside a cell needs quotes)",
                "row left out",
            )
        )
        table.left_out.append(_as_far_as_read(number, cells, raw, declaration))
        return None
    text = dict(zip(raw.header, cells + [""] * (len(raw.header) - len(cells))))
    row: Row = {ROW_NUMBER: number}
    usable = True
    for column in declaration.columns:
        cell = text.get(column.name, "")
        row[column.name] = None
        if cell:
            try:
                row[column.name] = column.parse(cell, raw.dialect.decimal)
                continue
            except BadCell as error:
                expected, found = str(error), cell
        elif column.required:
            expected, found = f"{column.words(raw.dialect.decimal)}, not a blank cell", ""
        else:
            continue
        blanked = declaration.blanks_bad_cells and not column.required
        usable = usable and blanked
        effect = "cell left blank" if blanked else "row left out"
        problems.append(Problem(declaration.file, number, column.name, found, expected, effect))
    one_of = declaration.one_of
    if usable and one_of and not any(all(row[n] is not None for n in group) for group in one_of):
        wanted = ", or ".join(" and ".join(group) for group in one_of)
        problems.append(Problem(declaration.file, number, None, None, wanted, "row left out"))
        usable = False
    for name in table.extra_columns:
        row[name] = text[name]
    if usable:
        return row
    table.left_out.append(row)
    return None


def _as_far_as_read(
    number: int, cells: list[str], raw: RawTable, declaration: TableDeclaration
) -> Row:
    """Values of a row that is left out; None where a cell cannot be read."""
    text = dict(zip(raw.header, cells))
    row: Row = {ROW_NUMBER: number}
    for column in declaration.columns:
        row[column.name] = None
        try:
            if text.get(column.name):
                row[column.name] = column.parse(text[column.name], raw.dialect.decimal)
        except BadCell:
            pass
    return row


def _leave_out_repeats(table: Table, problems: list[Problem]) -> None:
    """A row written twice counts once; rows that contradict each other are all left out."""
    declaration = table.declaration
    if not declaration.key:
        return
    by_key: dict[tuple[Any, ...], list[Row]] = {}
    for row in table.rows:
        by_key.setdefault(tuple(row[name] for name in declaration.key), []).append(row)
    kept: list[Row] = []
    for key, rows in by_key.items():
        if len(rows) == 1:
            kept += rows
            continue
        first = _values(rows[0])
        same = all(_values(row) == first for row in rows[1:])
        text = ", ".join("" if part is None else str(part) for part in key)
        # The same for all of them, so that they are one line; not each with every other's number.
        all_rows = in_short([str(row[ROW_NUMBER]) for row in rows], "more")
        expected = (
            f"each row once (same as row {rows[0][ROW_NUMBER]})"
            if same
            else f"one row for this; rows {all_rows} contradict each other"
        )
        if not same and declaration.repeat_hint:
            expected += f" ({declaration.repeat_hint})"
        for row in rows[1:] if same else rows:
            problems.append(
                Problem(
                    declaration.file,
                    row[ROW_NUMBER],
                    ", ".join(declaration.key),
                    text,
                    expected,
                    "row left out",
                )
            )
        if same:
            kept.append(rows[0])
        else:
            table.left_out += rows
    table.rows = kept


def _values(row: Row) -> dict[str, Any]:
    return {name: value for name, value in row.items() if name != ROW_NUMBER}
