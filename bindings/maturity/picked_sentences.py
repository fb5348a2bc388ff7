"""What the checks of picked fruit say, in sentences that the screen and the report share."""

from __future__ import annotations

from maturity import _core
from maturity.picked_costs import cost_text
from maturity.picked_damage import TwoLooks
from maturity.picked_fruit import PickedChecks
from maturity.picked_likeness import assumed_effect, likeness_words
from maturity.picked_passing import (
    allowed_by_rule,
    bins_note,
    table_sentence,
    usual_check,
    what_a_check_passes,
)

DIFFERS = {False: "no more than chance", None: "cannot tell"}
SEEN_AT_WORDS = {"arrival": "on arrival", "held": "after holding"}


def verdict(one: _core.CrewShare) -> str:
    """More or fewer than the others, no more than chance, or that it cannot be told."""
    if one.differs and one.own_share is not None and one.others_share is not None:
        return "more" if one.own_share > one.others_share else "fewer"
    return "yes" if one.differs else DIFFERS[one.differs]


def crew_sentence(one: _core.CrewShare, what: str) -> str | None:
    """Different from the rest, or chance, or why it cannot be told."""
    if one.differs is None:
        return None if one.reason_sentence is None else f"{one.crew}: {one.reason_sentence}."
    if not one.differs or one.p_value is None:
        return None
    if one.own_share is None or one.others_share is None:
        return None
    return (
        f"{one.crew}: {verdict(one)} {what} than the other crews of the same blocks, methods and "
        f"days, {100 * one.own_share:.1f} in 100 there against {100 * one.others_share:.1f}, "
        f"{_on_days(one)}. Luck alone would part some crew as far on {_days_in_1000(one.p_value)} "
        "of 1000 such seasons."
    )


def _on_days(one: _core.CrewShare) -> str:
    """On how many of the shared days; a single day cannot tell a crew from its trees."""
    if one.own_days == 1:
        return "on one day only: it may be the trees it was given that day"
    days = one.days_above if verdict(one) == "more" else one.days_below
    return f"{verdict(one)} on {days} of {one.own_days} days"


def _days_in_1000(p_value: float) -> str:
    return "at most 1" if p_value < 0.0015 else f"{1000 * p_value:.0f}"


def how_sure(compared: _core.CrewComparison) -> str:
    """How alike fruit of a bin are, how crews were compared, and what that cannot see."""
    if compared.design_effect is None:
        alike = (
            "Too few bins are told apart to see whether fruit of one bin are alike: assumed is "
            f"that {likeness_words(assumed_effect(50))}, of 50."
        )
    else:
        words = likeness_words(max(1.0, compared.design_effect))
        alike = f"{words[:1].upper()}{words[1:]}."
    way = {
        "shuffled_bins": "by shuffling whole bins among them",
        "bin_spread": "by the spread of bins within crews",
        "assumed_spread": "with the same assumption",
    }[compared.compared_by]
    if all(one.others_share is None for one in compared.crews):
        return f"{alike} No crew worked beside another, so none are compared."
    return (
        f"{alike} Crews are compared within block, method and day only, {way}, and by how much "
        'their days vary. "No more than chance" is not "equal": see the interval. Which trees a '
        "crew was given is not known here."
    )


def intervals_note(made: PickedChecks) -> str:
    """What the intervals of crews know."""
    tables = [one for one in (made.immature, *made.damaged.values()) if one is not None]
    if all(one.design_effect is not None for one in tables):
        return "Intervals are 95 % and know bins."
    return (
        "Intervals are 95 % and know bins; where too few bins are told apart, fruit of a bin are "
        "taken to be as alike as assumed."
    )


def days_notes(made: PickedChecks) -> list[str]:
    """What the limits of days are, and how much bins were taken to vary."""
    charted = [row for row in made.days if row["beyond_limits"] is not None]
    if not charted:
        return ["A single day of a block and method has no limits: there is nothing beside it."]
    effects = [max(1.0, row["design_effect"]) for row in charted]
    known = all(row["design_effect_known"] for row in charted)
    how = "" if known else " (assumed where too few bins are told apart)"
    return [
        "Limits are those of chance about the mean of all days: three standard deviations by the "
        f"fruit checked, where {likeness_words(*effects)}{how}."
    ]


