"""The guide's words by language, from a small table that anybody can check or extend."""

from __future__ import annotations

import csv
from dataclasses import dataclass, field
from pathlib import Path

_TABLE = Path(__file__).parent / "words.csv"
#: Row that names who checked the cautions of a language; blank: nobody.
_CHECKED = "checked_by"


@dataclass(frozen=True)
class Words:
    """One language. `checked_by` is empty where nobody who speaks it has checked the cautions."""

    language: str
    checked_by: str
    texts: dict[str, str]

    def __call__(self, key: str, **values: object) -> str:
        """A text with its values filled in."""
        return self.texts[key].format(**values)

    @property
    def checked(self) -> bool:
        """True where a person who speaks the language has checked the cautions."""
        return bool(self.checked_by)


@dataclass(frozen=True)
class Saying:
    """A text of the table with its values, before somebody asks for a language."""

    key: str
    values: dict[str, object] = field(default_factory=dict)

    def said(self, words: Words) -> str:
        """In a language."""
        return words(self.key, **self.values)


def languages() -> list[str]:
    """Codes of the languages (ISO 639-1) in the order of the table.

    Returns
    -------
    list of str

    Examples
    --------
    >>> languages()
    ['en', 'es', 'fr']
    """
    with _TABLE.open(encoding="utf-8", newline="") as file:
        return next(csv.reader(file))[1:]


def read_words(language: str) -> Words:
    """The texts of a language.

    Raises
    ------
    ValueError
        The table has no such language.
    """
    if language not in languages():
        raise ValueError(f"language {language!r}: expected one of {', '.join(languages())}")
    with _TABLE.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    texts = {row["key"]: row[language] for row in rows}
    return Words(language, texts.pop(_CHECKED), texts)
