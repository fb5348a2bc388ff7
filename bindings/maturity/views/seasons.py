"""Plots and notebook pages of a season's results."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from maturity.block_visit import DECISION_WORDS, BlockVisit, in_100
from maturity.views.drawing import INK, STRONG, axes_or_new, mark_minimum
from maturity.views.pages import label, table

if TYPE_CHECKING:
    from maturity.outlook import Outlook
    from maturity.scoring import SeasonScore


def plot_score(score: SeasonScore, ax: Any = None) -> Any:
    """Share of mature fruit of each block and visit with its 95 % interval."""
    ax = axes_or_new(ax)
    known = [visit for visit in score.visits if visit.to_row()["share_low"] is not None]
    for place, visit in enumerate(reversed(known)):
        row = visit.to_row()
        ends = [100 * row["share_low"], 100 * row["share_high"]]
        ax.plot(ends, [place, place], color=STRONG, lw=2)
        ax.plot(100 * row["share_mature"], place, "o", color=STRONG)
        if visit.rule == "share":
            ax.plot(100 * visit.required_share, place, "|", color=INK, ms=16, mew=2)
    ax.set_yticks(range(len(known)))
    ax.set_yticklabels([f"{one.block}, {one.date}" for one in reversed(known)])
    ax.set_xlim(-2, 102)
    ax.set_xlabel("mature fruit in 100 (upright stroke: asked for)")
    return ax


def score_html(score: SeasonScore) -> str:
    """The blocks in one table, and how much was left out."""
    columns = ("mean_dm_pct", "mean_dm_low_pct", "mean_dm_high_pct", "share_mature")
    rows = [
        {"block": visit.block, "date": visit.date, "market": visit.market or "any"}
        | {"decision": DECISION_WORDS[visit.decision]}
        | {"chance that the rule is met, in 100": _in_100(visit)}
        | {name: visit.to_row()[name] for name in columns}
        for visit in score.visits
    ]
    left_out, problems = len(score.left_out), len(score.season.problems)
    said = [f"{left_out} left out (.left_out), {problems} problems (.season.problems)."]
    said += [f"{name}: no estimate; {why}." for name, why in score.silent_blocks.items()]
    return table(f"Season {score.season.name}", rows, said)


def _in_100(visit: BlockVisit) -> str | None:
    readiness = None if visit.estimate is None else visit.estimate.readiness
    return None if readiness is None else in_100(readiness)


def plot_visit(visit: BlockVisit, ax: Any = None) -> Any:
    """The fruit of a visit; see BlockEstimate.plot.

    Raises
    ------
    ValueError
        There is no estimate.
    """
    if visit.estimate is None:
        raise ValueError(f"block {visit.block}, {visit.date}: {visit.error or 'no estimate'}")
    ax = visit.estimate.plot(ax)
    ax.set_title(f"{visit.block}, {visit.date}")
    return ax


def visit_html(visit: BlockVisit) -> str:
    """The row of the season's table, upright, and why."""
    rows = [
        {"": label(name), visit.block: "any" if name == "market" and value is None else value}
        for name, value in visit.to_row().items()
        if name not in ("block", "reasons")
    ]
    return table(f"Block {visit.block}, {visit.date}", rows, visit.reason_sentences())


def plot_outlook(outlook: Outlook, ax: Any = None) -> Any:
    """Level at each visit with its 95 % interval, the forecast, and the minimum.

    Raises
    ------
    ValueError
        There is no forecast.
    """
    if outlook.forecast is None:
        raise ValueError(f"block {outlook.block}: {outlook.error or 'no forecast'}")
    ax = axes_or_new(ax)
    for day, level, sd in outlook.levels():
        at = (day - outlook.first_visit).days
        ax.plot([at, at], [level - 1.96 * sd, level + 1.96 * sd], color=STRONG, lw=2)
        ax.plot(at, level, "o", color=STRONG)
    frame = outlook.forecast.to_frame().dropna()
    level, half = frame["level_pct"].astype(float), 1.96 * frame["level_sd_pct"].astype(float)
    ax.plot(frame["day"], level, color=STRONG, lw=1.6, ls="--")
    ax.fill_between(frame["day"], level - half, level + half, color=STRONG, alpha=0.12, lw=0)
    mark_minimum(ax, outlook.forecast.minimum_dm_pct)
    ax.set_title(outlook.block)
    ax.set_xlabel(f"days after {outlook.first_visit}")
    ax.set_ylabel("what the rule looks at, %")
    return ax
