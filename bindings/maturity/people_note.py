"""For the people who pick: the day's heat and the usual cautions; local rules come first."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from maturity.season.table import Row

#: Short and general: no dose, no volume. Labels, local codes and licensed practice come first.
CAUTIONS = (
    "Sap burns skin and eyes, and a rash may come days later: gloves, long sleeves, eye "
    "protection; wash it off. Sap in an eye, or blisters: seek medical help.",
    "Sun: hat, long sleeves, shade at breaks.",
    "Ladders and platforms: firm ground, three points of contact, no over-reaching, far from power "
    "lines; platforms are for trained and, where required, licensed operators.",
    "Blades: cut away from the hand, sheath what is not in use.",
)
DEFER = (
    "General cautions; labels, local codes and licensed practice come first. Who feels unwell "
    "stops; seek help."
)
_HEAT = (
    "start early, work in shade where there is any, water within reach, rest in shade; people new "
    "to the work build up slowly; nobody works alone"
)
_ALWAYS = "Water, shade and rest within reach all the same."


@dataclass(frozen=True)
class HeatNote:
    """What the forecast of one day asks for."""

    date: datetime.date
    tmax_c: float
    hot_from_c: float | None
    source: str | None = None

    @property
    def hot(self) -> bool | None:
        """At or above the user's own limit; None: no limit is set."""
        return None if self.hot_from_c is None else self.tmax_c >= self.hot_from_c

    def sentence(self) -> str:
        """The note in words."""
        forecast = f"{self.date.isoformat()}: forecast {self.tmax_c:g} C"
        if self.hot is None:
            return f"{forecast}; no limit for a hot day is set. In heat: {_HEAT}."
        if self.hot:
            return f"{forecast}, a hot day by your limit of {self.hot_from_c:g} C: {_HEAT}."
        return f"{forecast}, below your limit of {self.hot_from_c:g} C for a hot day. {_ALWAYS}"

    def to_dict(self) -> dict[str, object]:
        """The note as JSON holds it."""
        return {
            "date": self.date.isoformat(),
            "tmax_c": self.tmax_c,
            "hot": self.hot,
            "note": self.sentence(),
        }


def heat_notes(rows: list[Row], hot_from_c: float | None) -> list[HeatNote]:
    """A note for each day of weather_ahead.csv, in their order."""
    return [
        HeatNote(row["date"], float(row["tmax_c"]), hot_from_c, row["source"])
        for row in sorted(rows, key=lambda row: str(row["date"]))
    ]
