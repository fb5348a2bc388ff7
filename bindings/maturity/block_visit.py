"""One block at one visit against one row of policy: estimate, clearance, decision."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

import pandas

from maturity import _core
from maturity.clearance import Clearance
from maturity.flowering_plan import plan_fields
from maturity.flowering_rows import flowering_columns, flowerings_dict, joined_by
from maturity.joining import LeftOut
from maturity.put_away import Away, PutAway
from maturity.season.table import Row
from maturity.tables import MadeWhenWritten

if TYPE_CHECKING:
    from maturity.pooling import PooledBlock
    from maturity.shape_range import ShapeRange

#: How a decision is written for people.
DECISION_WORDS = {
    "ready": "ready",
    "not_yet": "not yet",
    "sample_more": "sample more",
    "not_cleared": "not cleared",
    None: "no estimate",
}


@dataclass
class Answer:
    """What an estimate was asked and said, fruit by fruit: what grows with the fruit of a visit."""

    question: _core.BlockQuestion | None = None
    estimate: _core.BlockEstimate | None = None
    flowerings: _core.JoinedEstimate | None = None
    fruit: Sequence[dict[str, Any]] = ()


@dataclass(repr=False, eq=False)
class BlockVisit:
    """What one visit says about one block under one row of policy.

    Attributes
    ----------
    decision : str or None
        "ready", "not_yet", "sample_more", or "not_cleared", which overrides the others. None: the
        estimate could not be made; `error` says why.
    pooled : PooledBlock or None
        Where blocks were drawn together: the block's rank. It bears on no decision.
    latest : bool
        True for the block's last visit.
    walk_hold : str or None
        What the rule of the walk says instead, where it does not bear the estimate's decision out.
    shape_range : ShapeRange or None
        Where its shapes lie in the baselines of the calibration; None without one.
    meter, other_meters : str or None, list of str
        Instrument and setting with the most readings, and the others; each has its own bias.
    """

    block: str
    cultivar: str
    date: datetime.date
    market: str | None
    rule: str
    minimum_dm_pct: float
    required_share: float
    confidence: float
    policy: Row
    latest: bool
    decision: str | None
    clearance: Clearance
    descriptors: tuple[str, ...] = ()
    cross_checks: _core.CrossChecks | None = None
    error: str | None = None
    plan: _core.SamplePlan | _core.FloweringPlan | None = None
    walk_hold: str | None = None
    meter: str | None = None
    other_meters: list[str] = field(default_factory=list)
    picked_on_purpose: bool = False
    notes: list[str] = field(default_factory=list)
    used: dict[str, int] = field(default_factory=dict)
    left_out: list[LeftOut] = field(default_factory=list)
    pooled: PooledBlock | None = None
    shape_range: ShapeRange | None = None
    _answer: Answer | Away[Answer] = field(default_factory=Answer)

    @property
    def answer(self) -> Answer:
        """What the estimate was asked and said; read again where it was put away."""
        return self._answer() if isinstance(self._answer, Away) else self._answer

    def put_away(self, shelf: PutAway) -> None:
        """Hold no longer what grows with the fruit; it is read when asked for."""
        self._answer = Away(shelf, shelf.put(self.answer))

    def __getstate__(self) -> dict[str, Any]:
        return {**vars(self), "_answer": self.answer}

    @property
    def question(self) -> _core.BlockQuestion | None:
        """What the estimate was asked, in the order of `fruit`."""
        return self.answer.question

    @property
    def estimate(self) -> _core.BlockEstimate | None:
        """Its own `decision` knows nothing of the clearance."""
        return self.answer.estimate

    @property
    def flowerings(self) -> _core.JoinedEstimate | None:
        """Each flowering apart, where the tables name two or more; `estimate` is its `block`."""
        return self.answer.flowerings

    @property
    def fruit(self) -> Sequence[dict[str, Any]]:
        """Rows of its fruit: key, readings, and what the estimate says of each."""
        return self.answer.fruit

    @property
    def meters(self) -> list[str]:
        """All instruments used, the one with the most readings first."""
        return [] if self.meter is None else [self.meter, *self.other_meters]

    def meter_biases(self) -> dict[str, tuple[float, float]]:
        """Meter minus truth of each instrument, % (mean, SD)."""
        if self.estimate is None or self.estimate.meter_bias is None:
            return {}
        biases = [self.estimate.meter_bias, *self.estimate.further_meter_bias]
        return dict(zip(self.meters, biases))

    def __repr__(self) -> str:
        market = "" if self.market is None else f" for {self.market!r}"
        decision = f"{self.decision}, {self.readiness_sentence()}"
        return f"<BlockVisit {self.block!r}{market}, {self.date}: {decision}>"

    def readiness_sentence(self) -> str:
        """The readiness, always said in full: a bare number is read as a share of fruit."""
        readiness = None if self.estimate is None else self.estimate.readiness
        if readiness is None:
            return "the chance that the rule is met cannot be told"
        return f"{in_100(readiness)} in 100 chance that the rule is met"

    def rule_sentence(self) -> str:
        """The rule in words."""
        market = "" if self.market is None else f" for market {self.market}"
        if self.rule == "mean":
            return f"mean dry matter of at least {self.minimum_dm_pct:g} %{market}"
        share = f"{100 * self.required_share:g} in 100 fruit"
        return f"at least {share} with {self.minimum_dm_pct:g} % dry matter or more{market}"

    def reason_sentences(self) -> list[str]:
        """Why the decision is what it is, clearance first."""
        sentences = []
        if self.decision == "not_cleared":
            sentences.append(self.clearance.sentence())
        if self.walk_hold is not None:
            sentences.append(self.walk_hold)
        if self.error is not None:
            sentences.append(self.error)
        return sentences + self.estimate_sentences()

    @property
    def flowering_hold(self) -> list[str]:
        """What the flowerings lack, in sentences, where only that keeps "ready" back."""
        if self.flowerings is None or "flowering_blocked" not in self.flowerings.block.reasons:
            return []
        return list(self.flowerings.sentences)

    def estimate_sentences(self) -> list[str]:
        """Why the estimate says what it says, and which flowering keeps it back."""
        if self.estimate is None:
            return []
        return [*self.estimate.reason_sentences, *self.flowering_hold]

    def plot(self, ax: Any = None) -> Any:
        """Each fruit's dry matter with its 95 % interval, lowest first, and the minimum.

        Parameters
        ----------
        ax : matplotlib.axes.Axes, optional
            Default: those of a new figure.

        Returns
        -------
        matplotlib.axes.Axes

        Raises
        ------
        ValueError
            There is no estimate.
        """
        from maturity.views.seasons import plot_visit

        return plot_visit(self, ax)

    def to_frame(self) -> pandas.DataFrame:
        """One row for each fruit: tree, fruit, readings and estimate, % of fresh weight."""
        frame = pandas.DataFrame(list(self.fruit)).drop(columns="interval", errors="ignore")
        ends = [row.get("interval") or (None, None) for row in self.fruit]
        return frame.assign(
            low_dm_pct=[low for low, _ in ends], high_dm_pct=[high for _, high in ends]
        )

    def _repr_html_(self) -> str:
        from maturity.views.seasons import visit_html

        return visit_html(self)

    def to_dict(self) -> dict[str, Any]:
        """Everything as JSON holds it."""
        return {**self.to_write(), "fruit": list(self.fruit)}

    def to_write(self) -> dict[str, Any]:
        """As `to_dict`, but each fruit is made when it is written."""
        fruit = self.fruit
        estimate = {} if self.estimate is None else self.estimate.to_dict()
        estimate.pop("fruit_estimates", None)
        estimate["estimate_decision"] = estimate.pop("decision", None)
        estimate.pop("rule", None)
        return {
            "block": self.block,
            "cultivar": self.cultivar,
            "date": self.date.isoformat(),
            "latest": self.latest,
            "market": self.market,
            "rule": self.rule,
            "minimum_dm_pct": self.minimum_dm_pct,
            "required_share": self.required_share,
            "confidence": self.confidence,
            "policy_source": self.policy["source"],
            "decision": self.decision,
            "descriptors": list(self.descriptors),
            **estimate,
            "reason_sentences": self.reason_sentences(),
            "cross_checks": None if self.cross_checks is None else self.cross_checks.to_dict(),
            "clearance": self.clearance.to_dict(),
            "error": self.error,
            "walk_hold": self.walk_hold,
            "more_samples": plan_fields(self.plan),
            "meter": self.meter,
            "meter_biases": self.meter_biases(),
            "picked_on_purpose": self.picked_on_purpose,
            "notes": self.notes,
            "used": self.used,
            "left_out": [one.to_dict() for one in self.left_out],
            "shape_range": None if self.shape_range is None else self.shape_range.to_dict(),
            "fruit": MadeWhenWritten(len(fruit), lambda: iter(fruit)),
            **flowerings_dict(self.flowerings),
            **({} if self.pooled is None else self.pooled.to_row()),
        }

    def to_row(self) -> dict[str, Any]:
        """One row of a table; unknown is None."""
        estimate = self.estimate
        mean = None if estimate is None else estimate.mean_dm_interval
        share = None if estimate is None else estimate.share_interval
        return {
            "block": self.block,
            "date": self.date.isoformat(),
            "market": self.market,
            "rule": self.rule,
            "minimum_dm_pct": self.minimum_dm_pct,
            "required_share": self.required_share,
            "confidence": self.confidence,
            "decision": self.decision,
            "readiness_in_100": None if estimate is None else estimate.readiness,
            "mean_dm_pct": None if estimate is None else estimate.mean_dm_pct,
            "mean_dm_low_pct": None if mean is None else mean[0],
            "mean_dm_high_pct": None if mean is None else mean[1],
            "share_mature": None if estimate is None else estimate.share_mature,
            "share_low": None if share is None else share[0],
            "share_high": None if share is None else share[1],
            "cleared": self.clearance.cleared,
            "clear_from": self.clearance.to_dict()["clear_from"],
            **self.used,
            **flowering_columns(self.flowerings),
            **({} if self.pooled is None else self.pooled.to_row()),
            "reasons": " ".join(self.reason_sentences()),
            **joined_by(self.flowerings),
        }


def in_100(chance: float) -> str:
    """So many in 100, rounded down, so that what just misses the confidence is not shown as met."""
    if chance < 1:
        return "less than 1"
    # A required 90 may come in as 89.999999999999986.
    return "more than 99" if chance > 99 else str(math.floor(chance + 1e-9))


def mean_range(mean: float, low: float, high: float) -> str:
    """Dry matter with its interval."""
    return f"{mean:.1f} % ({low:.1f} to {high:.1f})"


def share_range(middle: float, low: float, high: float, of: str = "") -> str:
    """Shares as so many in 100 `of` what, with the interval where it shows."""
    ends = [share_in_100(one) for one in (middle, low, high)]
    if ends[0] == ends[1] == ends[2]:
        return f"{ends[0]} in 100{of}"
    return f"{ends[0]} in 100{of} ({ends[1]} to {ends[2]})"


def share_in_100(share: float) -> str:
    """A share as so many in 100, to the nearest as on the screen, never none or all."""
    if share < 0.01:
        return "less than 1"
    return "more than 99" if share > 0.99 else f"{100 * float(f'{share:.2f}'):.0f}"
