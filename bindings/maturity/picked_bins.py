"""Every bin with its share, and those that stand out from the others of their day."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from os import PathLike
from typing import Any

from maturity import _core
from maturity.picked_damage import SEEN_AT
from maturity.picked_immature import bin_checks
from maturity.picked_looks import Look
from maturity.tables import write_csv

#: Columns of the table of bins.
COLUMNS = (
    "date",
    "block",
    "method",
    "crew",
    "bin",
    "load",
    "seen_at",
    "checked",
    *("immature", "immature_share", "immature_low", "immature_high", "immature_stands_out"),
    *("damaged", "damaged_share", "damaged_low", "damaged_high", "damaged_stands_out"),
    "by_eye_or_not_said",
)


@dataclass
class BinRow:
    """One look into one bin; an outcome is None where that was not looked for."""

    look: Look
    immature: _core.BinOutcome | None = None
    damaged: _core.BinOutcome | None = None

    def outcome(self, finding: str) -> _core.BinOutcome | None:
        """Of `immature` or `damaged_fruit`."""
        return self.immature if finding == "immature" else self.damaged

    def cells(self) -> dict[str, Any]:
        """The row of the table of bins."""
        look = self.look
        cells: dict[str, Any] = {
            "date": look.date.isoformat(),
            "block": look.block,
            "method": look.method or None,
            "crew": look.crew,
            "bin": look.bin or None,
            "load": look.load or None,
            "seen_at": look.seen_at,
            "checked": look.checked,
            "by_eye_or_not_said": look.by_eye if self.immature is not None else None,
        }
        for name, finding, one in (
            ("immature", "immature", self.immature),
            ("damaged", "damaged_fruit", self.damaged),
        ):
            if one is not None:
                cells[name] = look.count(finding)
                cells[f"{name}_share"] = one.share
                cells[f"{name}_low"], cells[f"{name}_high"] = one.interval
                cells[f"{name}_stands_out"] = one.stands_out
        return cells


def bin_rows(looks: list[Look], looked: list[Look], false_alarm: float) -> list[BinRow]:
    """All looks, in the order of the file. `looked`: those that count for immature fruit.

    `false_alarm`: chance that any bin is said to stand out for immature fruit where none does, and
    the same for damage (both looks together).
    """
    rows = {id(look): BinRow(look) for look in looks}
    for look, one in _outcomes(looked, "immature", false_alarm):
        rows[id(look)].immature = one
    for seen_at in SEEN_AT:
        here = [look for look in looks if look.seen_at == seen_at]
        for look, one in _outcomes(here, "damaged_fruit", false_alarm / len(SEEN_AT)):
            rows[id(look)].damaged = one
    return list(rows.values())


def _outcomes(
    looks: list[Look], finding: str, false_alarm: float
) -> Iterable[tuple[Look, _core.BinOutcome]]:
    counted = [look for look in looks if look.count(finding) is not None]
    return zip(counted, _core.outlying_bins(bin_checks(counted, finding), false_alarm=false_alarm))


def standing_out(rows: list[BinRow], finding: str) -> list[BinRow]:
    """Bins with more of a finding than chance, the surest first."""

    def chance(row: BinRow) -> float:
        one = row.outcome(finding)
        return 1.0 if one is None or one.p_value is None else one.p_value

    def stands_out(row: BinRow) -> bool:
        one = row.outcome(finding)
        return one is not None and one.stands_out is True

    return sorted(filter(stands_out, rows), key=chance)


def bins_sentence(rows: list[BinRow], finding: str) -> str | None:
    """How many bins stand out of how many; None where none was looked into for this."""
    counted = [row for row in rows if row.outcome(finding) is not None]
    compared = [one for row in counted for one in [row.outcome(finding)] if one and one.p_value]
    what = "immature" if finding == "immature" else "damaged"
    if not counted:
        return None
    if not compared:
        return f"No bin has another of its block, method and day beside it to compare {what} fruit."
    out = len(standing_out(rows, finding))
    if not out:
        return (
            f"No bin of {len(compared)} has more {what} fruit than chance gives, beside the others "
            "of its block, method and day."
        )
    verb = "has" if out == 1 else "have"
    return (
        f"{out} of {len(compared)} bins {verb} more {what} fruit than the others of the same "
        "block, method and day, by more than chance. A tree, a picker or a crew may be behind it."
    )


def write_bins(path: str | PathLike[str], rows: list[BinRow]) -> None:
    """Every look into a bin as CSV."""
    write_csv(path, COLUMNS, (row.cells() for row in rows))
