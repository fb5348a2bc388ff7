"""The fruit of a season: photos measured and placed, readings tied to them."""

from __future__ import annotations

from dataclasses import dataclass
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from maturity import _core
from maturity.about import library_version
from maturity.cluster.dataset import keep_in_store
from maturity.cluster.season_photos import measure_on
from maturity.joining import LeftOut, SampledFruit, join_fruit
from maturity.measuring import Progress, measure_missing
from maturity.photo_limits import PhotoLimits
from maturity.photo_places import PlacedPhoto, place_photos
from maturity.same_boards import leave_out_repeated_boards
from maturity.season.season import Season
from maturity.store import Store

#: Name of the store inside the folder of results.
STORE_NAME = "measurements.sqlite"
#: Highest number on a board that the library takes.
_MOST_FRUIT = 1000


@dataclass
class SeasonFruit:
    """All fruit of a season in the order of their keys, its photos, and what was left out."""

    photos: list[PlacedPhoto]
    fruit: list[SampledFruit]
    left_out: list[LeftOut]


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
    photos = place_photos(season, measurements)
    leave_out_repeated_boards(photos)
    fruit, left_out = join_fruit(season, photos, duplicate_limit_pct)
    return SeasonFruit(photos, fruit, left_out)


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
