"""What a check of a load lets pass, with numbers."""

from __future__ import annotations

from maturity import _core
from maturity.picked_limits import LoadRule
from maturity.picked_likeness import assumed_effect, likeness_words
from maturity.picked_loads import Load


def allowed_by_rule(checked: int, rule: LoadRule, design_effect: float) -> int | None:
    """Most bad fruit with which a large load is accepted; None: so few fruit never accept one."""
    allowed = None
    for found in range(checked + 1):
        decision = _core.decide_load(checked, found, **rule.to_dict(), design_effect=design_effect)
        if decision.step != "accept":
            break
        allowed = found
    return allowed


def what_a_check_passes(checked: int, allowed: int, design_effect: float = 1.0) -> str:
    """Loads that a check of this size lets through, with numbers."""
    half, tenth = (
        _core.share_passed_with(checked, allowed, chance, design_effect) for chance in (0.5, 0.1)
    )
    bins = ""
    if design_effect > 1.0:
        bins = f", where {likeness_words(design_effect)}"
    return (
        f"A check of {checked} fruit that allows {allowed} passes a load with {100 * half:.0f} % "
        f"bad fruit half the time, and one with {100 * tenth:.0f} % in 1 of 10 checks{bins}."
    )


def table_sentence(load: Load) -> str | None:
    """What the published tables ask for a load; None where they do not reach."""
    table = load.table
    if table is None or table["single"] is None:
        return None
    single, double = table["single"], table["double"]
    text = (
        f"Published table for a load of {load.fruit} fruit (letter {table['letter']}, "
        f"{100 * load.rules['immature'].acceptable:g} %): {single['n']} fruit, up to "
        f"{single['accept']} bad ones"
    )
    if double is None:
        return f"{text}."
    return (
        f"{text}; or {double['first']}, accept up to {double['accept_first']}, refuse from "
        f"{double['reject_first']}, else {double['second']} more and up to "
        f"{double['accept_total']} in all (the two-step numbers are from memory of the table; "
        "their row was read in a copy of it)."
    )


def usual_check(loads: list[Load]) -> tuple[int, float] | None:
    """Fruit checked in the load of middle size, and how much its bins are taken to vary."""
    if not loads:
        return None
    middle = sorted(loads, key=lambda one: one.checked)[len(loads) // 2]
    return middle.checked, middle.design_effects.get("immature", 1.0)


def bins_note(loads: list[Load]) -> str | None:
    """How fruit of one bin were taken; None where no load was decided on."""
    decided = [load for load in loads if load.decisions]
    if not decided:
        return None
    unseen = [load for load in decided if load.unseen_bins]
    if not unseen:
        return (
            "Every bin of these loads was looked into: how alike fruit of a bin are is no matter."
        )
    known = sum(load.effects_known for load in unseen)
    text = (
        f"{len(unseen)} of {len(decided)} loads have bins that were not looked into, or nobody "
        "says how many they have: fruit of one bin are alike there and count for less"
    )
    if known == len(unseen):
        mixed = any(len(load.crews) > 1 for load in unseen)
        crews = "; crews that differ make bins of a mixed load differ more" if mixed else ""
        return f"{text}, as this season's bins show{crews}."
    words = likeness_words(assumed_effect(50))
    return (
        f"{text}; for {len(unseen) - known} that is assumed (of 50, {words}), since too few bins "
        "are told apart: name the bins, look into more."
    )
