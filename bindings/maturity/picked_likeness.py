"""How alike fruit of one bin are taken to be where this season's bins do not tell it."""

from __future__ import annotations

#: Correlation of fruit of one bin (intraclass). PLANNING GUESS: that of the comparison of crews.
ASSUMED_INTRACLASS = 0.03


def assumed_effect(fruit_of_a_look: float) -> float:
    """Variance of looks of so many fruit over that of independent fruit, as assumed."""
    return 1 + max(0.0, fruit_of_a_look - 1) * ASSUMED_INTRACLASS
