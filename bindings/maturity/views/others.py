"""Tables, plots and notebook pages of single fruit, cross-checks, sorting, costs and heat."""

from __future__ import annotations

from typing import Any

import numpy
import pandas

from maturity import _core
from maturity.views.drawing import INK, STRONG, axes_or_new, draw_intervals
from maturity.views.pages import label, table
from maturity.views.records import Views, record_html, rows_frame, rows_html, sentences_of

_NORMAL_95 = 1.96


def fruit_row(fruit: _core.FruitMeasurement) -> dict[str, Any]:
    """Number, sizes in mm with errors, flags, usable, and each descriptor with its error."""
    names = ("fruit", "length_mm", "length_se_mm", "width_mm", "width_se_mm")
    row: dict[str, Any] = {name: getattr(fruit, name) for name in names}
    row["mass_g_estimate"], row["mass_se_g"] = fruit.mass_g_estimate, fruit.mass_se_g
    row["usable"], row["flags"] = fruit.usable, ", ".join(fruit.flags)
    errors = {f"{name}_se": one for name, one in fruit.descriptor_se.items()}
    return {**row, **fruit.descriptors, **errors}


def fruit_frame(self: _core.FruitMeasurement) -> pandas.DataFrame:
    """One row: number, sizes in mm with errors, flags, usable, descriptors with errors."""
    return pandas.DataFrame([fruit_row(self)])


def fruit_plot(self: _core.FruitMeasurement, ax: Any = None) -> Any:
    """The outline, mm where there is a scale, else px; broken where not usable; stem and nose."""
    ax = axes_or_new(ax)
    in_mm = len(self.outline_mm) > 0
    outline = self.outline_mm if in_mm else self.outline_px
    ax.plot(
        *numpy.vstack([outline, outline[:1]]).T,
        color=STRONG,
        lw=1.6,
        ls="-" if self.usable else "--",
    )
    if not in_mm:
        for name, point in (("stem", self.stem_px), ("nose", self.nose_px)):
            if point is not None:
                ax.plot(*point, "o", color=INK, ms=4)
                ax.annotate(name, point, (6, 0), textcoords="offset points", fontsize=8)
    ax.set_aspect("equal")
    if not ax.yaxis_inverted():
        ax.invert_yaxis()
    unit = "mm" if in_mm else "px"
    ax.set_xlabel(f"right, {unit}")
    ax.set_ylabel(f"down, {unit}")
    ax.set_title(f"Fruit {self.fruit}", fontsize=10, loc="left")
    return ax


def fruit_html(self: _core.FruitMeasurement) -> str:
    """Sizes, doubts and descriptors."""
    known = [{"": label(name), "value": one} for name, one in fruit_row(self).items()]
    return table(f"Fruit {self.fruit}", known)


def cross_checks_frame(self: _core.CrossChecks) -> pandas.DataFrame:
    """One row for each check: check, value_pct, se_pct, low_pct, high_pct."""
    rows: list[dict[str, Any]] = []
    for name in ("plain_mean", "two_phase_regression"):
        one = getattr(self, name)
        if one is not None:
            low, high = one.interval
            rows.append({"check": name, "value_pct": one.mean, "se_pct": one.se})
            rows[-1] |= {"low_pct": low, "high_pct": high}
    if self.tolerance_limit is not None:
        rows.append({"check": "tolerance_limit", "value_pct": self.tolerance_limit})
    columns = ["check", "value_pct", "se_pct", "low_pct", "high_pct"]
    return pandas.DataFrame(rows, columns=columns)


def cross_checks_plot(self: _core.CrossChecks, ax: Any = None) -> Any:
    """Each check's dry matter with its 95 % interval."""
    rows: list[tuple[str, float | None, float | None, float | None]] = [
        (one["check"].replace("_", " "), one["value_pct"], *_known(one["low_pct"], one["high_pct"]))
        for one in cross_checks_frame(self).to_dict("records")
    ]
    ax = draw_intervals(ax, rows)
    ax.set_xlabel("dry matter, %, with 95 % interval")
    return ax


def _known(low: float | None, high: float | None) -> tuple[float | None, float | None]:
    unknown = low is None or high is None or numpy.isnan(low) or numpy.isnan(high)
    return (None, None) if unknown else (low, high)


def cross_checks_html(self: _core.CrossChecks) -> str:
    """Each check, and where they disagree with the estimate."""
    rows = cross_checks_frame(self).to_dict("records")
    return table("Cross-checks of a block estimate", rows, sentences_of(self))


def sorting_frame(self: _core.ShapeSorting) -> pandas.DataFrame:
    """One row for each cut: cut_dm_pct, shares taken and immature with 95 % intervals."""
    return rows_frame(self.cuts)


def sorting_plot(self: _core.ShapeSorting, ax: Any = None) -> Any:
    """Immature share of what is taken at each cut, with its 95 % interval."""
    rows: list[tuple[str, float | None, float | None, float | None]] = []
    for one in self.cuts:
        taken = one.immature_taken
        name = f"shape says {one.cut_dm_pct:.1f} % or more"
        low, high = (100 * end for end in taken.interval)
        rows.append((name, 100 * taken.median, low, high))
    ax = draw_intervals(ax, rows)
    ax.set_xlabel("immature in 100 of what is taken, with 95 % interval")
    return ax


def sorting_html(self: _core.ShapeSorting) -> str:
    """The cuts, and how well shape separates fruit."""
    said = ["Shape is not used in this block."]
    if self.correlation is not None and self.correlation_interval is not None:
        # Adding 0 turns a rounded -0.00 into 0.00.
        low, high = (round(end, 2) + 0.0 for end in self.correlation_interval)
        said = [
            f"Correlation of shape and dry matter {self.correlation:.2f} ({low:.2f} to {high:.2f})."
        ]
    return rows_html("Sorting by shape", self.cuts, said)


