"""What is wrong with a season folder, said so that a person can find and mend it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import asdict, dataclass


@dataclass(frozen=True)
class Problem:
    """One thing wrong with one file.

    Attributes
    ----------
    file : str
        Name inside the season folder, for instance ``oven.csv``.
    row : int or None
        Row as a spreadsheet counts it: the header is row 1. None: the file as a whole.
    column, value : str or None
        Where in the row, and what stands there, as written.
    expected : str
        What should stand there.
    effect : str
        What was done: for instance ``row left out``.
    fatal : bool
        True when the season cannot be used at all without mending this.
    """

    file: str
    row: int | None
    column: str | None
    value: str | None
    expected: str
    effect: str
    fatal: bool = False

    def __str__(self) -> str:
        return str(AlikeProblems([self]))

    def to_dict(self) -> dict[str, object]:
        """The fields under their names, for JSON and tables."""
        return asdict(self)


#: Rows and values named of problems that are alike, before the others are counted only.
_NAMED = 3


@dataclass(frozen=True)
class AlikeProblems:
    """The same thing wrong in one or more rows of a column: one line for people."""

    problems: Sequence[Problem]

    @property
    def first(self) -> Problem:
        """What they have in common it has too."""
        return self.problems[0]

    @property
    def rows(self) -> str:
        """Their rows: "4", "4 and 7", "4, 7, 9 and 21 more"; blank for the file as a whole."""
        return in_short([str(one.row) for one in self.problems if one.row is not None], "more")

    @property
    def found(self) -> str:
        """What stands there, each once."""
        return self._found(str)

    @property
    def effect(self) -> str:
        """What was done."""
        words = self.first.effect.split(" ")
        if len(self.problems) > 1 and words[0] in ("row", "cell", "reading"):
            words[0] += "s"
        return " ".join(words)

    def _found(self, write: Callable[[str], str]) -> str:
        values = dict.fromkeys(one.value for one in self.problems if one.value is not None)
        return in_short([write(one) for one in values], "others")

    def __str__(self) -> str:
        place = self.first.file
        if self.rows:
            place += f", row{'s' if len(self.problems) > 1 else ''} {self.rows}"
        if self.first.column is not None:
            place += f", column {self.first.column}"
        found = self._found(repr)
        return (
            f"{place}:{found and f' found {found};'} expected {self.first.expected} ({self.effect})"
        )


def in_short(texts: Sequence[str], others: str) -> str:
    """A list in words; of a long one the first, and how many others."""
    if len(texts) > _NAMED + 1:
        texts = [*texts[:_NAMED], f"{len(texts) - _NAMED} {others}"]
    return " and ".join(filter(None, [", ".join(texts[:-1]), *texts[-1:]]))


def alike_problems(problems: Iterable[Problem]) -> list[AlikeProblems]:
    """The problems, those of one column that ask for the same thing together, in their order."""
    groups: dict[object, list[Problem]] = {}
    for one in problems:
        key: object = (one.file, one.column, one.expected, one.effect, one.fatal)
        groups.setdefault(id(one) if one.row is None else key, []).append(one)
    return [AlikeProblems(group) for group in groups.values()]


class SeasonError(ValueError):
    """The season folder cannot be used; `problems` lists everything found, not only the first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = list(problems)
        # The ones that stop everything first; the others often say why.
        ordered = sorted(self.problems, key=lambda problem: not problem.fatal)
        super().__init__("\n".join(map(str, alike_problems(ordered))))
