"""What one look at a walk says under one row of policy."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.block_visit import BlockVisit, in_100
from maturity.views.walks import answer_frame, answer_html, answer_plot


@dataclass
class WalkAnswer:
    """What a look says under one row of policy.

    Attributes
    ----------
    look : Look or None
        None: readiness cannot be told.
    chance_at_end : float or None
        Chance that the rest of the plan settles it, 0..1, where it says go on.
    trees_left : bool
        Without any, "go on" is "undecided": what is missing still counts in what a look needs.
    """

    visit: BlockVisit
    look: _core.Look | None
    chance_at_end: float | None = None
    trees_left: bool = True

    to_frame = answer_frame
    plot = answer_plot
    _repr_html_ = answer_html

    @property
    def state(self) -> str:
        """ready, not_yet, go_on, undecided, blocked or not_cleared."""
        if self.look is None:
            return "blocked"
        if self.look.verdict == "go_on" and not self.trees_left:
            return "undecided"
        if self.look.verdict != "ready":
            return self.look.verdict
        if self.visit.estimate is None or self.visit.estimate.decision != "ready":
            return "blocked"
        return "ready" if self.visit.clearance.cleared else "not_cleared"

    def sentences(self) -> list[str]:
        """The answer in words, with what it rests on."""
        if self.look is None:
            return ["The chance that the rule is met cannot be told.", *self._reasons()]
        said = [f"{self.visit.readiness_sentence().capitalize()}; {self._needed()}"]
        if self.state == "blocked":
            return said + ["Not ready all the same:", *self._reasons()]
        said.append(self._verdict_sentence(self.look))
        if self.state == "not_cleared":
            said.append(f"Not to be picked: {self.visit.clearance.sentence()}")
        if self.chance_at_end is not None:
            said.append(
                f"About {in_100(100 * self.chance_at_end)} in 100 chance that the rest of the plan "
                "settles it."
            )
        return said

    def _needed(self) -> str:
        if self.look is None:
            return ""
        needed = 100 * self.look.needed
        text = "more than 99" if needed > 99 else f"{needed:.0f}"
        return f"at this look, ready or not yet needs {text} in 100."

    def _verdict_sentence(self, look: _core.Look) -> str:
        if self.state != "undecided" or look.verdict == "undecided":
            return look.sentence
        return (
            "No tree is left, and what was planned and is missing (oven results, trees skipped "
            "once results could be seen) counts as not looked at: this walk does not settle it. "
            "Dry what is there of it, or plan the next visit."
        )

    def _reasons(self) -> list[str]:
        said = self.visit.estimate_sentences()
        return said + ([] if self.visit.error is None else [self.visit.error])

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {
            "market": self.visit.market,
            "state": self.state,
            "readiness": None if self.visit.estimate is None else self.visit.estimate.readiness,
            "look": None if self.look is None else self.look.to_dict(),
            "chance_at_end": self.chance_at_end,
            "sentences": self.sentences(),
        }


def answer_of(
    visit: BlockVisit, fraction: float, earlier: list[float], *, trees_left: bool
) -> WalkAnswer:
    """Judge a look: `fraction` of the planned trees, after looks at `earlier` fractions."""
    estimate = visit.estimate
    if estimate is None or estimate.readiness is None:
        return WalkAnswer(visit, None)
    confidence = visit.confidence
    look = _core.judge_look(
        estimate.readiness / 100, fraction=fraction, earlier=earlier, confidence=confidence
    )
    answer = WalkAnswer(visit, look, trees_left=trees_left)
    by_mean = visit.rule == "mean"
    level = estimate.mean_dm_pct if by_mean else estimate.psi_mean
    sd = estimate.mean_dm_sd if by_mean else estimate.psi_sd
    if answer.state == "go_on" and level is not None and sd is not None:
        last = _core.judge_look(
            0.5, fraction=1.0, earlier=[*earlier, fraction], confidence=confidence
        )
        answer.chance_at_end = _core.chance_to_settle(
            level - visit.minimum_dm_pct,
            sd=sd,
            sd_after=sd * fraction**0.5,
            confidence=last.needed,
        )
    return answer
