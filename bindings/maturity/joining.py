"""Tie photographed fruit and readings: a fruit is known by block, tree, date and number."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from maturity import _core
from maturity.photo_places import PlacedPhoto
from maturity.readings import MeterReading, OvenReading, meter_readings, oven_readings
from maturity.season.season import Season

#: block, tree, date, fruit
FruitKey = tuple[str, str, datetime.date, int]


@dataclass(frozen=True)
class LeftOut:
    """Something that does not count in an estimate, and why."""

    block: str | None
    date: datetime.date | None
    what: str
    reason: str

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        day = None if self.date is None else self.date.isoformat()
        return {"block": self.block, "date": day, "what": self.what, "reason": self.reason}


@dataclass(slots=True)
class SampledFruit:
    """One fruit of a visit with all that is known about it.

    Attributes
    ----------
    place : int or None
        Which of the fruit of the photo it is. What was measured is read from there, unless
        `at_hand` holds what is needed of it.
    """

    key: FruitKey
    photo: PlacedPhoto | None = None
    place: int | None = None
    oven: OvenReading | None = None
    meters: list[MeterReading] = field(default_factory=list)
    at_hand: dict[str, Any] | None = None

    @property
    def measured(self) -> dict[str, Any] | None:
        """The fruit of the JSON results, without its outlines; None without a photo."""
        if self.at_hand is not None or self.photo is None or self.place is None:
            return self.at_hand
        return self.photo.fruit[self.place]

    def for_estimate(self, descriptors: Sequence[str]) -> SampledFruit:
        """The same with what an estimate needs at hand: small, and readable on another machine."""
        measured, photo = self.measured, self.photo
        if measured is None or photo is None:
            return self
        shape = measured["descriptors"]
        at_hand = {
            "usable": measured["usable"],
            "length_mm": measured["length_mm"],
            # Nothing known of the shape must stay apart from a known shape without these.
            "descriptors": {n: shape.get(n) for n in descriptors or shape} if shape else {},
        }
        return replace(self, photo=PlacedPhoto(photo.name, {}), at_hand=at_hand)

    @property
    def shape(self) -> dict[str, float] | None:
        """Descriptors where the outline may be scored."""
        if self.measured is None or not self.measured["usable"]:
            return None
        descriptors: dict[str, float] = self.measured["descriptors"]
        return descriptors


def join_fruit(
    season: Season,
    photos: list[PlacedPhoto],
    duplicate_limit_pct: float = _core.duplicate_limit_pct,
) -> tuple[list[SampledFruit], list[LeftOut]]:
    """All fruit of a season, in the order of their keys, and what was left out with the reason."""
    left_out: list[LeftOut] = []
    fruit: dict[FruitKey, SampledFruit] = {}
    # Where two photos claim the same fruit, the one with more usable outlines counts.
    said: dict[str, list[LeftOut]] = {photo.name: [] for photo in photos}
    for photo in sorted(photos, key=lambda one: (-one.usable_fruit, one.name)):
        _add_photo(photo, fruit, said[photo.name])
    left_out += [one for name in sorted(said) for one in said[name]]
    for oven in oven_readings(season.tables["oven"].rows, duplicate_limit_pct):
        fruit.setdefault(oven.key, SampledFruit(oven.key)).oven = oven
    for meter in meter_readings(season.tables["meter"].rows):
        fruit.setdefault(meter.key, SampledFruit(meter.key)).meters.append(meter)
    _leave_out_excluded_trees(season, fruit, left_out)
    return [fruit[key] for key in sorted(fruit)], left_out


def _add_photo(
    photo: PlacedPhoto, fruit: dict[FruitKey, SampledFruit], left_out: list[LeftOut]
) -> None:
    if photo.left_out is not None:
        left_out.append(LeftOut(photo.block, photo.date, f"photo {photo.name}", photo.left_out))
        return
    if photo.block is None or photo.tree is None or photo.date is None:
        raise ValueError(f"photo {photo.name}: not placed")
    found = photo.fruit
    keys = {
        (photo.block, photo.tree, photo.date, photo.fruit_number(one)): place
        for place, one in enumerate(found)
    }
    clash = next((fruit[key].photo for key in keys if key in fruit), None)
    if clash is not None or len(keys) < len(found):
        other = "itself" if clash is None else clash.name
        left_out.append(
            LeftOut(
                photo.block,
                photo.date,
                f"photo {photo.name}",
                f"same tree, day and fruit numbers as photo {other}, and no fruit may count twice; "
                "for another board of this tree give first_fruit in photos.csv",
            )
        )
        return
    unusable: dict[str, list[int]] = {}
    for key, place in keys.items():
        one = found[place]
        fruit[key] = SampledFruit(key, photo, place)
        if not one["usable"]:
            reason = ", ".join(one["flags"] or photo.measurement["flags"]) or "not usable"
            unusable.setdefault(reason, []).append(key[3])
    for reason, numbers in unusable.items():
        which = ", ".join(str(number) for number in sorted(numbers))
        what = f"shape of fruit {which} of tree {photo.tree} (photo {photo.name})"
        left_out.append(LeftOut(photo.block, photo.date, what, reason))


def _leave_out_excluded_trees(
    season: Season, fruit: dict[FruitKey, SampledFruit], left_out: list[LeftOut]
) -> None:
    excluded = {
        (row["block"], row["tree"]) for row in season.tables["trees"].rows if row["excluded"]
    }
    for key in [key for key in fruit if key[:2] in excluded]:
        del fruit[key]
        left_out.append(
            LeftOut(
                key[0],
                key[2],
                f"fruit {key[3]} of tree {key[1]}",
                "trees.csv marks this tree as excluded",
            )
        )
