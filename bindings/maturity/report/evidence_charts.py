"""Charts of what stands behind a block's decision: chances over time, shape against readings."""

from __future__ import annotations

import datetime
import statistics

from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.dates import DateFormatter
from matplotlib.figure import Figure

from maturity import _core
from maturity.block_visit import BlockVisit, in_100
from maturity.planning import HORIZON_DAYS
from maturity.report.charts import Chart, in_style, svg_chart
from maturity.report.pages import BlockPage
from maturity.views.drawing import INK, STRONG, mark_level, mark_minimum

_NORMAL_95 = 1.96


@in_style
def readiness_chart(page: BlockPage) -> Chart | None:
    """Chance that the rule is met: at each visit by itself, and as forecast after the last."""
    if not page.standings:
        return None
    rule = page.standings[0].visit.policy
    known = [
        (one.visit.date, one.visit.estimate.readiness)
        for one in page.standings
        if one.visit.policy is rule
        and one.visit.estimate is not None
        and one.visit.estimate.readiness is not None
    ]
    if not known:
        return None
    last = page.standings[-1]
    visit = next(one.visit for one in page.standings if one.visit.policy is rule)
    outlook = next((one.outlook for one in page.standings if one.visit.policy is rule), None)
    figure = Figure(figsize=(4.9, 2.4), layout="constrained")
    FigureCanvasSVG(figure)
    axes = figure.subplots()
    axes.plot([day for day, _ in known], [chance for _, chance in known], "o", color=STRONG, ms=7)
    said = [f"{day.isoformat()}: {in_100(chance)} in 100" for day, chance in known]
    ahead: list[tuple[datetime.date, float]] = []
    if outlook is not None and outlook.forecast is not None and outlook.unchecked_meter is None:
        days = [known[-1][0] + datetime.timedelta(days=day) for day in range(HORIZON_DAYS + 1)]
        chances = [(day, outlook.chance_on(day)) for day in days]
        ahead = [(day, 100 * chance) for day, chance in chances if chance is not None]
    if ahead:
        line = {"color": STRONG, "lw": 1.6, "ls": "--", "label": "forecast, from all visits"}
        axes.plot([day for day, _ in ahead], [c for _, c in ahead], **line)
        # Where neither the line nor a visit runs through it.
        axes.legend(loc="best", fontsize=8, frameon=False, labelcolor=INK)
        said += [f"forecast {day.isoformat()}: {in_100(c)} in 100" for day, c in ahead[7::7]]
    asked = 100 * visit.confidence
    mark_level(axes, asked, f"ready needs {asked:g}", ls=":")
    axes.set_ylim(-4, 112)
    axes.set_ylabel("chance in 100")
    axes.xaxis.set_major_formatter(DateFormatter("%d %b"))
    axes.set_xticks(sorted({day for day, _ in known} | {day for day, _ in ahead[7::7]}))
    axes.spines[["top", "right"]].set_visible(False)
    market = "" if last.visit.market is None else f" ({last.visit.market})"
    return svg_chart(
        figure, f"Block {page.block}{market}: chance that the rule is met. {'; '.join(said)}."
    )


@in_style
def shape_chart(visit: BlockVisit) -> Chart | None:
    """Readings against what shape alone predicts, with the fit and the band of 95 in 100 fruit."""
    estimate = visit.estimate
    if estimate is None or visit.question is None or estimate.p_noshape is None:
        return None
    sorting = _core.sort_by_shape(visit.question, [])
    rows = [
        (shape, row) for shape, row in zip(sorting.shape_dm_pct, visit.fruit) if shape is not None
    ]
    oven = [(x, row["oven_dm_pct"]) for x, row in rows if row["oven_dm_pct"] is not None]
    bias = {name: mean for name, (mean, _) in visit.meter_biases().items()}
    meter = [
        (x, row["meter_dm_pct"] - bias.get(row["meter"], 0.0))
        for x, row in rows
        if row["oven_dm_pct"] is None and row["meter_dm_pct"] is not None
    ]
    if len(oven) + len(meter) < 3:
        return None
    figure = Figure(figsize=(4.9, 3.2), layout="constrained")
    FigureCanvasSVG(figure)
    axes = figure.subplots()
    xs = [x for x, _ in oven + meter]
    ends = [min(xs), max(xs)]
    rest = (estimate.tree_variance or 0.0) + (estimate.fruit_variance or 0.0)
    half = _NORMAL_95 * rest**0.5
    axes.fill_between(
        ends, [x - half for x in ends], [x + half for x in ends], color=STRONG, alpha=0.12, lw=0
    )
    axes.plot(ends, ends, color=STRONG, lw=1.8, label="fit; band: 95 in 100 fruit")
    if oven:
        axes.plot(*zip(*oven), "o", color=INK, ms=5, ls="", label="oven")
    if meter:
        axes.plot(
            *zip(*meter), "D", mfc="white", mec=INK, ms=4.5, ls="", label="meter, bias taken off"
        )
    mark_minimum(axes, visit.minimum_dm_pct, right=True)
    axes.set_xlabel("dry matter by shape alone, in this block, %")
    axes.set_ylabel("read, %")
    axes.legend(frameon=False, fontsize=8, loc="upper left")
    axes.spines[["top", "right"]].set_visible(False)
    low, high = sorting.correlation_interval or (float("nan"), float("nan"))
    off = statistics.fmean(abs(y - x) for x, y in oven + meter)
    return svg_chart(
        figure,
        f"Block {visit.block}, {visit.date}: dry matter read on {len(oven)} oven and {len(meter)} "
        f"meter fruit against what their shape predicts. Correlation "
        f"{sorting.correlation or 0.0:.2f} ({low:.2f} to {high + 0.0:.2f}); readings lie "
        f"{off:.1f} % from the fit on average, 95 in 100 fruit within {half:.1f} %.",
    )
