"""Plots of shares: of crews, bins, days, samples, and what a check lets pass."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

import numpy

from maturity import _core
from maturity.views.drawing import FAINT, INK, STRONG, axes_or_new, draw_intervals


def draw_crews(ax: Any, crews: Sequence[_core.CrewShare]) -> None:
    """Share of each crew with its interval; diamonds: itself and the others on the same days."""
    ordered = sorted(crews, key=lambda one: one.share)
    for place, one in enumerate(ordered):
        ax.plot([100 * end for end in one.interval], [place] * 2, color=STRONG, lw=2)
        ax.plot(100 * one.share, place, "o", color=STRONG, ms=7)
        if one.own_share is not None and abs(one.own_share - one.share) > 1e-9:
            ax.plot(100 * one.own_share, place, "D", color=INK, ms=5)
        if one.others_share is not None:
            ax.plot(100 * one.others_share, place, "D", mfc="none", mec=INK, ms=7)
    ax.set_yticks(range(len(ordered)))
    ax.set_yticklabels([one.crew for one in ordered], parse_math=False)
    ax.set_ylim(-0.6, len(ordered) - 0.4)
    ax.set_xlim(left=0)
    ax.set_xlabel(_crews_label(ordered))


def _crews_label(crews: Sequence[_core.CrewShare]) -> str:
    label = "share in 100 with 95 % interval"
    if any(one.others_share is not None for one in crews):
        label += "\nopen diamond: others, same days"
    if any(one.own_share is not None and abs(one.own_share - one.share) > 1e-9 for one in crews):
        label += "; full: itself then"
    return label


def comparison_plot(self: _core.CrewComparison, ax: Any = None) -> Any:
    """Share of each crew with its 95 % interval, and that of the others on the same days."""
    ax = axes_or_new(ax, 1 + len(self.crews))
    draw_crews(ax, self.crews)
    return ax


def chart_plot(self: _core.PChart, ax: Any = None) -> Any:
    """Share of each point against its limits of chance; a square where it lies beyond them."""
    ax = axes_or_new(ax)
    order = numpy.arange(1, len(self.points) + 1)
    for side in (0, 1):
        ends = [100 * one.limits[side] for one in self.points]
        ax.step(order, ends, where="mid", color=INK, lw=1, ls="--")
    ax.axhline(100 * self.centre, color=FAINT, lw=1)
    ax.plot(order, [100 * one.share for one in self.points], "-o", color=STRONG, ms=6, lw=1)
    for place, one in zip(order, self.points):
        if one.above or one.below:
            ax.plot(place, 100 * one.share, "s", mfc="none", mec=INK, ms=14)
    ax.xaxis.get_major_locator().set_params(integer=True)
    ax.set_xlabel("in order; broken lines: limits of chance")
    ax.set_ylabel("share in 100")
    return ax


def decision_plot(self: _core.LoadDecision, ax: Any = None) -> Any:
    """The share found in a load with its 95 % interval."""
    rows = [(self.step.replace("_", " "), *in_100(self.share, self.interval))]
    ax = draw_intervals(ax, rows)
    ax.set_xlabel("share in 100, with 95 % interval")
    return ax


def in_100(
    share: float | None, interval: tuple[float, float] | None
) -> tuple[float | None, float | None, float | None]:
    low, high = (None, None) if interval is None else (100 * interval[0], 100 * interval[1])
    return (None if share is None else 100 * share), low, high


def tolerances_plot(self: _core.NestedTolerances, ax: Any = None) -> Any:
    """Each share with its 95 % interval, and its limit as an upright stroke."""
    ax = draw_intervals(ax, [(one.what, *in_100(one.share, one.interval)) for one in self.checks])
    for place, one in zip(range(len(self.checks) - 1, -1, -1), self.checks):
        ax.plot(100 * one.limit, place, "|", color=INK, ms=18, mew=2)
    ax.set_xlabel("share in 100, with 95 % interval (upright stroke: your limit)")
    return ax


def single_plan_plot(
    self: _core.LoadPlan | _core.SamplingPlan, ax: Any = None, *, design_effect: float = 1.0
) -> Any:
    """Chance that the check passes a load, over the share of bad fruit in it."""
    return _passing(
        ax,
        lambda share: _core.chance_to_pass(self.n, self.accept, share, design_effect=design_effect),
        f"{self.n} fruit, {self.accept} allowed",
    )


def double_plan_plot(self: _core.DoublePlan, ax: Any = None) -> Any:
    """Chance that the check in two steps passes a load, over the share of bad fruit in it."""
    return _passing(
        ax,
        lambda share: _core.double_acceptance(self, share)[0],
        f"{self.first} fruit, then {self.second} more",
    )


def _passing(ax: Any, chance: Any, label: str) -> Any:
    ax = axes_or_new(ax)
    shares = numpy.linspace(0.0, 0.4, 81)
    passes = [100 * chance(float(share)) for share in shares]
    ax.plot(100 * shares, passes, color=STRONG, lw=1.8, label=label)
    ax.set_xlim(0, 40)
    ax.set_ylim(0, 101)
    ax.set_xlabel("bad fruit in the load, in 100")
    ax.set_ylabel("passes, in 100 checks")
    ax.legend(frameon=False, fontsize=8)
    return ax


def share_plot(self: _core.CrewShare | _core.BinOutcome | _core.WholeShare, ax: Any = None) -> Any:
    """The share with its 95 % interval."""
    ax = draw_intervals(ax, [(getattr(self, "crew", ""), *in_100(self.share, self.interval))])
    ax.set_xlabel("share in 100, with 95 % interval")
    return ax


def late_plot(self: _core.LateDamage, ax: Any = None) -> Any:
    """Held less arrival with its 95 % interval; dotted: no difference."""
    ax = draw_intervals(ax, [("held less arrival", *in_100(self.difference, self.interval))])
    ax.axvline(0, color=INK, lw=0.8, ls=":")
    ax.set_xlabel("difference in 100 fruit, with 95 % interval")
    return ax


def timing_plot(self: _core.TimingSummary, ax: Any = None) -> Any:
    """From the shortest to the longest, the median as a dot."""
    ax = draw_intervals(ax, [("", self.median, self.shortest, self.longest)])
    ax.set_xlabel("shortest, median and longest, in the unit timed")
    return ax


#: By type of the library: plot.
SHARE_PLOTS: dict[type, Callable[..., Any]] = {
    _core.CrewComparison: comparison_plot,
    _core.CrewShare: share_plot,
    _core.WholeShare: share_plot,
    _core.BinOutcome: share_plot,
    _core.PChart: chart_plot,
    _core.LateDamage: late_plot,
    _core.LoadDecision: decision_plot,
    _core.LoadPlan: single_plan_plot,
    _core.SamplingPlan: single_plan_plot,
    _core.DoublePlan: double_plan_plot,
    _core.NestedTolerances: tolerances_plot,
    _core.TimingSummary: timing_plot,
}
