"""The fruit of a season: photos measured and placed, readings tied to them."""

from __future__ import annotations

import array
from collections.abc import Sequence
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from maturity import _core
from maturity.about import library_version
from maturity.cluster.dataset import keep_in_store
from maturity.cluster.listing import is_url
from maturity.cluster.season_photos import measure_on
from maturity.joining import FruitJoin, SampledFruit
from maturity.measuring import Progress, measure_missing
from maturity.photo_limits import PhotoLimits
from maturity.photo_places import PlacedPhoto, place_into
from maturity.plain_text import plain_text
from maturity.put_away import AwayList, PutAway
from maturity.same_boards import leave_out_repeated_boards
from maturity.season.season import Season
from maturity.store import Store

#: Name of the store inside the folder of results.
STORE_NAME = "measurements.sqlite"
#: Highest number on a board that the library takes.
_MOST_FRUIT = 1000
#: Fruit of a block that are put away at a time: while they are, they take several times their size.
_AT_ONCE = 500


class SeasonFruit:
    """The fruit of a season, its photos, and what was left out: put away, and read block by block.

    Attributes
    ----------
    photos : AwayList of PlacedPhoto
    left_out : list of LeftOut
    shelf : PutAway
        Where they are.
    """

    def __init__(
        self, season: Season, photos: AwayList[PlacedPhoto], duplicate_limit_pct: float
    ) -> None:
        self.photos, self.shelf = photos, photos.shelf
        join = FruitJoin(season, duplicate_limit_pct)
        places: dict[str | None, array.array[int]] = {}
        for place, photo in enumerate(self.photos):
            places.setdefault(photo.block, array.array("L")).append(place)
        self._blocks: dict[str, list[tuple[int, int]]] = {}
        # Where the block is not known there is no fruit.
        for name in sorted({*places, *join.blocks_read}, key=lambda one: one or ""):
            fruit = join.fruit(name, self._without_repeats(places.get(name, ())))
            if fruit and name is not None:
                self._blocks[name] = [
                    self.shelf.put(fruit[first : first + _AT_ONCE])
                    for first in range(0, len(fruit), _AT_ONCE)
                ]
            del fruit  # or it would be held beside that of the next
        self.left_out = join.left_out()

    def _without_repeats(self, places: Sequence[int]) -> list[PlacedPhoto]:
        """The photos of one block; repeated shots of a board say that they are left out."""
        photos = [self.photos[place] for place in places]
        before = [photo.left_out for photo in photos]
        leave_out_repeated_boards(photos)
        for place, photo, reason in zip(places, photos, before):
            if photo.left_out != reason:
                self.photos[place] = photo
        return photos

    def of_block(self, block: str) -> list[SampledFruit]:
        """The fruit of one block in the order of their keys, read anew each time."""
        places = self._blocks.get(block, [])
        return [one for place in places for one in self.shelf.read(place)]

    @property
    def fruit(self) -> list[SampledFruit]:
        """All fruit in the order of their keys, read anew each time."""
        return [one for block in self._blocks for one in self.of_block(block)]


def season_fruit(
    season: Season,
    *,
    results: str | PathLike[str] | None = None,
    threads: int = 0,
    limits: PhotoLimits | None = None,
    measured: str | PathLike[str] | None = None,
    progress: Progress | None = None,
    duplicate_limit_pct: float = _core.duplicate_limit_pct,
    client: Any = None,
) -> SeasonFruit:
    """Measure what the store does not know yet, place the photos, join fruit and readings.

    `results` is the folder of the store; None: ``results`` inside the season folder. `measured` is
    a Parquet dataset of photos measured elsewhere, from which the store is filled first. `client`
    is a Dask client whose workers measure.
    """
    folder = season.folder / "results" if results is None else Path(results)
    with Store(folder / STORE_NAME, version=library_version()) as store:
        if measured is not None:
            if not is_url(fspath(measured)) and not Path(measured).is_dir():
                raise FileNotFoundError(
                    f"{plain_text(fspath(measured))}: there is no such folder; --measured names a "
                    "dataset of `maturity measure --dataset`"
                )
            key = (limits or PhotoLimits()).settings(0).key()
            keep_in_store(fspath(measured), store, season.photos, key)
        measurements = measure_missing(
            season.photos,
            store,
            thickness_mm=_known_thickness(season),
            threads=threads,
            limits=limits,
            progress=progress,
            measure=None
            if client is None
            else measure_on(client, threads, limits or PhotoLimits()),
        )
    photos: AwayList[PlacedPhoto] = AwayList(PutAway())
    place_into(photos, season, measurements)
    del measurements
    return SeasonFruit(season, photos, duplicate_limit_pct)


def _known_thickness(season: Season) -> dict[str, dict[int, float]]:
    """Thickness from fruit.csv by photo and number on the board, where the photo is named."""
    first = {row["photo"]: row["first_fruit"] or 1 for row in season.tables["photos"].rows}
    known: dict[str, dict[int, float]] = {}
    for row in season.tables["fruit"].rows:
        if row["thickness_mm"] is None or row["photo"] is None:
            continue
        number = row["fruit"] - first.get(row["photo"], 1) + 1
        if not 1 <= number <= _MOST_FRUIT:
            continue  # not on this photo
        known.setdefault(row["photo"], {})[number] = row["thickness_mm"]
    return known
