"""Tie photographed fruit and readings: a fruit is known by block, tree, date and number."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field
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


@dataclass
class SampledFruit:
    """One fruit of a visit with all that is known about it."""

    key: FruitKey
    photo: PlacedPhoto | None = None
    measured: dict[str, Any] | None = None
    oven: OvenReading | None = None
    meters: list[MeterReading] = field(default_factory=list)

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
    keys = {
        (photo.block, photo.tree, photo.date, photo.fruit_number(one)): one for one in photo.fruit
    }
    clash = next((fruit[key].photo for key in keys if key in fruit), None)
    if clash is not None or len(keys) < len(photo.fruit):
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
    for key, one in keys.items():
        fruit[key] = SampledFruit(key, photo, one)
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
