"""When a block is likely to meet its rule, from its visits so far."""

from __future__ import annotations

import datetime
import itertools
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

import pandas

from maturity import _core
from maturity.block_visit import BlockVisit
from maturity.planning import HORIZON_DAYS, forecast_readiness
from maturity.season.table import ROW_NUMBER
from maturity.views.seasons import plot_outlook
from maturity.views.plans import outlook_html, outlook_repr


@dataclass
class Outlook:
    """Forecast of one block under one row of policy.

    Attributes
    ----------
    forecast : Forecast or None
        Its days count from `first_visit`. None: `error` says why.
    shared_sd : float
        Error that all visits share, % (same trees, unknown bias of one meter).
    unchecked_meter : str or None
        All visits rest on meters that no oven fruit ever checked: chances hold the unknown bias,
        but no date is given.
    """

    block: str
    market: str | None
    policy_row: int
    first_visit: datetime.date
    visits: list[BlockVisit]
    forecast: _core.Forecast | None
    error: str | None = None
    shared_sd: float = 0.0
    unchecked_meter: str | None = None

    _repr_html_ = outlook_html
    __repr__ = outlook_repr

    def levels(self) -> list[tuple[datetime.date, float, float]]:
        """Day of each visit with an estimate, what the rule looks at, and its SD, %."""
        known = ((visit.date, _level(visit)) for visit in self.visits)
        return [(day, *level) for day, level in known if level is not None]

    def date_range(self, level: float) -> str | None:
        """Days between which the rule comes to be met, in words; None: no forecast or no rise."""
        days = self._days(level)
        if days is None:
            return None
        return range_words(days, self.first_visit, self.visits[-1].date)

    def _days(self, level: float) -> tuple[int | None, int | None] | None:
        if self.forecast is None or self.unchecked_meter is not None:
            return None
        return self.forecast.date_range(level)

    def belongs_to(self, visit: BlockVisit) -> bool:
        """True for visits of the same block under the same row of policy."""
        return self.block == visit.block and self.policy_row == visit.policy[ROW_NUMBER]

    @property
    def earliest_date(self) -> datetime.date | None:
        """First day on which the chance reaches the confidence asked for; None: not foreseen."""
        if self.unchecked_meter is not None:
            return None
        if self.forecast is None or self.forecast.earliest_day is None:
            return None
        return self.first_visit + datetime.timedelta(days=self.forecast.earliest_day)

    def chance_on(self, day: datetime.date) -> float | None:
        """Chance (0..1) that the rule is met on a day."""
        if self.forecast is None:
            return None
        return self.forecast.probability((day - self.first_visit).days)

    def sentence(self) -> str:
        """One plain sentence."""
        if self.forecast is None:
            return f"No forecast: {self.error}."
        gain, gain_sd = self.forecast.gain_per_week, self.forecast.gain_sd
        basis = ""
        if gain is not None and gain_sd is not None:
            basis = f" Gain {gain:.1f} % a week, standard deviation {gain_sd:.1f}."
        if self.unchecked_meter is not None:
            return (
                f"No date: no oven fruit ever checked meter {self.unchecked_meter}, so that its "
                "bias, shared by all visits, is unknown; dry five fruit of three trees at the next "
                f"visit.{basis}"
            )
        date = self.earliest_date
        if date is None:
            why = str(self.forecast.no_date_sentence)
            return f"Forecast: {why[:1].lower()}{why[1:]}{basis}"
        asked = f"{100 * self.forecast.confidence:g} in 100"
        if date <= self.visits[-1].date:
            return (
                f"Forecast: with the earlier visits taken in, the chance that the rule is met "
                f"reaches {asked} on {date.isoformat()}; the decision rests on the last visit "
                f"alone.{basis}"
            )
        return (
            f"Forecast: {asked} chance that the rule is met from {date.isoformat()} on, if growth "
            f"goes on as it did.{basis}"
        )

    def fall_sentences(self) -> list[str]:
        """Each visit that lies below the one before, with both values."""
        if self.forecast is None:
            return []
        return [
            f"The visit of {day} gave {level:.1f} %, below the {before:.1f} % of {earlier}: "
            "the gain shown rests on the prior guess (0.8 % a week, standard deviation 0.6), not "
            "on these visits alone."
            for (earlier, before, _), (day, level, _) in itertools.pairwise(self.levels())
            if level < before
        ]

    def range_sentence(self) -> str | None:
        """The date ranges in one sentence; None where there is none."""
        ranges = {level: self.date_range(level) for level in (0.8, 0.95)}
        if None in ranges.values():
            return None
        said = "; ".join(f"{100 * level:g} % range: {text}" for level, text in ranges.items())
        return f"Day on which the rule comes to be met: {said}."

    def plot(self, ax: Any = None) -> Any:
        """Level at each visit, the forecast with its 95 % band, and the minimum.

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
            There is no forecast.
        """
        return plot_outlook(self, ax)

    def to_frame(self) -> pandas.DataFrame:
        """Chance that the rule is met at the last visit and each week after it: date, chance."""
        frame = pandas.DataFrame(self.chances()).rename(columns={"probability": "chance"})
        return frame.assign(block=self.block)[["block", "date", "chance"]]

    def to_dict(self) -> dict[str, Any]:
        """Everything as JSON holds it."""
        date = self.earliest_date
        forecast = {} if self.forecast is None else self.forecast.to_dict()
        forecast.pop("covariance", None)
        if self.unchecked_meter is not None:
            forecast.update(earliest_day=None, no_date="meter_not_checked")
        return {
            "block": self.block,
            "market": self.market,
            "visits": [visit.date.isoformat() for visit in self.visits],
            "earliest_date": None if date is None else date.isoformat(),
            "ranges": self._ranges(),
            "sentence": self.sentence(),
            "error": self.error,
            "unchecked_meter": self.unchecked_meter,
            "falls": self.fall_sentences(),
            **forecast,
            "chances": self.chances(),
        }

    def _ranges(self) -> dict[str, list[str | None]] | None:
        """By level, first and last day as ISO 8601; None: beyond the horizon."""
        if self.forecast is None:
            return None
        ranges = {}
        for level in (0.8, 0.95):
            days = self._days(level)
            if days is None:
                return None
            ranges[f"{level:g}"] = [
                None if day is None else _date_of(self.first_visit, day).isoformat() for day in days
            ]
        return ranges

    def chances(self) -> list[dict[str, Any]]:
        """Chance that the rule is met at the last visit and each week after it."""
        days = range(0, HORIZON_DAYS + 1, 7)
        dates = [self.visits[-1].date + datetime.timedelta(days=day) for day in days]
        return [{"date": one.isoformat(), "probability": self.chance_on(one)} for one in dates]


