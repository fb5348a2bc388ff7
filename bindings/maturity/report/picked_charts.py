"""Charts of picked fruit: crews, days, what a check lets pass; each with a text of the same."""

from __future__ import annotations

import datetime
from collections.abc import Callable
from os import PathLike
from pathlib import Path

import numpy
from matplotlib.backends.backend_svg import FigureCanvasSVG
from matplotlib.dates import DateFormatter
from matplotlib.figure import Figure
from matplotlib.ticker import MaxNLocator

from maturity import _core
from maturity.picked_fruit import PickedChecks
from maturity.picked_passing import allowed_by_rule, usual_check
from maturity.report.charts import Chart, in_style, svg_chart
from maturity.tables import write_bytes
from maturity.views.drawing import FAINT, INK, STRONG
from maturity.views.shares import draw_crews

#: Line patterns, so that curves differ without colour.
_PATTERNS = ("-", "--", ":", "-.")


@in_style
def crews_chart(made: PickedChecks) -> Chart | None:
    """Share of immature fruit of each crew with its interval, and that of the others beside it."""
    if made.immature is None:
        return None
    crews = sorted(made.immature.crews, key=lambda one: one.share)
    figure = _figure(4.9, 0.9 + 0.42 * len(crews))
    axes = figure.subplots()
    draw_crews(axes, crews)
    text = "; ".join(
        f"{one.crew} {100 * one.share:.1f} in 100 ({100 * one.interval[0]:.1f} to "
        f"{100 * one.interval[1]:.1f})"
        for one in crews
    )
    return svg_chart(figure, f"Immature fruit by crew. {text}.")


def days_charts(made: PickedChecks) -> list[Chart]:
    """A p-chart for each block and method with more than one day."""
    charts = []
    places = dict.fromkeys((row["block"], row["method"]) for row in made.days)
    for place in places:
        rows = [row for row in made.days if (row["block"], row["method"]) == place]
        if len(rows) > 1:
            charts.append(_days_chart(place, rows))
    return charts


@in_style
def _days_chart(place: tuple[str, str | None], rows: list[dict[str, object]]) -> Chart:
    title = ", ".join(part for part in place if part)
    days = [datetime.date.fromisoformat(str(row["date"])) for row in rows]
    shares = [100 * float(str(row["share"])) for row in rows]
    limits = [row["limits"] for row in rows]
    ends = [[100 * one[side] for one in limits] for side in (0, 1)]  # type: ignore[index]
    figure = _figure(4.9, 2.7)
    axes = figure.subplots()
    for values in ends:
        axes.step(days, values, where="mid", color=INK, lw=1, ls="--")
    axes.axhline(100 * float(str(rows[0]["centre"])), color=FAINT, lw=1)
    axes.plot(days, shares, "-o", color=STRONG, ms=6, lw=1)
    for day, share, row in zip(days, shares, rows):
        if row["beyond_limits"]:
            axes.plot(day, share, "s", mfc="none", mec=INK, ms=14)
    axes.xaxis.set_major_formatter(DateFormatter("%d %b"))
    axes.xaxis.set_major_locator(MaxNLocator(min(len(days), 8)))
    if len(days) <= 8:
        axes.set_xticks(days)
    axes.margins(x=0.08)
    axes.set_ylim(bottom=0)
    axes.set_ylabel("immature in 100")
    axes.set_title(f"{title}: by day; broken lines: limits of chance", fontsize=10, loc="left")
    text = "; ".join(
        f"{day.isoformat()} {share:.1f} in 100{', beyond its limits' * bool(row['beyond_limits'])}"
        for day, share, row in zip(days, shares, rows)
    )
    return svg_chart(figure, f"Immature fruit by day, {title}. {text}.")


@in_style
def passing_chart(made: PickedChecks) -> Chart:
    """The chance that a check passes a load, over the share of bad fruit in it."""
    curves = _curves(made)
    rule = made.limits.load_rule("immature")
    highest = 0.4 if rule is None else min(1.0, max(0.3, 2 * rule.refused))
    shares = numpy.linspace(0.0, highest, 121)
    figure = _figure(4.9, 4.0)
    axes = figure.subplots()
    for (label, chance), pattern in zip(curves.items(), _PATTERNS):
        passes = [100 * chance(float(share)) for share in shares]
        axes.plot(100 * shares, passes, ls=pattern, color=STRONG, lw=1.8, label=label)
    if rule is not None:
        for share, words in ((rule.acceptable, "acceptable"), (rule.refused, "refused")):
            axes.axvline(100 * share, color=INK, lw=1)
            axes.annotate(
                f" {words}",
                (100 * share, 1.02),
                xycoords=("data", "axes fraction"),
                fontsize=8,
                color=INK,
            )
    axes.set_xlim(0, 100 * highest)
    axes.set_ylim(0, 100)
    axes.set_xlabel("bad fruit in the load, in 100")
    axes.set_ylabel("passes, in 100 checks")
    axes.legend(frameon=False, fontsize=8, loc="upper center", bbox_to_anchor=(0.45, -0.2))
    text = "; ".join(
        f"{label}: passes a load with 20 % bad in {100 * chance(0.2):.0f} of 100 checks"
        for label, chance in curves.items()
    )
    return svg_chart(figure, f"What a check lets pass. {text}.")


def _curves(made: PickedChecks) -> dict[str, Callable[[float], float]]:
    """Checks by name: a small one, the usual one here, the one asked for, the published one."""
    curves = {"for comparison: 13 fruit, 2 allowed": _single(13, 2)}
    rule = made.limits.load_rule("immature")
    if rule is None:
        return curves
    usual = usual_check(made.loads)
    effect = 1.0 if usual is None else usual[1]
    if usual is not None:
        size = usual[0]
        allowed = allowed_by_rule(size, rule, effect)
        words = f"{allowed} allowed" if allowed is not None else "none allowed, still too small"
        curves[f"usual here: {size} fruit, {words}"] = _single(size, allowed or 0, effect)
    plan = _core.smallest_plan(**rule.to_dict(), design_effect=effect)
    if plan is not None:
        label = f"keeps both risks: {plan.n} fruit, {plan.accept} allowed"
        curves[label] = _single(plan.n, plan.accept, effect)
    table = next((load.table for load in made.loads if load.table is not None), None)
    if table is not None and table["double"] is not None:
        plan_in_two = _core.DoublePlan(**table["double"])
        label = f"published double plan, letter {table['letter']} (partly from memory)"
        curves[label] = lambda share: _core.double_acceptance(plan_in_two, share)[0]
    return curves


def _single(n: int, allowed: int, design_effect: float = 1.0) -> Callable[[float], float]:
    return lambda share: _core.chance_to_pass(n, allowed, share, design_effect=design_effect)


def write_charts(made: PickedChecks, folder: str | PathLike[str]) -> list[Path]:
    """Write every chart as an SVG file; returns their paths."""
    charts = {"passing": passing_chart(made)}
    crews = crews_chart(made)
    if crews is not None:
        charts["crews"] = crews
    for number, chart in enumerate(days_charts(made), start=1):
        charts[f"days-{number}"] = chart
    paths = []
    for name, chart in charts.items():
        path = Path(folder) / f"{name}.svg"
        write_bytes(path, chart.svg())
        paths.append(path)
    return paths


def _figure(width: float, height: float) -> Figure:
    figure = Figure(figsize=(width, height), layout="constrained")
    FigureCanvasSVG(figure)
    return figure
