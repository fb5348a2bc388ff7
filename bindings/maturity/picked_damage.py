"""Damage by cause, on arrival and after holding, and the two looks against each other.

Sap burn, browning and bruises show one to two days late (common practice, no source), so the look
on arrival alone would find too few of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.picked_looks import BEFORE_HARVEST, FINDINGS, HANDLING, STORAGE, Look

SEEN_AT = ("arrival", "held")
_LATE = tuple(name for name in HANDLING if FINDINGS[name]["late"])
#: Where something can be changed, in words.
PLACES = {
    "at_tree": "at the tree",
    "at_mat": "at the mat or belt",
    "in_bin": "in the bin",
    "in_shed": "in the shed",
}


@dataclass
class TwoLooks:
    """One finding of one crew: (found, checked) on arrival and after holding; None: not looked for.

    `late` compares the two where both are there.
    """

    crew: str
    finding: str
    arrival: tuple[int, int] | None
    held: tuple[int, int] | None
    late: _core.LateDamage | None

    @property
    def before_harvest(self) -> bool:
        """True for marks that no crew made."""
        return self.finding in BEFORE_HARVEST

    def to_dict(self) -> dict[str, Any]:
        """The fields as JSON holds them."""
        return {
            "arrival": _counts(self.arrival),
            "held": _counts(self.held),
            "late": None if self.late is None else self.late.to_dict(),
        }


def _counts(look: tuple[int, int] | None) -> dict[str, int] | None:
    return None if look is None else {"count": look[0], "checked": look[1]}


def two_looks(looks: list[Look], design_effect: float | None) -> list[TwoLooks]:
    """Every finding of every crew that was seen at all, and any handling damage together.

    What rose after holding is judged so that all crews and late findings together cry wolf on at
    most one day in twenty.
    """
    crews = sorted({look.crew for look in looks})
    names = ("damaged_fruit", *HANDLING, *BEFORE_HARVEST, *STORAGE)
    comparisons = len(crews) * (1 + len(_LATE))
    rows = []
    for crew in crews:
        for name in names:
            arrival, held = (_count(looks, crew, seen_at, name) for seen_at in SEEN_AT)
            if not any(look is not None and look[0] for look in (arrival, held)):
                continue
            late = None
            if arrival is not None and held is not None and name in ("damaged_fruit", *_LATE):
                late = _core.compare_looks(
                    arrival, held, comparisons=comparisons, design_effect=design_effect or 1.0
                )
            rows.append(TwoLooks(crew, name, arrival, held, late))
    return rows


def _count(looks: list[Look], crew: str, seen_at: str, finding: str) -> tuple[int, int] | None:
    counted = [
        (count, look.checked)
        for look in looks
        if look.crew == crew and look.seen_at == seen_at
        for count in [look.count(finding)]
        if count is not None
    ]
    if not counted:
        return None
    return sum(count for count, _ in counted), sum(checked for _, checked in counted)


def what_to_change(rows: list[TwoLooks]) -> list[dict[str, Any]]:
    """For each finding that was seen, most fruit first: usual cause, and what to change where."""
    seen: dict[str, int] = {}
    for row in rows:
        if row.finding in FINDINGS:
            found = sum(look[0] for look in (row.arrival, row.held) if look is not None)
            seen[row.finding] = seen.get(row.finding, 0) + found
    advice = []
    for name, fruit in sorted(seen.items(), key=lambda item: (-item[1], item[0])):
        one = FINDINGS[name]
        changes = [(place, one[key]) for key, place in PLACES.items() if one[key]]
        advice.append({**one, "fruit": fruit, "changes": changes})
    return advice
