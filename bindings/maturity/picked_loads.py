"""Loads: accept, check more, hold or sort, and what the check could let pass."""

from __future__ import annotations

import datetime
from collections import Counter
from dataclasses import dataclass, field
from typing import Any

from maturity import _core
from maturity.picked_likeness import assumed_effect
from maturity.picked_limits import Limits, LoadRule
from maturity.picked_looks import Look
from maturity.picked_tolerances import Tolerances, check_tolerances
from maturity.views.picked import load_frame, load_html, load_plot, load_repr

#: Which count decides, by the name used in limits.csv.
FINDING_OF_RULE = {"immature": "immature", "damaged": "damaged_fruit"}
#: Next steps, the worst first.
STEPS = ("sort", "hold", "check_more", "accept")
#: Acceptable shares of the published tables, per cent, and the lots they reach to.
_TABLE_LEVELS = (1.5, 2.5, 4.0, 6.5, 10.0)
_TABLE_LOTS = (2, 35000)


@dataclass
class Load:
    """What arrived together, and what is known of it.

    Attributes
    ----------
    bins_looked, bins : int, int or None
        Bins looked into, and bins in the load (None: not stated).
    fruit : int or None
        Fruit in the load, from its bins and the user's masses.
    decisions : dict of str to LoadDecision
        By `immature` and `damaged`, where limits.csv has a rule and fruit were looked at.
    design_effects : dict of str to float
        By the same: how much more its bins are taken to vary than single fruit would; 1 where every
        bin was looked into. `effects_known` False: some are assumed.
    place : str
        Block and method, where another load of that day has the same name.
    """

    name: str
    date: datetime.date
    block: str
    method: str
    crews: list[str]
    bins_looked: int
    bins: int | None
    fruit: int | None
    checked: int
    counts: dict[str, int] = field(default_factory=dict)
    design_effects: dict[str, float] = field(default_factory=dict)
    effects_known: bool = True
    rules: dict[str, LoadRule] = field(default_factory=dict)
    decisions: dict[str, _core.LoadDecision] = field(default_factory=dict)
    tolerances: Tolerances | None = None
    place: str = ""

    to_frame = load_frame
    plot = load_plot
    _repr_html_ = load_html
    __repr__ = load_repr

    @property
    def design_effect(self) -> float:
        """The largest of them."""
        return max(self.design_effects.values(), default=1.0)

    @property
    def unseen_bins(self) -> bool:
        """True where bins of the load were not looked into, or may not have been."""
        return self.bins is None or self.bins > self.bins_looked

    @property
    def table(self) -> dict[str, Any] | None:
        """Single and double plan of the published tables; None where they do not reach."""
        rule = self.rules.get("immature")
        if rule is None or self.fruit is None:
            return None
        level = round(100 * rule.acceptable, 9)
        if level not in _TABLE_LEVELS or not _TABLE_LOTS[0] <= self.fruit <= _TABLE_LOTS[1]:
            return None
        letter = _core.code_letter(self.fruit)
        single = _core.single_plan(letter, acceptable_pct=level)
        double = _core.double_plan(letter, acceptable_pct=level)
        return {
            "letter": letter,
            "single": None if single is None else single.to_dict(),
            "double": None if double is None else double.to_dict(),
        }

    @property
    def step(self) -> str | None:
        """One next step: the worst of all rules and tolerances; None: see `no_decision`."""
        steps: set[str | None] = {one.step for one in self.decisions.values()}
        if self.tolerances is not None:
            steps.add(self.tolerances.step)
        return next((step for step in STEPS if step in steps), None)

    def no_decision(self, limits: Limits) -> str:
        """Why there is no next step."""
        if self.tolerances is not None:
            return (
                "your tolerances are met in the sample, but so few fruit prove little of the load"
            )
        if any(limits.load_rule(name) is not None for name in FINDING_OF_RULE):
            return "what limits.csv limits was not looked for in all its bins"
        return "limits.csv sets no acceptable and refused share, and none is built in"

    def sentences(self) -> list[str]:
        """The one next step, and why, by each rule that asks for it."""
        worst = [(name, one) for name, one in self.decisions.items() if one.step == self.step]
        said = [self._sentence(name, one) for name, one in worst]
        if self.tolerances is not None and self.tolerances.step in ("hold", "sort"):
            said.append(self.tolerances.sentence())
        return said

    def _sentence(self, finding: str, one: _core.LoadDecision) -> str:
        rule = self.rules[finding]
        refused, acceptable = _pct(rule.refused), _pct(rule.acceptable)
        if one.step == "accept":
            chance = _chance(one.chance_if_refused)
            return f"accept: a load with {refused} {finding} would show so few {chance}"
        if one.step == "sort":
            chance = _chance(one.chance_if_acceptable)
            return f"sort: a load with {acceptable} {finding} would show so many {chance}"
        if one.step == "check_more":
            where = ", from bins not yet looked into" if self.unseen_bins else ""
            return (
                f"check {one.more} fruit more{where}; accept with up to {one.accept_total} "
                f"{finding} in all, else sort"
            )
        if one.chance_if_refused <= rule.consumer_risk / 2:
            return f"hold: between {acceptable} and {refused} {finding}; a person decides"
        return (
            f"hold: no reasonable number of fruit tells {acceptable} from {refused} {finding} "
            "here; a person decides"
        )

    def to_dict(self) -> dict[str, Any]:
        """The load as JSON holds it."""
        return {
            "load": self.name,
            "date": self.date.isoformat(),
            "block": self.block,
            "method": self.method or None,
            "crews": self.crews,
            "bins": self.bins,
            "bins_looked": self.bins_looked,
            "fruit": self.fruit,
            "checked": self.checked,
            "counts": self.counts,
            "design_effects": self.design_effects,
            "design_effects_known": self.effects_known,
            "decisions": {name: one.to_dict() for name, one in self.decisions.items()},
            "step": self.step,
            "next": self.sentences(),
            "table": self.table,
            "tolerances": None if self.tolerances is None else self.tolerances.to_dict(),
        }


