"""How alike fruit of one bin are taken to be where this season's bins do not tell it."""

from __future__ import annotations

from maturity import _core

#: Correlation of fruit of one bin (intraclass): the PLANNING GUESS of the comparison of crews.
ASSUMED_INTRACLASS = _core.ASSUMED_INTRACLASS


def assumed_effect(fruit_of_a_look: float) -> float:
    """Variance of looks of so many fruit over that of independent fruit, as assumed."""
    return 1 + max(0.0, fruit_of_a_look - 1) * ASSUMED_INTRACLASS


def likeness_words(*effects: float) -> str:
    """What design effects mean, to follow "where": how many fruit of a bin tell as much as one."""
    least, most = (f"{one:.1f}" for one in (min(effects), max(effects)))
    if most == "1.0":
        return "fruit of one bin are no more alike than chance gives"
    span = most if least == most else f"up to {most}" if least == "1.0" else f"{least} to {most}"
    return f"{span} fruit of a bin tell only as much as one drawn by itself"
