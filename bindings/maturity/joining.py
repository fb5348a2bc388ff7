"""Tie photographed fruit and readings: a fruit is known by block, tree, date and number."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from maturity import _core
from maturity.photo_places import PlacedPhoto
from maturity.readings import MeterReading, OvenReading, meter_readings, oven_readings
from maturity.season.season import Season

#: block, tree, date, fruit
FruitKey = tuple[str, str, datetime.date, int]


@dataclass(frozen=True, slots=True)
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

    def hold_for_estimate(
        self, descriptors: Sequence[str], named: dict[str, PlacedPhoto]
    ) -> SampledFruit:
        """Hold what an estimate needs and no more: small, and readable on another machine.

        `named` are photos by name without what was measured, shared by their fruit.
        """
        measured, photo = self.measured, self.photo
        if measured is None or photo is None:
            return self
        shape = measured["descriptors"]
        self.at_hand = {
            "usable": measured["usable"],
            "length_mm": measured["length_mm"],
            # Nothing known of the shape must stay apart from a known shape without these.
            "descriptors": {n: shape.get(n) for n in descriptors or shape} if shape else {},
        }
        if photo.name not in named:
            named[photo.name] = PlacedPhoto(photo.name, {})
        self.photo = named[photo.name]
        return self

    @property
    def shape(self) -> dict[str, float] | None:
        """Descriptors where the outline may be scored."""
        if self.measured is None or not self.measured["usable"]:
            return None
        descriptors: dict[str, float] = self.measured["descriptors"]
        return descriptors


class FruitJoin:
    """Ties fruit and readings of a season, block by block: no fruit lies in two blocks.

    Parameters
    ----------
    season : Season
    duplicate_limit_pct : float
        Largest difference between oven duplicates that passes unnamed, points of %.
    """

    def __init__(
        self, season: Season, duplicate_limit_pct: float = _core.duplicate_limit_pct
    ) -> None:
        self._excluded = {
            (row["block"], row["tree"]) for row in season.tables["trees"].rows if row["excluded"]
        }
        self._ovens: dict[str, list[tuple[int, OvenReading]]] = {}
        for place, oven in enumerate(
            oven_readings(season.tables["oven"].rows, duplicate_limit_pct)
        ):
            self._ovens.setdefault(oven.key[0], []).append((place, oven))
        self._meters: dict[str, list[tuple[int, MeterReading]]] = {}
        for place, meter in enumerate(meter_readings(season.tables["meter"].rows)):
            self._meters.setdefault(meter.key[0], []).append((place, meter))
        self._of_photos: list[tuple[str, list[LeftOut]]] = []
        self._of_trees: list[tuple[tuple[int, int, str, int], LeftOut]] = []

    @property
    def blocks_read(self) -> set[str]:
        """Blocks with a reading."""
        return {*self._ovens, *self._meters}

    def left_out(self) -> list[LeftOut]:
        """What was left out of the blocks joined so far: photos by name, then excluded trees."""
        by_name = sorted(self._of_photos, key=lambda one: one[0])
        by_place = sorted(self._of_trees, key=lambda one: one[0])
        return [one for _, said in by_name for one in said] + [one for _, one in by_place]

    def fruit(self, block: str | None, photos: list[PlacedPhoto]) -> list[SampledFruit]:
        """The fruit of a block in the order of their keys; `photos` are all of this block."""
        fruit: dict[FruitKey, SampledFruit] = {}
        # Where two photos claim the same fruit, the one with more usable outlines counts.
        usable = {photo.name: photo.usable_fruit for photo in photos}
        for photo in sorted(photos, key=lambda one: (-usable[one.name], one.name)):
            said: list[LeftOut] = []
            _add_photo(photo, fruit, said)
            if said:
                self._of_photos.append((photo.name, said))
        # Excluded trees are listed by photo, fullest first, then in the order of the readings.
        order = {
            key: (0, -usable[one.photo.name], one.photo.name, one.place or 0)
            for key, one in fruit.items()
            if one.photo is not None and key[:2] in self._excluded
        }
        for place, oven in self._ovens.pop(block or "", []):
            fruit.setdefault(oven.key, SampledFruit(oven.key)).oven = oven
            order.setdefault(oven.key, (1, place, "", 0))
        for place, meter in self._meters.pop(block or "", []):
            fruit.setdefault(meter.key, SampledFruit(meter.key)).meters.append(meter)
            order.setdefault(meter.key, (2, place, "", 0))
        for key in [key for key in fruit if key[:2] in self._excluded]:
            del fruit[key]
            self._of_trees.append((order[key], _of_excluded_tree(key)))
        return [fruit[key] for key in sorted(fruit)]


def join_fruit(
    season: Season,
    photos: list[PlacedPhoto],
    duplicate_limit_pct: float = _core.duplicate_limit_pct,
) -> tuple[list[SampledFruit], list[LeftOut]]:
    """All fruit of a season, in the order of their keys, and what was left out with the reason."""
    join = FruitJoin(season, duplicate_limit_pct)
    by_block: dict[str | None, list[PlacedPhoto]] = {name: [] for name in join.blocks_read}
    for photo in photos:
        by_block.setdefault(photo.block, []).append(photo)
    # Where the block is not known there is no fruit.
    blocks = sorted(by_block, key=lambda name: name or "")
    fruit = [one for name in blocks for one in join.fruit(name, by_block[name])]
    return fruit, join.left_out()


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


def _of_excluded_tree(key: FruitKey) -> LeftOut:
    return LeftOut(
        key[0],
        key[2],
        f"fruit {key[3]} of tree {key[1]}",
        "trees.csv marks this tree as excluded",
    )
