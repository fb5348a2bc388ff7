"""Tables, plots and notebook pages of the types that live in the C++ library."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy
import pandas

from maturity import _core
from maturity.block_visit import in_100
from maturity.views.drawing import INK, STRONG, axes_or_new, mark_minimum
from maturity.views.others import fruit_row
from maturity.views.pages import page, table
from maturity.views.records import Views, record_frame, rows_frame

_NORMAL_95 = 1.96


def _estimate_frame(self: _core.BlockEstimate) -> pandas.DataFrame:
    """One row for each fruit: mean_dm_pct, sd_pct, low_dm_pct, high_dm_pct, about_block_average."""
    names = {"mean": "mean_dm_pct", "sd": "sd_pct", "low": "low_dm_pct", "high": "high_dm_pct"}
    return self.fruit.rename(columns=names).rename_axis("fruit_row").reset_index()


def _estimate_plot(self: _core.BlockEstimate, ax: Any = None) -> Any:
    """Each fruit's dry matter with its 95 % interval, lowest first; the block's mean as a band."""
    ax = axes_or_new(ax)
    fruit = self.fruit.dropna().sort_values("mean")
    order = numpy.arange(1, len(fruit) + 1)
    ax.vlines(order, fruit["low"], fruit["high"], color=STRONG, lw=1.4)
    ax.plot(order, fruit["mean"], "o", color=STRONG, ms=4)
    if self.mean_dm_interval is not None:
        ax.axhspan(*self.mean_dm_interval, color=STRONG, alpha=0.12, lw=0)
    # The highest fruit are at the right: least in the way of a line below them.
    mark_minimum(ax, self.rule.minimum_dm_pct, right=True)
    ax.set_xlabel("fruit, in order of dry matter")
    ax.set_ylabel("dry matter, %")
    return ax


def _estimate_html(self: _core.BlockEstimate) -> str:
    rows = {
        "decision": self.decision.replace("_", " "),
        "chance in 100 that the rule is met": (
            None if self.readiness is None else in_100(self.readiness)
        ),
        "mean dry matter, %": self.mean_dm_pct,
        "95 % interval, %": self.mean_dm_interval,
        "share mature": self.share_mature,
        "95 % interval": self.share_interval,
        "fruit, trees": f"{self.counts.fruit}, {self.counts.trees}",
    }
    return page("Block estimate", rows, [*self.reason_sentences, *self.flag_sentences])


def _forecast_frame(self: _core.Forecast) -> pandas.DataFrame:
    """One row for each day up to the horizon: day, level_pct, level_sd_pct, chance (0 to 1)."""
    rows = []
    for ahead in range(self.horizon_days + 1):
        day = self.last_day + ahead
        level = self.level_on(day) or (None, None)
        rows.append((day, level[0], level[1], self.probability(day)))
    return pandas.DataFrame(rows, columns=["day", "level_pct", "level_sd_pct", "chance"])


def _forecast_plot(self: _core.Forecast, ax: Any = None) -> Any:
    """The level with its 95 % band from the last visit to the horizon, against the minimum."""
    ax = axes_or_new(ax)
    frame = _forecast_frame(self).dropna()
    half = _NORMAL_95 * frame["level_sd_pct"].astype(float)
    level = frame["level_pct"].astype(float)
    ax.fill_between(frame["day"], level - half, level + half, color=STRONG, alpha=0.15, lw=0)
    ax.plot(frame["day"], level, color=STRONG, lw=2)
    mark_minimum(ax, self.minimum_dm_pct)
    ax.set_xlabel("day")
    ax.set_ylabel("what the rule looks at, %")
    return ax


def _forecast_html(self: _core.Forecast) -> str:
    rows = {
        "level at the last visit, %": self.level,
        "its standard deviation, %": self.level_sd,
        "gain a week, %": self.gain_per_week,
        "its standard deviation": self.gain_sd,
        "first day with the confidence asked for": self.earliest_day,
    }
    said = self.no_date_sentence
    return page("Forecast", rows, [] if said is None else [said])


def _agreement_plot(
    self: _core.Agreement, reference: Sequence[float], predicted: Sequence[float], ax: Any = None
) -> Any:
    """Predicted against reference with the line of equality and the bias."""
    ax = axes_or_new(ax)
    x, y = numpy.asarray(reference, dtype=float), numpy.asarray(predicted, dtype=float)
    if x.shape != y.shape or x.ndim != 1:
        raise ValueError(f"reference, predicted: one list each, not {x.shape} and {y.shape}")
    ends = numpy.array([numpy.nanmin([x, y]), numpy.nanmax([x, y])])
    ax.plot(ends, ends, color=INK, lw=1, ls=":", label="equal")
    ax.plot(ends, ends + self.bias, color=STRONG, lw=1.6, label=f"bias {self.bias:+.2f}")
    ax.plot(x, y, "o", color=INK, ms=4.5, ls="")
    ax.set_xlabel("reference")
    ax.set_ylabel("predicted")
    ax.legend(frameon=False)
    return ax


def _agreement_html(self: _core.Agreement) -> str:
    names = ("pairs", "bias", "bias_interval", "sep", "sep_interval", "rmsep", "slope", "r_squared")
    return page("Agreement, error = predicted - reference", {n: getattr(self, n) for n in names})


def _photo_frame(self: _core.PhotoMeasurement) -> pandas.DataFrame:
    """One row for each fruit: number, sizes in mm, flags, usable, and each descriptor."""
    return pandas.DataFrame([{"photo": self.path, **fruit_row(one)} for one in self.fruits])


def _photo_plot(self: _core.PhotoMeasurement, ax: Any = None) -> Any:
    """The photo with its numbered outlines; broken where not usable."""
    from pathlib import Path

    from maturity.overlay import open_upright

    ax = axes_or_new(ax)
    picture = open_upright(Path(self.path), 1200)
    # (0,0) is the centre of the top-left pixel.
    ax.imshow(picture, extent=(-0.5, self.width_px - 0.5, self.height_px - 0.5, -0.5))
    for fruit in self.fruits:
        ring = numpy.vstack([fruit.outline_px, fruit.outline_px[:1]])
        ax.plot(*ring.T, color="white", lw=3)
        ax.plot(*ring.T, color=INK, lw=1.4, ls="-" if fruit.usable else "--")
        x, y = fruit.outline_px.mean(axis=0)
        ax.text(x, y, str(fruit.fruit), ha="center", va="center", weight="bold", color=INK)
    ax.set_axis_off()
    return ax


def _photo_html(self: _core.PhotoMeasurement) -> str:
    frame = _photo_frame(self)
    columns = ["fruit", "length_mm", "width_mm", "usable", "flags"]
    rows = [] if frame.empty else frame[columns].to_dict("records")
    said = [text for text in [self.error, ", ".join(self.flags)] if text]
    return table(f"Photo {self.path}", rows, said)


def _shape_frame(self: _core.ShapeDescription) -> pandas.DataFrame:
    """One row for each descriptor: name, value, standard error (NaN: not defined here)."""
    rows = [(name, value, self.descriptor_se[name]) for name, value in self.descriptors.items()]
    frame = pandas.DataFrame(rows, columns=["descriptor", "value", "se"])
    return frame.astype({"value": float, "se": float})


def _dots(ax: Any, frame: pandas.DataFrame, name: str, value: str, error: str) -> Any:
    """A row for each name with its value and 95 % interval."""
    frame = frame.dropna()
    ax = axes_or_new(ax, len(frame))
    places = numpy.arange(len(frame))[::-1]
    half = _NORMAL_95 * frame[error].astype(float)
    ax.errorbar(frame[value], places, xerr=half, fmt="o", color=STRONG, ms=5, lw=1.4)
    ax.set_yticks(places)
    ax.set_yticklabels(list(frame[name]))
    ax.axvline(0, color=INK, lw=0.8, ls=":")
    return ax


def _shape_plot(self: _core.ShapeDescription, ax: Any = None) -> Any:
    """Each descriptor with its 95 % interval."""
    ax = _dots(ax, _shape_frame(self), "descriptor", "value", "se")
    ax.set_xlabel("value, free of scale")
    return ax


def _shape_html(self: _core.ShapeDescription) -> str:
    rows = _shape_frame(self).to_dict("records")
    return table("Shape", rows, [", ".join(self.flags)] if self.flags else [])


def _slopes_frame(self: _core.ShapeCalibration) -> pandas.DataFrame:
    """One row for each descriptor: slope, se, between_block_sd (% for each unit of it)."""
    return pandas.DataFrame(
        {
            "descriptor": list(self.names),
            "slope_pct_per_unit": numpy.asarray(self.slopes),
            "se_pct_per_unit": numpy.sqrt(numpy.diag(self.slopes_covariance)),
            "between_block_sd_pct_per_unit": numpy.asarray(self.between_block_sd),
        }
    )


def slopes_per_sd(self: _core.ShapeCalibration) -> pandas.DataFrame:
    """Slope and its error, % for each standard deviation of the descriptor."""
    frame = _slopes_frame(self)
    sds = numpy.sqrt(numpy.diag(self.shape_covariance))
    slope, se = frame["slope_pct_per_unit"] * sds, frame["se_pct_per_unit"] * sds
    return pandas.DataFrame({"descriptor": frame["descriptor"], "slope_pct": slope, "se_pct": se})


def plot_slopes(ax: Any, frame: pandas.DataFrame) -> Any:
    """Each slope per standard deviation of its descriptor with its 95 % interval."""
    ax = _dots(ax, frame, "descriptor", "slope_pct", "se_pct")
    ax.set_xlabel("dry matter, % for each standard deviation of the descriptor")
    return ax


def _slopes_plot(self: _core.ShapeCalibration, ax: Any = None) -> Any:
    """Each slope, per standard deviation of its descriptor, with its 95 % interval."""
    return plot_slopes(ax, slopes_per_sd(self))


def _slopes_html(self: _core.ShapeCalibration) -> str:
    rows = _slopes_frame(self).to_dict("records")
    return table(f"Shape of {self.source.cultivar}", rows, [f"{self.outcome_sentence}."])


def _meter_frame(self: _core.MeterFit) -> pandas.DataFrame:
    """One row for each block and visit: block, pairs, bias_pct, bias_se_pct."""
    return rows_frame(self.blocks)


def _meter_plot(self: _core.MeterFit, ax: Any = None) -> Any:
    """The meter's bias at each visit with its 95 % interval."""
    ax = _dots(ax, _meter_frame(self), "block", "bias_pct", "bias_se_pct")
    ax.set_xlabel("bias against the oven, %")
    return ax


def _meter_html(self: _core.MeterFit) -> str:
    said = [
        f"Error once bias and slope are out (SEP): {self.within_block_sep or float('nan'):.2f} %."
    ]
    return table("Meter against oven", _meter_frame(self).to_dict("records"), said)


#: By type of the library: table, plot, page.
NATIVE_VIEWS: dict[type, Views] = {
    _core.BlockEstimate: (_estimate_frame, _estimate_plot, _estimate_html),
    _core.Forecast: (_forecast_frame, _forecast_plot, _forecast_html),
    _core.Agreement: (record_frame, _agreement_plot, _agreement_html),
    _core.PhotoMeasurement: (_photo_frame, _photo_plot, _photo_html),
    _core.ShapeDescription: (_shape_frame, _shape_plot, _shape_html),
    _core.ShapeCalibration: (_slopes_frame, _slopes_plot, _slopes_html),
    _core.MeterFit: (_meter_frame, _meter_plot, _meter_html),
}
