"""Damage by cause, on arrival and after holding, and the two looks against each other.

Sap burn, browning and bruises show one to two days late (common practice, no source), so the look
on arrival alone would find too few of them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.picked_likeness import assumed_effect
from maturity.picked_findings import BEFORE_HARVEST, FINDINGS, HANDLING, STORAGE
from maturity.picked_looks import Look

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

    `late` compares the two over blocks, methods and days with both; `design_effect` is the one it
    used, known from this season's bins or assumed.
    """

    crew: str
    finding: str
    arrival: tuple[int, int] | None
    held: tuple[int, int] | None
    late: _core.LateDamage | None
    design_effect: float | None = None
    effect_known: bool = False

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
            "design_effect": self.design_effect,
            "design_effect_known": self.effect_known if self.late is not None else None,
        }


def _counts(look: tuple[int, int] | None) -> dict[str, int] | None:
    return None if look is None else {"count": look[0], "checked": look[1]}


def two_looks(looks: list[Look], design_effect: float | None) -> list[TwoLooks]:
    """Every finding of every crew that was seen at all, and any handling damage together.

    What rose after holding is judged so that all crews and late findings together cry wolf on at
    most one day in twenty. Only blocks, methods and days with both looks are compared, those on
    arrival weighted to the fruit held: days that differ do not show late.
    """
    crews = sorted({look.crew for look in looks})
    names = ("damaged_fruit", *HANDLING, *BEFORE_HARVEST, *STORAGE)
    comparisons = len(crews) * (1 + len(_LATE))
    rows = []
    for crew in crews:
        mine = [look for look in looks if look.crew == crew]
        for name in names:
            counted = [look for look in mine if look.count(name) is not None]
            arrival, held = (_total(counted, seen_at, name) for seen_at in SEEN_AT)
            if not any(look is not None and look[0] for look in (arrival, held)):
                continue
            row = TwoLooks(crew, name, arrival, held, None)
            if name in ("damaged_fruit", *_LATE):
                _compare(row, counted, comparisons, design_effect)
            rows.append(row)
    return rows


def _total(counted: list[Look], seen_at: str, finding: str) -> tuple[int, int] | None:
    here = [look for look in counted if look.seen_at == seen_at]
    if not here:
        return None
    return sum(look.count(finding) or 0 for look in here), sum(look.checked for look in here)


def _compare(
    row: TwoLooks, counted: list[Look], comparisons: int, design_effect: float | None
) -> None:
    """Held against arrival of the same blocks, methods and days."""
    both: list[tuple[list[Look], tuple[int, int], tuple[int, int]]] = []
    for place in sorted({(look.block, look.method, look.date) for look in counted}):
        here = [look for look in counted if (look.block, look.method, look.date) == place]
        arrival, held = (_total(here, seen_at, row.finding) for seen_at in SEEN_AT)
        if arrival is not None and held is not None:
            both.append((here, arrival, held))
    if not both:
        return
    held_fruit = sum(held[1] for _, _, held in both)
    weights = [held[1] / held_fruit for _, _, held in both]
    early = [arrival for _, arrival, _ in both]
    share = sum(weight * one[0] / one[1] for weight, one in zip(weights, early))
    # Fruit that tell the weighted share as well as these, were they of one place and day (Kish).
    fruit = max(1.0, 1 / sum(weight**2 / one[1] for weight, one in zip(weights, early)))
    sizes = [look.checked for here, _, _ in both for look in here]
    size = sum(one**2 for one in sizes) / sum(sizes)
    row.effect_known = design_effect is not None
    row.design_effect = assumed_effect(size) if design_effect is None else max(1.0, design_effect)
    row.late = _core.compare_looks(
        (min(share * fruit, fruit), fruit),
        (sum(held[0] for _, _, held in both), held_fruit),
        comparisons=comparisons,
        design_effect=row.design_effect,
    )


def unmatched_looks(looks: list[Look]) -> list[str]:
    """Held fruit with nothing on arrival to hold them against: said, as the date may be a slip."""
    held = [look for look in looks if look.seen_at == "held"]
    places = {_place(look) for look in looks if look.seen_at == "arrival"}
    alone = [look for look in held if _place(look) not in places]
    if not alone or not places:
        return []
    return [
        f"{len(alone)} of {len(held)} looks after holding have no look on arrival of the same "
        "crew, block, method and date, so what shows late is not told from them (the date is the "
        "day of picking, for held fruit too)"
    ]


def _place(look: Look) -> tuple[object, ...]:
    return look.crew, look.block, look.method, look.date


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