def range_words(
    days: tuple[int | None, int | None] | None,
    origin: datetime.date,
    last_visit: datetime.date,
    *,
    offset: int = 0,
) -> str:
    """A range of days as words; days count from `origin`, `offset` is added."""
    if days is None:
        return "not known"
    start, end = (None if day is None else _date_of(origin, day + offset) for day in days)
    horizon = f"{HORIZON_DAYS} days after the last visit"
    if start is None:
        return f"later than {horizon}"
    if end is not None and end <= last_visit:
        return f"by {last_visit}"
    first = f"{last_visit} or before" if start <= last_visit else str(start)
    return f"{first} to {end}" if end is not None else f"{first} on, no end within {horizon}"


def _date_of(origin: datetime.date, day: int) -> datetime.date:
    return origin + datetime.timedelta(days=day)


def block_outlooks(visits: Iterable[BlockVisit]) -> list[Outlook]:
    """A forecast for each block and row of policy that was visited at least twice."""
    groups: dict[tuple[str, int], list[BlockVisit]] = {}
    for visit in visits:
        groups.setdefault((visit.block, visit.policy[ROW_NUMBER]), []).append(visit)
    return [_outlook(group) for group in groups.values() if len(group) > 1]


def _outlook(group: list[BlockVisit]) -> Outlook:
    usable = [(visit, level) for visit in group if (level := _level(visit)) is not None]
    first = group[0]
    outlook = Outlook(
        first.block, first.market, first.policy[ROW_NUMBER], first.date, group, forecast=None
    )
    if len(usable) < 2:
        outlook.error = "fewer than two visits have an estimate"
        return outlook
    outlook.shared_sd = _shared_sd([visit for visit, _ in usable])
    if all(_by_meter_alone(visit) for visit, _ in usable):
        outlook.unchecked_meter = ", ".join(
            sorted({name for visit, _ in usable for name in visit.meters})
        )
    try:
        outlook.forecast = forecast_readiness(
            [(visit.date - first.date).days for visit, _ in usable],
            [level for _, (level, _) in usable],
            [sd for _, (_, sd) in usable],
            minimum_dm_pct=first.minimum_dm_pct,
            confidence=first.confidence,
            shared_sd=outlook.shared_sd,
        )
    except ValueError as error:
        outlook.error = str(error)
    return outlook


def _level(visit: BlockVisit) -> tuple[float, float] | None:
    """What the rule looks at, with its standard deviation."""
    estimate = visit.estimate
    if estimate is None:
        return None
    pair = (
        (estimate.mean_dm_pct, estimate.mean_dm_sd)
        if visit.rule == "mean"
        else (estimate.psi_mean, estimate.psi_sd)
    )
    return None if pair[0] is None or pair[1] is None else (pair[0], pair[1])


def _by_meter_alone(visit: BlockVisit) -> bool:
    return visit.meter is not None and visit.used.get("fruit_with_oven", 0) == 0


def _shared_sd(visits: list[BlockVisit]) -> float:
    """Error that visits share, %: of trees where most are the same, of the meters' bias.

    The bias counts where every visit rests on the same meters without oven fruit; with oven fruit
    each visit finds the bias anew.
    """
    shared = _tree_variance(visits) + _bias_variance(visits)
    smallest = min(level[1] for visit in visits if (level := _level(visit)) is not None)
    return float(min(shared**0.5, smallest))


def _tree_variance(visits: list[BlockVisit]) -> float:
    """Variance between trees over the number of trees, of the last visit; 0 for new trees."""
    trees = [{one["tree"] for one in visit.fruit} for visit in visits]
    pairs = list(itertools.pairwise(trees))
    same = all(2 * len(one & other) > min(len(one), len(other)) for one, other in pairs)
    estimate = visits[-1].estimate
    if not same or estimate is None or estimate.tree_variance is None:
        return 0.0
    return estimate.tree_variance / len(trees[-1])


def _bias_variance(visits: list[BlockVisit]) -> float:
    if len({tuple(sorted(visit.meters)) for visit in visits}) > 1 or not all(
        map(_by_meter_alone, visits)
    ):
        return 0.0
    biases = [sd**2 for visit in visits for _, sd in visit.meter_biases().values()]
    return min(biases, default=0.0)
