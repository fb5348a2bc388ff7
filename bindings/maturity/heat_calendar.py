"""Days along heat units as days of the calendar, once the weather after a visit is known."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from dataclasses import dataclass

from maturity import _core


@dataclass(frozen=True)
class HeatCalendar:
    """From the last visit on.

    Attributes
    ----------
    last_visit : int
        Day of the calendar.
    pace : float
        Degree days a day that a day along heat units stands for.
    known : tuple of float
        Degree days of the days after the last visit, up to the end of the weather or its first gap.
    later : float
        Degree days a day after these.
    """

    last_visit: int
    pace: float
    known: tuple[float, ...]
    later: float

    def day_of(self, day: int | None) -> int | None:
        """First whole day of the calendar on which the heat of a day along heat units is there."""
        if day is None or day <= self.last_visit:
            return day
        left = (day - self.last_visit) * self.pace
        found = self.last_visit
        for heat in self.known:
            # The last bits of a sum must not open another day.
            if left <= 1e-9 * self.pace:
                return found
            left -= heat
            found += 1
        return found + max(0, math.ceil(left / self.later - 1e-9))

    def words(self) -> str:
        """What the days to come are taken to be like."""
        if not self.known:
            return "as warm as the last two weeks"
        end = datetime.date.fromordinal(self.last_visit + len(self.known))
        return f"weather as known up to {end}, then as warm as its last two weeks"


def heat_calendar(
    weather: Sequence[tuple[int, float, float]],
    recipe: _core.HeatRecipe,
    last_visit: int,
    pace: float,
    recent_days: int,
) -> HeatCalendar:
    """Calendar after a last visit; `weather` in the order of days, `pace` that of the visit."""
    known: list[float] = []
    end = last_visit
    days = {day for day, _, _ in weather}
    while end + 1 in days:
        end += 1
        heat = _core.sum_degree_days(weather, end, end, recipe).degree_days
        if heat is None:
            break
        known.append(heat)
    last = last_visit + len(known)
    recent = _core.sum_degree_days(weather, last - recent_days + 1, last, recipe).degree_days
    later = pace if not recent else recent / recent_days
    return HeatCalendar(last_visit, pace, tuple(known), later)
