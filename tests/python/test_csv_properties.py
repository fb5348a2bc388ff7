"""Any bytes, and any cells, as a file of the season: read, or said what is wrong; never worse."""

from __future__ import annotations

import csv
import io
import math
import tempfile
import types
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from season_folders import BLOCKS, CLEARED, POLICY, oven_table, ripe_oven

import maturity
from maturity.plain_text import has_control_characters, plain_text
from maturity.season import SeasonError, read_season
from maturity.season.declarations import TABLES
from maturity.season.dialect import UnreadableCsv, read_cells

GOOD = {
    "blocks": BLOCKS,
    "policy": POLICY,
    "sprays": CLEARED,
    "oven": oven_table(ripe_oven()[:6]),
}
_QUIET = {"deadline": None, "suppress_health_check": list(HealthCheck), "derandomize": True}
#: Cells that people and bad people write.
CELLS = st.one_of(
    st.text(max_size=12),
    st.sampled_from(
        ["River", "Hill", "", "1", "2026-11-03", "2026-11-03 07:00", "none", "yes", "share", "15"]
    ),
    st.sampled_from(
        ["1e999", "-1e999", "nan", "inf", "1e300", "0x10", "1_000", "\u0661\u0662", "\u00bd"]
    ),
    st.sampled_from(["9999-12-31", "0001-01-01", "2026-W45-2", "20261103", "9999-12-31 23:59"]),
    st.sampled_from(["=1+1", "@x", "\x1b[31m", "a\nb", 'a"b', "a;b", "../x", "\u202e", "x" * 5000]),
    st.integers(-(10**25), 10**25).map(str),
    st.floats().map(str),
)


def season_of(folder: Path, files: dict[str, bytes | str]) -> Path:
    for name, content in files.items():
        data = content.encode("utf-8", "surrogatepass") if isinstance(content, str) else content
        (folder / f"{name}.csv").write_bytes(data)
    return folder


def read_whole(files: dict[str, bytes | str]) -> None:
    """Read and score; whatever cannot be used has to be a SeasonError or a named problem."""
    with tempfile.TemporaryDirectory() as name:
        folder = season_of(Path(name), {**GOOD, **files})
        try:
            season = read_season(folder)
        except SeasonError as error:
            assert error.problems and str(error)
            return
        for problem in season.problems:
            assert problem.expected and not has_control_characters(str(problem).replace("\n", " "))
        for table in season.tables.values():
            for row in table.rows:
                for column in table.declaration.columns:
                    value = row[column.name]
                    assert value is not None or not column.required
                    assert not isinstance(value, float) or math.isfinite(value)
                    if isinstance(value, str):
                        assert value == value.strip() and not has_control_characters(value)
        maturity.score_season(season).to_dict()


@settings(max_examples=150, **_QUIET)
@given(st.binary(max_size=400))
def test_any_bytes_are_cells_or_a_reason(data):
    try:
        raw = read_cells(data)
    except UnreadableCsv as error:
        assert str(error)
        return
    assert raw.header and not any(has_control_characters(name) for name in raw.header)
    numbers = [number for number, _ in raw.rows]
    assert numbers == sorted(set(numbers))


@settings(max_examples=150, **_QUIET)
@given(
    st.lists(
        st.lists(
            st.text(st.characters(blacklist_categories=("Cc", "Cs", "Zl", "Zp")), max_size=8),
            min_size=2,
            max_size=4,
        ),
        min_size=1,
        max_size=5,
    ),
    st.sampled_from(",;\t"),
    st.booleans(),
)
def test_what_was_written_by_the_standard_is_read_back(rows, separator, mark):
    """RFC 4180: Python's own writer is the reference."""
    width = len(rows[0])
    cells = [[cell.strip() for cell in (row + [""] * width)[:width]] for row in rows]
    header = [f"c{i}" for i in range(width)]
    text = io.StringIO(newline="")
    csv.writer(text, delimiter=separator).writerows([header, *cells])
    raw = read_cells((b"\xef\xbb\xbf" if mark else b"") + text.getvalue().encode())
    assert raw.header == header and raw.dialect.separator == separator
    assert raw.dialect.byte_order_mark == mark
    assert [row for _, row in raw.rows] == [row for row in cells if any(row)]