def shrinkage_frame(self: _core.Shrinkage) -> pandas.DataFrame:
    """One row for each value: raw, drawn together, weight of its own, parts of its error."""
    return rows_frame(self.values)


def shrinkage_plot(self: _core.Shrinkage, ax: Any = None) -> Any:
    """Each value as it was (open) and drawn towards the common one, with its 95 % interval."""
    rows: list[tuple[str, float | None, float | None, float | None]] = []
    for number, one in enumerate(self.values, 1):
        half = _NORMAL_95 * one.standard_error
        rows.append((str(number), one.value, one.value - half, one.value + half))
    ax = draw_intervals(ax, rows)
    for place, one in zip(range(len(self.values) - 1, -1, -1), self.values):
        ax.plot(one.raw, place, "D", mfc="none", mec=INK, ms=7)
    ax.axvline(self.common_value, color=INK, lw=1, ls="--")
    ax.set_xlabel("value (open diamond: alone; broken line: common value)")
    return ax


def shrinkage_html(self: _core.Shrinkage) -> str:
    """The values, and what they are drawn towards."""
    said = f"Common value {self.common_value:.4g}, variance between {self.between_variance:.4g}."
    return rows_html("Values drawn together", self.values, [said])


def cost_frame(self: _core.ShareCost) -> pandas.DataFrame:
    """One row each for fruit, mass_kg, trays and money: what, value, low, high."""
    rows = []
    for name in ("fruit", "mass_kg", "trays", "money"):
        one = getattr(self, name)
        if one is not None:
            low, high = one.interval
            rows.append({"what": name, "value": one.value, "low": low, "high": high})
    return pandas.DataFrame(rows)


def cost_html(self: _core.ShareCost) -> str:
    """The same as a table."""
    return table("What a share costs", cost_frame(self).to_dict("records"))


def heat_frame(self: _core.HeatForecast) -> pandas.DataFrame:
    """The forecast by day at the recent pace of heat; see Forecast.to_frame."""
    return self.forecast.to_frame()


def heat_plot(self: _core.HeatForecast, ax: Any = None) -> Any:
    """The level with its 95 % band along heat units; see Forecast.plot."""
    ax = self.forecast.plot(ax)
    last = self.forecast.last_day
    ax.xaxis.set_major_formatter(lambda day, _: f"{day - last:.0f}")
    ax.set_xlabel("days after the last visit, at the recent pace of heat")
    return ax


def target_plot(self: _core.TargetDay, ax: Any = None) -> Any:
    """Days to the target: 80 % range (thick), 95 % range (thin), at the recent pace (dot)."""
    ax = axes_or_new(ax, 2)
    for one, width in ((self.range_95, 1.5), (self.range_80, 5.0)):
        if one is not None and one[1] is not None and one[2] is not None:
            ax.plot(one[1:], [0, 0], color=STRONG, lw=width, solid_capstyle="butt")
    ax.plot(self.days, 0, "o", color=INK, ms=8)
    ax.set_yticks([])
    ax.set_ylim(-1, 1)
    done = f"{self.so_far:.0f} of {self.target:.0f} degree days"
    ax.set_xlabel(f"days after the last weather until the target; so far {done}")
    return ax


def range_frame(self: _core.RangeComparison) -> pandas.DataFrame:
    """One row for each descriptor, by its place: off_sd, and how the fruit lie as a whole."""
    whole = {"outside": self.outside, "distance_sd": self.distance, "limit_sd": self.limit}
    rows = [
        {"descriptor": number, "off_sd": float(one), **whole, "share_beyond": self.share_beyond}
        for number, one in enumerate(self.off_sd, 1)
    ]
    return pandas.DataFrame(rows)


def range_plot(self: _core.RangeComparison, ax: Any = None) -> Any:
    """How far the mean of the fruit lies off in each descriptor, in SD; dotted: not off."""
    rows: list[tuple[str, float | None, float | None, float | None]] = [
        (f"descriptor {number}", float(one), None, None)
        for number, one in enumerate(self.off_sd, 1)
    ]
    ax = draw_intervals(ax, rows)
    ax.axvline(0, color=INK, lw=0.8, ls=":")
    ax.set_xlabel("off the range's middle, SD between fruit")
    return ax


def range_html(self: _core.RangeComparison) -> str:
    """How far off the fruit lie, by descriptor and as a whole."""
    where = "outside" if self.outside else "within"
    said = f"Distance {self.distance:.2f}, limit {self.limit:.2f}: {where} the range."
    rows = range_frame(self)[["descriptor", "off_sd"]].to_dict("records")
    return table("Shapes against a range", rows, [said])


#: By type of the library: table, plot, page.
OTHER_VIEWS: dict[type, Views] = {
    _core.FruitMeasurement: (fruit_frame, fruit_plot, fruit_html),
    _core.CrossChecks: (cross_checks_frame, cross_checks_plot, cross_checks_html),
    _core.ShapeSorting: (sorting_frame, sorting_plot, sorting_html),
    _core.Shrinkage: (shrinkage_frame, shrinkage_plot, shrinkage_html),
    _core.RangeComparison: (range_frame, range_plot, range_html),
    _core.ShareCost: (cost_frame, None, cost_html),
    _core.HeatForecast: (heat_frame, heat_plot, record_html),
    _core.TargetDay: (None, target_plot, record_html),
}
