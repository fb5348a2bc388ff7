"""Kinds of column: each turns a cell's text into a value, or says what was expected."""

from __future__ import annotations

import datetime
import math
import re
from dataclasses import dataclass
from typing import Any

from maturity.plain_text import has_control_characters

_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)([eE][+-]?\d+)?")
_YES = {"yes", "y", "true", "1"}
_NO = {"no", "n", "false", "0"}


class BadCell(ValueError):
    """The message is what was expected in the cell."""


@dataclass(frozen=True)
class Column:
    """A declared column: its name, its kind, and whether a row is useless without it."""

    name: str
    kind: str = "text"
    required: bool = False
    low: float | None = None
    high: float | None = None
    choices: tuple[str, ...] = ()
    example: str = ""
    meaning: str = ""

    @property
    def kind_words(self) -> str:
        """As `expected`, for somebody who fills in the column."""
        return self.words()

    def words(self, decimal: str = ".") -> str:
        """The same where the file has this decimal sign."""
        return "a text" if self.kind == "text" else self.expected(decimal)

    def expected(self, decimal: str = ".") -> str:
        """What a person should write here."""
        sign = "comma" if decimal == "," else "point"
        if self.kind == "number":
            return f"a number with decimal {sign}{self._range()}"
        if self.kind == "integer":
            return f"a whole number{self._range()}"
        if self.kind == "choice":
            return "one of " + ", ".join(self.choices)
        return {
            "text": "a text without control characters",
            "date": "a date as YYYY-MM-DD",
            "moment": "a date and time as YYYY-MM-DD HH:MM",
            "yes_no": "yes or no",
        }[self.kind]

    def _range(self) -> str:
        if self.low is not None and self.high is not None:
            return f" from {self.low:g} to {self.high:.12g}"
        return f" of at least {self.low:g}" if self.low is not None else ""

    def parse(self, text: str, decimal: str) -> Any:
        """Value of a cell that is not blank.

        Raises
        ------
        BadCell
            The text is not of this kind or out of range.
        """
        try:
            value = _PARSERS[self.kind](self, text, decimal)
        except (ValueError, OverflowError):
            raise BadCell(self.expected(decimal)) from None
        if isinstance(value, (int, float)) and not isinstance(value, bool):
            if self.low is not None and value < self.low:
                raise BadCell(self.expected(decimal))
            if self.high is not None and value > self.high:
                raise BadCell(self.expected(decimal))
        return value


def _text(_column: Column, text: str, _decimal: str) -> str:
    if has_control_characters(text):
        raise ValueError(text)
    return text


def _number(_column: Column, text: str, decimal: str) -> float:
    if decimal == ",":
        if "." in text:
            raise ValueError(text)
        text = text.replace(",", ".")
    if _NUMBER.fullmatch(text) is None:
        raise ValueError(text)
    value = float(text)
    if not math.isfinite(value):
        raise ValueError(text)
    return value


def _integer(column: Column, text: str, decimal: str) -> int:
    value = _number(column, text, decimal)
    if value != int(value):
        raise ValueError(text)
    return int(value)


def _choice(column: Column, text: str, _decimal: str) -> str:
    lowered = text.lower()
    if lowered not in column.choices:
        raise ValueError(text)
    return lowered


def _date(_column: Column, text: str, _decimal: str) -> datetime.date:
    return datetime.date.fromisoformat(text)


def _moment(_column: Column, text: str, _decimal: str) -> datetime.datetime:
    """A date alone counts as the end of that day: the later reading of an unknown hour is safe."""
    if len(text) <= len("YYYY-MM-DD"):
        day = datetime.date.fromisoformat(text)
        return datetime.datetime.combine(day, datetime.time()) + datetime.timedelta(days=1)
    moment = datetime.datetime.fromisoformat(text)
    if moment.tzinfo is not None:
        raise ValueError(text)
    return moment


def _yes_no(_column: Column, text: str, _decimal: str) -> bool:
    lowered = text.lower()
    if lowered not in _YES | _NO:
        raise ValueError(text)
    return lowered in _YES


_PARSERS = {
    "text": _text,
    "number": _number,
    "integer": _integer,
    "choice": _choice,
    "date": _date,
    "moment": _moment,
    "yes_no": _yes_no,
}


def air_temperature(name: str, which: str, example: str, *, required: bool = True) -> Column:
    """The lowest or highest temperature of a day."""
    return Column(
        name,
        "number",
        required=required,
        low=-60,
        high=60,
        example=example,
        meaning=f"{which}, degrees C",
    )
