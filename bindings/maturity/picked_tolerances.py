"""Tolerances inside tolerances: what fails, of this what is damaged, of this what is decayed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.picked_limits import Limits
from maturity.picked_findings import STORAGE
from maturity.picked_looks import Look

#: From the widest to the narrowest.
_TOLERANCES = ("failing at most", "damaged at most", "decayed at most")


@dataclass(frozen=True)
class Tolerances:
    """What the sample says of the user's tolerances.

    A decayed fruit may or may not be among those with a handling mark: `checks` counts as few
    damaged fruit as there can be, `most` as many; where the two disagree nothing is said.
    """

    fewest: _core.NestedTolerances
    most: _core.NestedTolerances

    @property
    def checks(self) -> list[_core.ToleranceCheck]:
        """From the widest to the narrowest."""
        return self.fewest.checks

    @property
    def met_in_sample(self) -> bool | None:
        """By the count in the sample, as a grade standard asks; None: cannot tell."""
        same = self.fewest.met_in_sample == self.most.met_in_sample
        return self.fewest.met_in_sample if same else None

    @property
    def state(self) -> str:
        """Of the load: within, over or cannot_tell."""
        return self.fewest.state if self.fewest.state == self.most.state else "cannot_tell"

    @property
    def step(self) -> str | None:
        """Next step that they ask for; None: they are met in the sample, which proves little."""
        if self.state == "over":
            return "sort"
        if not self.met_in_sample:
            return "hold"
        return "accept" if self.state == "within" else None

    def sentence(self) -> str:
        """Which are not met and by how much, with the step they ask for."""
        if self.met_in_sample is None:
            return (
                "hold: tolerances cannot be told, since decayed fruit may or may not be among the "
                "damaged ones (count them in damaged_fruit); a person decides"
            )
        over = [one for one in self.checks if not one.met_in_sample]
        which = ", ".join(
            f"{one.found} {one.what.split()[0]}, {100 * one.share:.1f} % where "
            f"{100 * one.limit:g} % is allowed"
            for one in over
        )
        if self.state == "over":
            return f"sort: over your tolerances in the sample and in the load: {which}"
        return (
            f"hold: your tolerances are not met by the count in the sample: {which}; too few fruit "
            "to say it of the load, a person decides"
        )

    def to_dict(self) -> dict[str, Any]:
        """The fields as JSON holds them."""
        return {
            "checks": [one.to_dict() for one in self.checks],
            "most_damaged": [one.to_dict() for one in self.most.checks],
            "met_in_sample": self.met_in_sample,
            "state": self.state,
            "step": self.step,
        }


def check_tolerances(looks: list[Look], limits: Limits, design_effect: float) -> Tolerances | None:
    """The tolerances of limits.csv against the looks of one load; None: none applies.

    Raises
    ------
    ValueError
        A wider tolerance is the smaller one.
    """
    fewest, most = _damaged(looks)
    counts: dict[str, tuple[int, int]] = {}
    if all("none" in look.counts for look in looks):
        failing = sum(look.checked - look.counts["none"] for look in looks)
        counts["failing at most"] = failing, failing
    if fewest is not None and most is not None:
        counts["damaged at most"] = fewest, most
    decayed = [look.count(STORAGE[0]) for look in looks]
    if None not in decayed:
        number = sum(count or 0 for count in decayed)
        counts["decayed at most"] = number, number
    made = []
    for end in (0, 1):
        wanted = [
            (what, counts[what][end], limit.share)
            for what in _TOLERANCES
            for limit in [limits.get(what)]
            if limit is not None and what in counts
        ]
        if not wanted:
            return None
        checked = sum(look.checked for look in looks)
        made.append(_core.check_nested_tolerances(checked, wanted, design_effect=design_effect))
    return Tolerances(*made)


def _damaged(looks: list[Look]) -> tuple[int | None, int | None]:
    """Fewest and most fruit with a handling mark or decayed; None: not looked for."""
    fewest = most = 0
    for look in looks:
        damaged = look.count("damaged_fruit")
        if damaged is None:
            return None, None
        decayed = look.count(STORAGE[0]) or 0
        failing = look.checked - look.counts.get("none", 0)
        fewest += max(damaged, decayed)
        most += min(damaged + decayed, failing)
    return fewest, most
