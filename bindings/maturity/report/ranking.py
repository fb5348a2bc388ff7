"""Blocks ranked by dry matter drawn together, where that was asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.figure import Figure

from maturity.block_visit import mean_range
from maturity.report.charts import Chart, in_style, svg_chart
from maturity.scoring import SeasonScore
from maturity.views.drawing import INK, STRONG


@dataclass(frozen=True)
class RankedBlock:
    """A row of the ranking, in words; what stands "alone" is of the block's own readings."""

    cultivar: str
    rank: int
    block: str
    date: str
    together: str
    alone: str
    rank_alone: int


@dataclass(frozen=True)
class Ranking:
    """The ranked blocks, the best of each cultivar first, and the same as a picture."""

    rows: tuple[RankedBlock, ...]
    chart: Chart


def ranking(score: SeasonScore) -> Ranking | None:
    """None where no ranking was asked for or none could be made."""
    rows = score.ranking().to_dict("records")
    if not rows:
        return None
    ranked = tuple(
        RankedBlock(
            row["cultivar"],
            row["pooled_rank"],
            row["block"],
            row["date"],
            _interval(row, "pooled_mean_dm"),
            _interval(row, "mean_dm"),
            row["pooled_raw_rank"],
        )
        for row in rows
    )
    return Ranking(ranked, _chart(rows))


def _interval(row: dict[str, Any], name: str) -> str:
    return mean_range(row[f"{name}_pct"], row[f"{name}_low_pct"], row[f"{name}_high_pct"])


@in_style
def _chart(rows: list[dict[str, Any]]) -> Chart:
    figure = Figure(figsize=(4.9, 0.9 + 0.5 * len(rows)), layout="constrained")
    FigureCanvasSVG(figure)
    axes = figure.subplots()
    for place, row in zip(range(len(rows) - 1, -1, -1), rows):
        for name, up, colour, fill in (
            ("mean_dm", 0.13, INK, "white"),
            ("pooled_mean_dm", -0.13, STRONG, STRONG),
        ):
            ends = [row[f"{name}_low_pct"], row[f"{name}_high_pct"]]
            axes.plot(ends, [place + up] * 2, color=colour, lw=1 if fill == "white" else 2.4)
            axes.plot(row[f"{name}_pct"], place + up, "o", mfc=fill, mec=colour, ms=6)
    axes.set_yticks(range(len(rows) - 1, -1, -1))
    axes.set_yticklabels(
        [f"{row['block']} ({row['pooled_rank']})" for row in rows], parse_math=False
    )
    axes.set_ylim(-0.6, len(rows) - 0.4)
    axes.set_xlabel("mean dry matter, %: drawn together (full), by itself (open)")
    axes.spines[["top", "right"]].set_visible(False)
    text = "; ".join(
        f"{row['block']}, rank {row['pooled_rank']}: {_interval(row, 'pooled_mean_dm')} drawn "
        f"together, {_interval(row, 'mean_dm')} by itself"
        for row in rows
    )
    return svg_chart(figure, f"Ranking only, no decision. {text}.")