def _pct(share: float) -> str:
    return f"{100 * share:g} %"


def _chance(chance: float) -> str:
    if chance < 0.001:
        return "in less than 1 of 1000 checks"
    return f"in {1000 * chance:.0f} of 1000 checks"


def judge_loads(
    looks: list[Look],
    limits: Limits,
    *,
    fruit_in_bin: float | None,
    design_effects: dict[str, float | None],
    mixed_effects: dict[str, float | None],
) -> tuple[list[Load], list[str]]:
    """Every load seen on arrival with its next step, and what is in doubt.

    `design_effects` by finding: how much bins of one crew vary, where that is known;
    `mixed_effects`: those of several crews.
    """
    grouped: dict[tuple[object, ...], list[Look]] = {}
    for look in looks:
        if look.seen_at == "arrival":
            crew = "" if look.load else look.crew
            key = (look.date, look.block, look.method, look.load, crew)
            grouped.setdefault(key, []).append(look)
    loads, notes = [], []
    for group in grouped.values():
        load, doubts = _load(group, fruit_in_bin)
        effects = mixed_effects if len(load.crews) > 1 else design_effects
        notes += doubts + _decide(load, group, limits, effects)
        loads.append(load)
    _tell_apart(loads)
    return sorted(loads, key=lambda one: (one.date, one.block, one.method, one.name)), notes


def _tell_apart(loads: list[Load]) -> None:
    """A name that stands in two blocks on one day is two loads here: each says its place."""
    names = Counter((load.date, load.name) for load in loads)
    for load in loads:
        if names[load.date, load.name] > 1:
            load.place = ", ".join(part for part in (load.block, load.method) if part)


def _load(looks: list[Look], fruit_in_bin: float | None) -> tuple[Load, list[str]]:
    first = looks[0]
    crews = sorted({look.crew for look in looks})
    name = first.load or f"bins of {first.crew}"
    stated = {look.load_bins for look in looks if look.load_bins is not None}
    bins = max(stated, default=None)
    notes = []
    if len(stated) > 1:
        given = ", ".join(str(number) for number in sorted(stated))
        notes.append(f"load {name}, {first.date}: load_bins says {given}; the largest is taken")
    if bins is not None and bins < len(looks):
        notes.append(
            f"load {name}, {first.date}: {len(looks)} bins looked into, load_bins says {bins}: "
            "not used"
        )
        bins = None
    checked = sum(look.checked for look in looks)
    fruit = None if bins is None or fruit_in_bin is None else round(bins * fruit_in_bin)
    if fruit is not None and fruit < checked:
        notes.append(f"load {name}, {first.date}: more fruit checked than prices.csv puts in it")
        fruit = None
    load = Load(
        name, first.date, first.block, first.method, crews, len(looks), bins, fruit, checked
    )
    return load, notes


def _decide(
    load: Load, looks: list[Look], limits: Limits, design_effects: dict[str, float | None]
) -> list[str]:
    for rule_name, finding in FINDING_OF_RULE.items():
        found = [look.count(finding) for look in looks]
        known = [count for count in found if count is not None]
        if len(known) < len(found):
            continue
        load.counts[finding] = sum(known)
        effect = _effect(load, looks, design_effects.get(finding))
        load.design_effects[rule_name] = effect
        rule = limits.load_rule(rule_name)
        if rule is not None:
            load.rules[rule_name] = rule
            load.decisions[rule_name] = _core.decide_load(
                load.checked, sum(known), **rule.to_dict(), lot=load.fruit, design_effect=effect
            )
    try:
        load.tolerances = check_tolerances(looks, limits, load.design_effect)
    except ValueError as error:
        return [
            f"load {load.name}, {load.date}: tolerances not checked ({error}); a wider tolerance "
            "is never the smaller one"
        ]
    return []


def _effect(load: Load, looks: list[Look], known: float | None) -> float:
    """How much bins vary: 1 where every bin was looked into, assumed where nobody can tell."""
    if not load.unseen_bins:
        return 1.0
    if known is not None:
        return max(1.0, known)
    load.effects_known = False
    return assumed_effect(sum(look.checked**2 for look in looks) / load.checked)
