"""When a block is likely to be ready, in heat units, and when its heat target is reached."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
from typing import Any

from maturity import _core
from maturity.heat_calendar import HeatCalendar, heat_calendar
from maturity.heat_recipe import looks_fahrenheit, recipe_words
from maturity.outlook import Outlook, range_words
from maturity.planning import HORIZON_DAYS
from maturity.season.season import Season
from maturity.season.table import ROW_NUMBER, Row
from maturity.views.plans import (
    heat_outlook_frame,
    heat_outlook_html,
    heat_outlook_plot,
    heat_outlook_repr,
)

#: Days of weather that a recent pace takes.
_PACE_DAYS = 14

_Days = list[tuple[int, float, float]]


@dataclass
class HeatOutlook:
    """What heat units say about one block.

    Attributes
    ----------
    recipe : str
        Method and thresholds in words.
    forecast : HeatForecast or None
        Visits against heat units; its days count from day 1 of the calendar, after the last visit
        at the pace of the two weeks before it.
    calendar : HeatCalendar or None
        These days as days of the calendar.
    target : TargetDay or None
        The block's own target, its days from `last_weather` on.
    missing : list of str
        What could not be said, and why.
    """

    block: str
    recipe: str
    last_weather: datetime.date | None
    forecast: _core.HeatForecast | None = None
    calendar: HeatCalendar | None = None
    target: _core.TargetDay | None = None
    stage: str | None = None
    missing: list[str] = field(default_factory=list)

    to_frame = heat_outlook_frame
    plot = heat_outlook_plot
    _repr_html_ = heat_outlook_html
    __repr__ = heat_outlook_repr

    @property
    def earliest_date(self) -> datetime.date | None:
        """First day on which the chance reaches the confidence, along heat units."""
        if self.forecast is None or self.calendar is None:
            return None
        day = self.calendar.day_of(self.forecast.forecast.earliest_day)
        return None if day is None else datetime.date.fromordinal(day)

    def target_dates(self) -> tuple[datetime.date, datetime.date, datetime.date | None] | None:
        """Day of the target at the recent, the fastest and the slowest pace of the record.

        What was is no range of what comes: for that see `target_ranges`.
        """
        if self.target is None or self.last_weather is None:
            return None
        recent, fastest, slowest = (
            None if days is None else self.last_weather + datetime.timedelta(days=max(0, days))
            for days in (self.target.days, self.target.days_fastest, self.target.days_slowest)
        )
        return None if recent is None or fastest is None else (recent, fastest, slowest)

    def sentences(self) -> list[str]:
        """Forecast and target in words, and what could not be said."""
        said = []
        if self.forecast is not None and self.calendar is not None:
            line = self.forecast.forecast
            gain, sd = self.forecast.gain_per_100, self.forecast.gain_per_100_sd
            text = f"Along heat units ({self.recipe}), {self.calendar.words()}: "
            if self.earliest_date is None:
                text += str(line.no_date_sentence)
            else:
                text += (
                    f"{100 * line.confidence:g} in 100 chance that the rule is met from "
                    f"{self.earliest_date} on"
                )
                ends = line.date_range(0.8)
                day_of = self.calendar.day_of
                days = None if ends is None else (day_of(ends[0]), day_of(ends[1]))
                origin = datetime.date.fromordinal(1)
                last = datetime.date.fromordinal(int(line.last_day))
                text += f" (80 % range: {range_words(days, origin, last, offset=-1)})."
            if gain is not None and sd is not None:
                text += f" Gain {gain:.1f} % per 100 degree days, standard deviation {sd:.1f}."
            said.append(text)
        if self.target is not None:
            said.append(self._target_sentence())
        return said + [f"{one}." for one in self.missing]

    def _target_sentence(self) -> str:
        target, dates = self.target, self.target_dates()
        if target is None or dates is None:
            return ""
        so_far = (
            f"Heat target: {target.so_far:.0f} of {target.target:g} degree days ({self.recipe}) "
            f"since {self.stage}, up to {self.last_weather}"
        )
        if target.days <= 0:
            return f"{so_far}: reached."
        ranges = "; ".join(
            f"{100 * level:g} % range: {_range_text(days)}"
            for level, days in self.target_ranges().items()
        )
        return f"{so_far}; the rest by {dates[0]} at the recent pace. {ranges}."

    def target_ranges(self) -> dict[float, tuple[datetime.date | None, datetime.date | None]]:
        """By level, first and last day of the target; None: later than 60 days. Empty: reached."""
        found = {}
        for one in () if self.target is None else (self.target.range_80, self.target.range_95):
            if one is not None and self.last_weather is not None:
                level, *days = one
                first, last = (
                    None if day is None else self.last_weather + datetime.timedelta(days=day)
                    for day in days
                )
                found[level] = (first, last)
        return found

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        dates = self.target_dates()
        return {
            "block": self.block,
            "recipe": self.recipe,
            "last_weather": None if self.last_weather is None else self.last_weather.isoformat(),
            "earliest_date": None if self.earliest_date is None else self.earliest_date.isoformat(),
            "gain_per_100": None if self.forecast is None else self.forecast.gain_per_100,
            "gain_per_100_sd": None if self.forecast is None else self.forecast.gain_per_100_sd,
            "target": None if self.target is None else self.target.to_dict(),
            "target_dates": (
                None if dates is None else [None if d is None else d.isoformat() for d in dates]
            ),
            "target_ranges": {
                f"{level:g}": [None if day is None else day.isoformat() for day in days]
                for level, days in self.target_ranges().items()
            },
            "missing": self.missing,
            "sentences": self.sentences(),
        }


def _range_text(days: tuple[datetime.date | None, datetime.date | None]) -> str:
    first, last = days
    if first is None:
        return f"later than {_core.LONGEST_TARGET_DAYS} days after the last weather"
    if last is None:
        return f"{first} on, no end within {_core.LONGEST_TARGET_DAYS} days"
    return str(first) if first == last else f"{first} to {last}"


def heat_outlook(season: Season, block: Row, outlook: Outlook | None) -> HeatOutlook | None:
    """Heat units of a block.

    A target holds only together with its start stage and method: where one of them is not stated,
    nothing is counted against it.

    Parameters
    ----------
    season : Season
    block : row of blocks.csv
    outlook : Outlook or None
        Forecast of the block along days; None: fewer than two visits, its target is counted alone.

    Returns
    -------
    HeatOutlook or None
        None where weather.csv and the block say nothing of heat. What could not be said stands in
        `missing`, with the reason.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> from maturity import read_season
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text(
    ...     "block,cultivar,heat_start,heat_start_stage,heat_target,heat_method,heat_lower_c\\n"
    ...     "River,Amberlee,2026-08-01,full bloom,400,single_sine,12\\n"
    ... )
    >>> _ = (folder / "weather.csv").write_text(
    ...     "date,tmin_c,tmax_c\\n" + "".join(f"2026-08-{day:02},18,30\\n" for day in range(1, 21))
    ... )
    >>> season = read_season(folder, needs_data=False)
    >>> heat = heat_outlook(season, season.tables["blocks"].rows[0], None)
    >>> round(heat.target.so_far), heat.target_dates()[0].isoformat()
    (240, '2026-09-03')
    """
    asked = [name for name in block if str(name).startswith("heat_") and block[name] is not None]
    weather = season.tables["weather"].rows
    for problem in season.problems:
        here = problem.file == "blocks.csv" and problem.row == block[ROW_NUMBER]
        if here and str(problem.column).startswith("heat_"):
            return _silent(block["block"], str(problem))
    if not asked or not (weather or season.tables["weather"].present):
        return None
    name = block["block"]
    if block["heat_method"] is None or block["heat_lower_c"] is None:
        lacks = "heat_method" if block["heat_method"] is None else "heat_lower_c"
        return _silent(name, f"blocks.csv does not state {lacks}: degree days of another method")
    method, lower, upper = (block[one] for one in ("heat_method", "heat_lower_c", "heat_upper_c"))
    cutoff = block["heat_cutoff"] or "horizontal"
    try:
        recipe = _core.HeatRecipe(method=method, lower=lower, upper=upper, cutoff=cutoff)
        _core.degree_days(lower, lower, lower=lower, upper=upper, method=method, cutoff=cutoff)
    except ValueError as error:
        return _silent(name, f"blocks.csv, heat units of block {name}: {error}")
    words = recipe_words(block, cutoff)
    doubt = looks_fahrenheit(season, lower)
    if doubt is not None or not weather:
        return _silent(name, doubt or "weather.csv has no usable day", words)
    days = sorted((row["date"].toordinal(), row["tmin_c"], row["tmax_c"]) for row in weather)
    made = HeatOutlook(name, words, datetime.date.fromordinal(days[-1][0]))
    if outlook is not None and outlook.forecast is not None:
        _along_heat(made, outlook, days, recipe)
    if block["heat_target"] is not None:
        _count_target(made, block, days, recipe)
    return made


def _silent(block: str, why: str, recipe: str = "") -> HeatOutlook:
    return HeatOutlook(block, recipe, None, missing=[f"No heat units: {why}"])


def _along_heat(made: HeatOutlook, outlook: Outlook, days: _Days, recipe: _core.HeatRecipe) -> None:
    if outlook.unchecked_meter is not None:
        made.missing.append(
            "No forecast along heat units: no oven fruit ever checked meter "
            f"{outlook.unchecked_meter}"
        )
        return
    levels = outlook.levels()
    last_visit = max(day for day, _, _ in levels)
    if made.last_weather is not None and made.last_weather < last_visit:
        made.missing.append(
            f"No forecast along heat units: weather.csv ends on {made.last_weather}, before the "
            f"last visit of {last_visit}"
        )
        return
    made.forecast = _core.forecast_by_heat(
        [day.toordinal() for day, _, _ in levels],
        [level for _, level, _ in levels],
        [sd for _, _, sd in levels],
        weather=days,
        recipe=recipe,
        minimum_dm_pct=outlook.visits[0].minimum_dm_pct,
        confidence=outlook.visits[0].confidence,
        shared_sd=outlook.shared_sd,
        horizon_days=HORIZON_DAYS,
    )
    if made.forecast is not None:
        pace = made.forecast.pace[0]
        made.calendar = heat_calendar(days, recipe, last_visit.toordinal(), pace, _PACE_DAYS)
    else:
        first = min(day for day, _, _ in levels).toordinal() + 1
        first = min(first, last_visit.toordinal() - 13)
        made.missing.append(
            f"No forecast along heat units: {_gap(days, first, last_visit.toordinal(), recipe)}"
        )


def _count_target(made: HeatOutlook, block: Row, days: _Days, recipe: _core.HeatRecipe) -> None:
    stage, start = block["heat_start_stage"], block["heat_start"]
    if stage is None or start is None:
        lacks = "heat_start_stage" if stage is None else "heat_start"
        made.missing.append(
            f"No heat target: blocks.csv gives heat_target without {lacks}, and a target holds "
            "only together with its start stage and method"
        )
        return
    made.stage = f"{stage}, {start}"
    first, last = start.toordinal(), days[-1][0]
    if last - first < _PACE_DAYS - 1:
        made.missing.append(
            f"No heat target: heat_start is {start}, weather.csv ends on {made.last_weather}; the "
            f"recent pace takes {_PACE_DAYS} days of weather from heat_start on"
        )
        return
    try:
        made.target = _core.day_of_target(
            days,
            first,
            last,
            target=block["heat_target"],
            target_stage=stage,
            target_recipe=recipe,
            start_stage=stage,
            recipe=recipe,
        )
    except ValueError as error:
        made.missing.append(f"No heat target: {error}")
        return
    if made.target is None:
        made.missing.append(f"No heat target: {_gap(days, first, last, recipe)}")


def _gap(days: _Days, first: int, last: int, recipe: _core.HeatRecipe) -> str:
    """Which days are missing."""
    total = _core.sum_degree_days(days, first, last, recipe)
    if total.first_missing is None:
        return "no heat came in the last two weeks"
    missing = datetime.date.fromordinal(total.first_missing)
    return (
        f"weather.csv lacks {total.missing_days} of the days from "
        f"{datetime.date.fromordinal(first)} to {datetime.date.fromordinal(last)}, the first on "
        f"{missing}; a gap is not filled by a guess"
    )
