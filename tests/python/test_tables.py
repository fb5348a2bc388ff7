"""Tables out: no cell may be read as a formula, nothing half written."""

from __future__ import annotations

import csv

import pytest

from maturity.tables import safe_cell, write_csv, write_json


@pytest.mark.parametrize("text", ["=1+1", "+1", "-1 block", "@SUM(A1)", "\t=1", '=HYPERLINK("x")'])
def test_text_that_would_be_a_formula_is_quoted(text):
    assert safe_cell(text) == "'" + text


@pytest.mark.parametrize(
    ("value", "cell"), [(-1.5, -1.5), (None, ""), (float("nan"), ""), (True, "yes")]
)
def test_numbers_stay_numbers_and_missing_is_blank(value, cell):
    assert safe_cell(value) == cell


def test_csv_reads_back(tmp_path):
    write_csv(tmp_path / "t.csv", ["a", "b"], [{"a": 'x "y", z', "b": -2}, {"a": "=1"}])
    with open(tmp_path / "t.csv", encoding="utf-8", newline="") as file:
        assert list(csv.reader(file)) == [["a", "b"], ['x "y", z', "-2"], ["'=1", ""]]
    assert [path.name for path in tmp_path.iterdir()] == ["t.csv"]


def test_json_refuses_what_is_not_a_number(tmp_path):
    with pytest.raises(ValueError):
        write_json(tmp_path / "t.json", {"a": float("nan")})
