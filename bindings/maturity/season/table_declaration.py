"""What is declared of one file of a season folder."""

from __future__ import annotations

from dataclasses import dataclass

from maturity.season.columns import Column


@dataclass(frozen=True)
class TableDeclaration:
    """One file: its columns in the order of the header, and the columns that identify a row.

    Without such columns equal rows are all kept.
    """

    name: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    #: Columns that a row needs at least one of, or all of one group of.
    one_of: tuple[tuple[str, ...], ...] = ()
    purpose: str = ""
    #: How rows of one key are meant to differ, said where they contradict each other.
    repeat_hint: str = ""
    #: A cell that cannot be read is left blank where its column is not required; else the whole row
    #: is left out.
    blanks_bad_cells: bool = False

    @property
    def file(self) -> str:
        """File name inside the season folder."""
        return f"{self.name}.csv"
