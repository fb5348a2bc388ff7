"""How alike fruit of one bin are taken to be where this season's bins do not tell it."""

from __future__ import annotations

from maturity import _core

#: Correlation of fruit of one bin (intraclass): the PLANNING GUESS of the comparison of crews.
ASSUMED_INTRACLASS = _core.ASSUMED_INTRACLASS


def assumed_effect(fruit_of_a_look: float) -> float:
    """Variance of looks of so many fruit over that of independent fruit, as assumed."""
    return 1 + max(0.0, fruit_of_a_look - 1) * ASSUMED_INTRACLASS