@settings(max_examples=60, **_QUIET)
@given(st.data(), st.sampled_from([one.name for one in TABLES]))
def test_any_cells_under_the_right_header_are_read_or_named(data, name):
    (declaration,) = [one for one in TABLES if one.name == name]
    header = [column.name for column in declaration.columns]
    rows = data.draw(st.lists(st.lists(CELLS, min_size=1, max_size=len(header) + 1), max_size=4))
    good = data.draw(st.booleans())
    if good:  # only one cell of a good row is bad: it gets past the checks of the others
        row = [column.example for column in declaration.columns]
        row[data.draw(st.integers(0, len(row) - 1))] = data.draw(CELLS)
        rows = [row, *rows]
    text = io.StringIO(newline="")
    csv.writer(text).writerows([header, *rows])
    read_whole({name: text.getvalue()})


_TABLE = oven_table(ripe_oven()[:3]).encode()


@pytest.mark.parametrize("name", [one.name for one in TABLES])
@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"\n\n\n",
        b"\x00" * 100,
        b"\xff\xfe" + "block,tree".encode("utf-16-le"),
        b"PK\x03\x04 a spreadsheet, renamed",
        b"\x89PNG\r\n\x1a\n",
        b'block,tree\n"never closed,1\n',
        b"block;tree,date\tfruit\n1\n",
        b"block,block,block\nRiver,River,River\n",
        b"," * 5000 + b"\n" + b"," * 9000,
        b"block,cultivar\n" + b'"' + b"x" * 200000 + b'"\n',
        b"<html><body>404</body></html>",
        _TABLE[:-7],
        _TABLE.replace(b",", b";"),
        _TABLE.replace(b"\n", b"\r"),
        _TABLE.replace(b"2026-11-03", b"03/11/2026"),
        _TABLE.replace(b"40,60", b"60,40"),
        _TABLE.replace(b"River", b"R\xefver"),
        _TABLE.replace(b"River", b"=River"),
        _TABLE + _TABLE,
    ],
)
def test_a_file_that_is_something_else_is_named(name, data):
    read_whole({name: data})


def test_a_pipe_or_a_folder_in_the_place_of_a_file_is_named(tmp_path):
    import os

    season_of(tmp_path, GOOD)
    os.mkfifo(tmp_path / "meter.csv")
    (tmp_path / "fruit.csv").mkdir()
    (tmp_path / "trees.csv").symlink_to("trees.csv")
    (tmp_path / "weather.csv").symlink_to("/dev/zero")
    named = {problem.file for problem in read_season(tmp_path).problems}
    assert {"meter.csv", "fruit.csv", "trees.csv", "weather.csv"} <= named


@settings(max_examples=200, **_QUIET)
@given(st.text())
def test_plain_text_is_one_line_and_keeps_what_is_plain(text):
    shown = plain_text(text)
    assert not has_control_characters(shown)
    shown.encode("utf-8")
    if not has_control_characters(text):
        assert shown == text


def test_bytes_that_are_no_text_stay_apart():
    names = [
        b"a\xff.jpg".decode("utf-8", "surrogateescape"),
        "a\n.jpg",
        "a\x1b[31m.jpg",
        "a\x9b.jpg",
    ]
    assert [plain_text(name) for name in names] == [
        "a%FF.jpg",
        "a%0A.jpg",
        "a%1B[31m.jpg",
        "a%C2%9B.jpg",
    ]


def test_the_check_itself_would_see_a_number_without_end(monkeypatch):
    from maturity.season import columns

    row = "block,tree,date,fruit,eating_score\nRiver,1,2026-11-03,1,1e999\n"
    read_whole({"fruit": row})
    monkeypatch.setattr(columns, "math", types.SimpleNamespace(isfinite=lambda _value: True))
    with pytest.raises(AssertionError):
        read_whole({"fruit": row})
