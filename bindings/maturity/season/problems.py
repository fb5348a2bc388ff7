"""What is wrong with a season folder, said so that a person can find and mend it."""

from __future__ import annotations

from collections.abc import Sequence
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
        place = self.file
        if self.row is not None:
            place += f", row {self.row}"
        if self.column is not None:
            place += f", column {self.column}"
        found = "" if self.value is None else f" found {self.value!r};"
        return f"{place}:{found} expected {self.expected} ({self.effect})"

    def to_dict(self) -> dict[str, object]:
        """The fields under their names, for JSON and tables."""
        return asdict(self)


class SeasonError(ValueError):
    """The season folder cannot be used; `problems` lists everything found, not only the first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = list(problems)
        # The ones that stop everything first; the others often say why.
        ordered = sorted(self.problems, key=lambda problem: not problem.fatal)
        super().__init__("\n".join(str(problem) for problem in ordered))