def day_costs(made: PickedChecks) -> list[str]:
    """What the immature fruit of each day cost, in the bins that are known of."""
    sentences = []
    for row in made.days:
        if row["cost"] is None:
            continue
        known = "" if row["all_bins_known"] else " looked into or stated"
        place = ", ".join(part for part in (row["block"], row["method"]) if part)
        sentences.append(
            f"{row['date']}, {place}, immature fruit of {row['bins']} bins{known}: "
            f"{cost_text(row['cost'])}."
        )
    return sentences


def judging_notes(made: PickedChecks) -> list[str]:
    """What the way of telling immature fruit does to the shares."""
    notes = []
    if any(look.by_eye for look in made.looked):
        notes.append(
            "Some were judged by eye, or nobody says how: cut or measure to be sure. They are "
            "compared among themselves only."
        )
    if any(look.by_meter for look in made.looked):
        notes.append(
            "Some were read with a meter: its error moves fruit near the minimum to either side, "
            "and its bias moves the whole share."
        )
    return notes


def loads_counted(made: PickedChecks, *, left_out: int = 0) -> list[str]:
    """How many loads need nothing, are not listed, or got no decision and why."""
    sentences = [f"{left_out} more need action: see --json."] if left_out else []
    accepted = sum(load.step == "accept" for load in made.loads)
    if accepted:
        sentences.append(f"{accepted} of {len(made.loads)} loads: accept.")
    checked = [load.tolerances for load in made.loads if load.tolerances is not None]
    if checked:
        met = sum(bool(one.met_in_sample) for one in checked)
        sentences.append(f"{met} of {len(checked)} loads meet your tolerances in the sample.")
    reasons = [load.no_decision(made.limits) for load in made.loads if load.step is None]
    sentences += [
        f"{reasons.count(reason)} of {len(made.loads)} loads: no decision, {reason}."
        for reason in dict.fromkeys(reasons)
    ]
    return sentences


def what_passes(made: PickedChecks) -> list[str]:
    """What a check of this season's usual size lets pass, with numbers."""
    usual = usual_check(made.loads)
    if usual is None:
        sizes = sorted(look.checked for look in made.looked)
        if not sizes:
            return []
        usual = sizes[len(sizes) // 2], 1.0
    size, effect = usual
    rule = made.limits.load_rule("immature")
    if rule is None:
        chance = _core.chance_to_pass(size, 0, 0.05, design_effect=effect)
        often = "fewer than 1" if chance < 0.005 else f"{100 * chance:.0f}"
        return [
            f"A look at {size} fruit finds none in {often} of 100 loads of which 1 in 20 fruit is "
            "immature.",
            what_a_check_passes(13, 2),
        ]
    allowed = allowed_by_rule(size, rule, effect)
    if allowed is None:
        sentences = [
            f"A check of {size} fruit is too small: even with none found, a load with "
            f"{100 * rule.refused:g} in 100 could not be told.",
            what_a_check_passes(size, 0, effect),
        ]
    else:
        sentences = [what_a_check_passes(size, min(allowed, size - 1), effect)]
    plan = _core.smallest_plan(**rule.to_dict(), design_effect=effect)
    if plan is None:
        sentences.append(
            f"No reasonable number of fruit tells {100 * rule.acceptable:g} from "
            f"{100 * rule.refused:g} in 100."
        )
    else:
        sentences.append(
            f"To tell {100 * rule.acceptable:g} from {100 * rule.refused:g} in 100 in one look: "
            f"{plan.n} fruit drawn from all of the load, up to {plan.accept} bad ones allowed."
        )
    note = bins_note(made.loads)
    if note is not None:
        sentences.append(note)
    tables = [table_sentence(load) for load in made.loads]
    return sentences + [text for text in dict.fromkeys(tables) if text is not None]


def late_sentence(row: TwoLooks) -> str | None:
    """What rose after holding; None where nothing did or it cannot be told."""
    if row.late is None or not row.late.rose:
        return None
    low, high = row.late.interval
    return (
        f"{row.crew}: {row.finding.replace('_', ' ')} shows late, "
        f"{100 * row.late.difference:.0f} in 100 more after holding than on arrival "
        f"({100 * low:.0f} to {100 * high:.0f})."
    )


def two_looks_note(made: PickedChecks) -> str:
    """Whether there were two looks at all, and what a single one misses."""
    seen = {look.seen_at for look in made.looks}
    if "held" not in seen:
        return (
            "Nothing was held: sap burn, browning and bruises show one to two days late (common "
            "practice, no source), so damage is counted too low. Hold a sample of each crew."
        )
    return (
        "Sap burn, browning and bruises show one to two days late (common practice, no source). "
        "Arrival and held fruit are different fruit."
    )
