"""Charts as SVG pictures inside the report, each with a text that says the same."""

from __future__ import annotations

import base64
import functools
import io
import warnings
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar, cast

import matplotlib
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.dates import DateFormatter
from matplotlib.figure import Figure

from maturity.report.pages import BlockPage, Standing
from maturity.views.drawing import FAINT, INK, STRONG, mark_level, mark_minimum

STYLE = {
    "svg.fonttype": "none",
    "svg.hashsalt": "maturity",
    "font.family": "sans-serif",
    "font.size": 10,
    "axes.edgecolor": FAINT,
    "axes.labelcolor": INK,
    "xtick.color": INK,
    "ytick.color": INK,
}


@dataclass(frozen=True)
class Chart:
    """A picture as data URI, and the text that stands for it."""

    source: str
    text: str

    def svg(self) -> bytes:
        """The picture itself."""
        return base64.b64decode(self.source.split(",", 1)[1])


_Draw = TypeVar("_Draw", bound=Callable[..., Any])


def in_style(draw: _Draw) -> _Draw:
    """Draw with the report's fonts and colours."""

    @functools.wraps(draw)
    def styled(*arguments: Any, **named: Any) -> Any:
        with matplotlib.rc_context(STYLE):
            return draw(*arguments, **named)

    return cast(_Draw, styled)


def svg_chart(figure: Figure, text: str) -> Chart:
    """A drawn figure as picture; the same drawing gives the same bytes."""
    buffer = io.BytesIO()
    with warnings.catch_warnings():
        # Text stays text: the reader's fonts show what the font of the layout lacks.
        warnings.filterwarnings("ignore", "Glyph .* missing from")
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None})
    encoded = base64.b64encode(buffer.getvalue()).decode("ascii")
    return Chart(f"data:image/svg+xml;base64,{encoded}", text)


@in_style
def visits_chart(page: BlockPage) -> Chart | None:
    """Mean dry matter and mature share of a block over its visits, with 95 % intervals."""
    first_rule = page.standings[0].visit.policy if page.standings else None
    visits = [
        one
        for one in page.standings
        if one.visit.policy is first_rule
        and one.visit.estimate is not None
        and one.visit.estimate.mean_dm_pct is not None
    ]
    if not visits:
        return None
    # Narrow and high: its letters can be read on a phone.
    figure = Figure(figsize=(4.9, 4.4), layout="constrained")
    FigureCanvasSVG(figure)
    upper, lower = figure.subplots(2, 1)
    _draw_mean(upper, visits)
    _draw_share(lower, visits)
    for axes in (upper, lower):
        axes.set_xticks([one.visit.date for one in visits])
        axes.xaxis.set_major_formatter(DateFormatter("%d %b"))
        axes.margins(x=0.4)
        axes.spines[["top", "right"]].set_visible(False)
    upper.margins(y=0.16)
    text = "; ".join(
        f"{one.visit.date.isoformat()}: mean dry matter {one.mean_text}, mature share "
        f"{one.share_text}"
        for one in visits
    )
    return svg_chart(figure, f"Block {page.block} by visit. {text}.")


def _draw_mean(axes, visits: list[Standing]) -> None:  # type: ignore[no-untyped-def]
    for one in visits:
        estimate = one.visit.estimate
        if estimate is None or estimate.mean_dm_interval is None:
            continue
        axes.plot([one.visit.date] * 2, estimate.mean_dm_interval, color=STRONG, lw=2)
        axes.plot(one.visit.date, estimate.mean_dm_pct, "o", color=STRONG, ms=7)
    mark_minimum(axes, visits[0].visit.minimum_dm_pct)
    axes.set_ylabel("mean dry matter, %")


def _draw_share(axes, visits: list[Standing]) -> None:  # type: ignore[no-untyped-def]
    for one in visits:
        row = one.visit.to_row()
        if row["share_mature"] is None or row["share_low"] is None:
            continue
        ends = [100 * row["share_low"], 100 * row["share_high"]]
        axes.plot([one.visit.date] * 2, ends, color=STRONG, lw=2)
        axes.plot(one.visit.date, 100 * row["share_mature"], "o", color=STRONG, ms=7)
    if visits[0].visit.rule == "share":
        asked = 100 * visits[0].visit.required_share
        mark_level(axes, asked, f"asked for: {asked:g}")
    axes.set_ylim(-3, 112)
    axes.set_ylabel("mature fruit in 100")
