"""Tables, plots and notebook pages of what comes: forecasts, heat units, picking days, ranking."""

from __future__ import annotations

import datetime
from typing import TYPE_CHECKING, Any

import pandas

from maturity.views.drawing import INK, STRONG, axes_or_new, draw_intervals, mark_minimum
from maturity.views.pages import page, table

if TYPE_CHECKING:
    from maturity.heat_outlook import HeatOutlook
    from maturity.outlook import Outlook
    from maturity.picking import PickingDays
    from maturity.pooling import PooledBlock

_NORMAL_95 = 1.96


def outlook_html(self: Outlook) -> str:
    """Chance by week, and the forecast in words."""
    rows = self.to_frame()[["date", "chance"]].to_dict("records")
    said = [self.sentence(), *self.fall_sentences(), *filter(None, [self.range_sentence()])]
    market = "" if self.market is None else f", {self.market}"
    return table(f"Forecast of block {self.block}{market}", rows, said)


def outlook_repr(self: Outlook) -> str:
    """The forecast in a line."""
    return f"<Outlook {self.block!r}, {len(self.visits)} visits: {self.sentence()}>"


def heat_outlook_frame(self: HeatOutlook) -> pandas.DataFrame:
    """One row for each day ahead: block, date, level_pct, level_sd_pct, chance (0 to 1)."""
    columns = ["block", "date", "level_pct", "level_sd_pct", "chance"]
    if self.forecast is None or self.calendar is None:
        return pandas.DataFrame(columns=columns)
    frame = self.forecast.forecast.to_frame()
    days = [self.calendar.day_of(int(day)) for day in frame["day"]]
    dates = [None if day is None else datetime.date.fromordinal(day).isoformat() for day in days]
    return frame.assign(block=self.block, date=dates)[columns].dropna(subset="date")


def heat_outlook_plot(self: HeatOutlook, ax: Any = None) -> Any:
    """The level with its 95 % band along heat units, on days of the calendar.

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
        There is no forecast along heat units.
    """
    from matplotlib.dates import DateFormatter
    from matplotlib.ticker import MaxNLocator

    frame = heat_outlook_frame(self).dropna()
    if self.forecast is None or frame.empty:
        raise ValueError(f"block {self.block}: {' '.join(self.missing) or 'no forecast'}")
    ax = axes_or_new(ax)
    days = [datetime.date.fromisoformat(one) for one in frame["date"]]
    level, half = frame["level_pct"], _NORMAL_95 * frame["level_sd_pct"]
    ax.fill_between(days, level - half, level + half, color=STRONG, alpha=0.15, lw=0)
    ax.plot(days, level, color=STRONG, lw=2)
    mark_minimum(ax, self.forecast.forecast.minimum_dm_pct)
    ax.set_title(f"{self.block}, along heat units", fontsize=10, loc="left", parse_math=False)
    ax.set_ylabel("what the rule looks at, %")
    ax.xaxis.set_major_locator(MaxNLocator(6, integer=True))
    ax.xaxis.set_major_formatter(DateFormatter("%d %b"))
    return ax


def heat_outlook_html(self: HeatOutlook) -> str:
    """Method and dates, and all of it in words."""
    rows = {
        "method": self.recipe or None,
        "last weather": self.last_weather,
        "first day with the confidence asked for": self.earliest_date,
    }
    return page(f"Heat units of block {self.block}", rows, self.sentences())


def heat_outlook_repr(self: HeatOutlook) -> str:
    """The outlook in a line."""
    what = f"from {self.earliest_date} on" if self.earliest_date else "no date"
    return f"<HeatOutlook {self.block!r}, {self.recipe}: {what}>"


def picking_frame(self: PickingDays) -> pandas.DataFrame:
    """One row: block, crew_days, dates, waits_days, slack_days, and why there is no date."""
    return pandas.DataFrame([self.to_dict()])


def picking_plot(self: PickingDays, ax: Any = None) -> Any:
    """From the day the block may be picked (open) over its picking days; several share axes.

    Parameters
    ----------
    ax : matplotlib.axes.Axes, optional
        Default: those of a new figure. Each block takes a row of its own.

    Returns
    -------
    matplotlib.axes.Axes
    """
    from matplotlib.dates import DateFormatter
    from matplotlib.ticker import MaxNLocator

    ax = axes_or_new(ax, 3)
    known = [day for day in (self.ready, self.start, self.clear, self.finish) if day is not None]
    if self.start is not None and self.finish is not None:
        ends = [self.start, self.finish + datetime.timedelta(days=1)]
        ax.plot(ends, [self.block] * 2, color=STRONG, lw=8, solid_capstyle="butt")
    if known:
        ax.plot(min(known), self.block, "o", mfc="white", mec=INK, ms=8)
        ax.xaxis.set_major_locator(MaxNLocator(8, integer=True))
        ax.xaxis.set_major_formatter(DateFormatter("%d %b"))
        ax.annotate(
            self.note(), (min(known), self.block), (0, 9), textcoords="offset points", fontsize=8
        )
    ax.margins(y=0.3)
    return ax


def picking_html(self: PickingDays) -> str:
    """The row of `to_frame`, upright, and what waits or slips."""
    rows = {name: value for name, value in self.to_dict().items() if name != "block"}
    return page(f"Picking days of block {self.block}", rows, filter(None, [self.note()]))


def pooled_frame(self: PooledBlock) -> pandas.DataFrame:
    """One row: block, raw and drawn-together mean in % with its interval, weight, ranks."""
    raw: dict[str, Any] = {
        "raw_mean_dm_pct": self.raw_dm_pct,
        "raw_mean_dm_sd_pct": self.raw_sd_pct,
    }
    return pandas.DataFrame([{"block": self.block, **raw, **self.to_row()}])


def pooled_plot(self: PooledBlock, ax: Any = None) -> Any:
    """The block's own mean with its 95 % interval, and below it that drawn together.

    Parameters
    ----------
    ax : matplotlib.axes.Axes, optional
        Default: those of a new figure.

    Returns
    -------
    matplotlib.axes.Axes
    """
    half = _NORMAL_95 * self.raw_sd_pct
    low, high = self.interval
    rows = [
        (f"{self.block} alone", self.raw_dm_pct, self.raw_dm_pct - half, self.raw_dm_pct + half),
        (f"drawn together, rank {self.rank} of {self.blocks}", self.dm_pct, low, high),
    ]
    ax = draw_intervals(ax, rows)
    ax.set_xlabel("mean dry matter, %, with 95 % interval (for ranking only)")
    return ax


def pooled_html(self: PooledBlock) -> str:
    """The row of `to_frame`, upright."""
    rows = pooled_frame(self).drop(columns="block").to_dict("records")[0]
    return page(
        f"Block {self.block} among {self.blocks}", rows, ["For ranking only: it bears no decision."]
    )
