"""Seasons to calibrations: shape against oven for each cultivar, each meter against oven."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from os import PathLike
from typing import Any

import pandas

from maturity import _core
from maturity.about import library_version
from maturity.calibration_limits import calibration_limits
from maturity.labelled_fruit import (
    LabelledFruit,
    labelled_fruit,
    season_labels,
    seasons_by_name,
)
from maturity.measuring import Progress
from maturity.photo_limits import PhotoLimits
from maturity.season.season import Season, read_season
from maturity.season_fruit import SeasonFruit, season_fruit
from maturity.stored_calibration import FILE_FORMAT, with_id
from maturity.views.native import plot_slopes, slopes_per_sd
from maturity.views.pages import table
from maturity.visit_scoring import DEFAULT_DESCRIPTORS, shape_row

#: Shuffles of dry matter behind the P-value of a shape calibration, and their seed.
_PERMUTATIONS, _SEED = 199, 1


@dataclass
class SeasonCalibration:
    """What shape and meters say about oven dry matter in one season, or several.

    Attributes
    ----------
    seasons : dict of str to Season
        By name: that of the folder, with the folder above where two are named alike.
    found : dict of str to SeasonFruit
        The fruit of each season.
    shape : dict of str to ShapeCalibration
        By cultivar. Its `outcome` may be that shape adds no usable information.
    meters : dict of str to MeterFit
        By instrument and setting.
    meter_sources : dict of str to dict
        Where each meter's pairs come from: cultivars, seasons, first and last date.
    missing : dict of str to str
        What could not be calibrated, with the reason.
    limits : list of str
        What the calibrations do not say.
    """

    seasons: dict[str, Season]
    found: dict[str, SeasonFruit]
    shape: dict[str, _core.ShapeCalibration]
    meters: dict[str, _core.MeterFit]
    meter_sources: dict[str, dict[str, Any]]
    missing: dict[str, str]
    limits: list[str]

    @property
    def complete(self) -> bool:
        """True when nothing had to be left out."""
        return not (self.left_out or self.missing)

    @property
    def left_out(self) -> int:
        """How many fruit, photos and cells were left out or are in doubt."""
        of_fruit = sum(len(one.left_out) for one in self.found.values())
        return of_fruit + sum(len(one.problems) for one in self.seasons.values())

    def to_frame(self) -> pandas.DataFrame:
        """One row for each cultivar and descriptor: slope and its errors, % for each unit of it."""
        parts = [one.to_frame().assign(cultivar=name) for name, one in self.shape.items()]
        slopes = ["slope_pct_per_unit", "se_pct_per_unit", "between_block_sd_pct_per_unit"]
        columns = ["cultivar", "descriptor", *slopes]
        return pandas.concat(parts)[columns] if parts else pandas.DataFrame(columns=columns)

    def plot(self, ax: Any = None) -> Any:
        """Each slope of each cultivar, % for each SD of its descriptor, with its 95 % interval.

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
            Shape could not be calibrated; `missing` says why.
        """
        if not self.shape:
            why = "; ".join(f"{what}: {one}" for what, one in self.missing.items())
            raise ValueError(f"no calibration of shape ({why or 'no cultivar'})")
        frames = []
        for cultivar, made in self.shape.items():
            frame = slopes_per_sd(made)
            if len(self.shape) > 1:
                frame["descriptor"] = cultivar + ", " + frame["descriptor"]
            frames.append(frame)
        return plot_slopes(ax, pandas.concat(frames))

    def __repr__(self) -> str:
        outcomes = ", ".join(f"shape of {name}: {one.outcome}" for name, one in self.shape.items())
        names = ", ".join(self.seasons)
        return f"<SeasonCalibration {names!r}: {outcomes}; meters {list(self.meters)}>"

    def _repr_html_(self) -> str:
        said = [f"No calibration of {what}: {why}." for what, why in self.missing.items()]
        said += [f"{one.source.cultivar}: {one.outcome_sentence}." for one in self.shape.values()]
        return table("Calibration of a season", self.to_frame().to_dict("records"), said)

    def to_dict(self) -> dict[str, Any]:
        """As stored: `read_calibration` reads it back."""
        return {
            "file_format": FILE_FORMAT,
            "version": library_version(),
            "seasons": list(self.seasons),
            "shape": [json.loads(one.to_json()) for one in self.shape.values()],
            "meters": {
                name: with_id({**self.meter_sources[name], **one.to_dict()})
                for name, one in self.meters.items()
            },
            "missing": self.missing,
            "limits": self.limits,
            "left_out": [
                {"season": name, **one.to_dict()}
                for name, found in self.found.items()
                for one in found.left_out
            ],
            "problems": [
                {"season": name, **problem.to_dict()}
                for name, season in self.seasons.items()
                for problem in season.problems
            ],
        }


def calibrate_season(
    season: Season | str | PathLike[str],
    *more: Season | str | PathLike[str],
    results: str | PathLike[str] | None = None,
    descriptors: Sequence[str] = DEFAULT_DESCRIPTORS,
    threads: int = 0,
    limits: PhotoLimits | None = None,
    progress: Progress | None = None,
) -> SeasonCalibration:
    """Calibrate shape and meters on the fruit of a season, or several, that have an oven value.

    Parameters
    ----------
    season, *more : Season or path
        With two or more, whole seasons are left out in turn as well.
    results : path, optional
        Folder of the store of measurements; default ``results`` inside the season folder. With
        one season only.
    descriptors : sequence of str
        Those offered; of strongly correlated ones the library keeps one, and as many as the number
        of fruit allows.
    threads : int
        0: one for each core.
    limits : PhotoLimits, optional
        How large a photo may be and how long it may take.
    progress : callable, optional

    Returns
    -------
    SeasonCalibration
        Judged by leaving out whole blocks (all visits of a block together) and whole seasons,
        never single fruit.

    Raises
    ------
    SeasonError, OSError
        The season folder cannot be used.
    ValueError
        A descriptor that the library does not know; the same season twice; `results` with several
        seasons; a visit to a block that two seasons hold.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text("block,cultivar\\nRiver,Amberlee\\n")
    >>> keys = [f"River,{tree},2026-11-03,1," for tree in range(1, 9)]
    >>> _ = (folder / "oven.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct\\n"
    ...     + "".join(f"{key}{14 + n / 4}\\n" for n, key in enumerate(keys))
    ... )
    >>> _ = (folder / "meter.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct,meter\\n"
    ...     + "".join(f"{key}{14.5 + n / 5},M1\\n" for n, key in enumerate(keys))
    ... )
    >>> made = calibrate_season(folder)
    >>> round(made.meters["M1"].overall.bias, 3), list(made.missing)
    (0.325, ['shape of Amberlee'])
    """
    known = [one["name"] for one in _core.descriptor_registry()]
    for name in descriptors:
        if name not in known:
            raise ValueError(f"descriptor {name!r}: expected one of {', '.join(known)}")
    seasons = seasons_by_name(
        [one if isinstance(one, Season) else read_season(one) for one in (season, *more)]
    )
    if results is not None and len(seasons) > 1:
        raise ValueError(f"results {results}: expected none with several seasons, each has its own")
    found = {
        name: season_fruit(one, results=results, threads=threads, limits=limits, progress=progress)
        for name, one in seasons.items()
    }
    fruit = labelled_fruit(seasons, found)
    shape: dict[str, _core.ShapeCalibration] = {}
    meters: dict[str, _core.MeterFit] = {}
    sources: dict[str, dict[str, Any]] = {}
    missing: dict[str, str] = {}
    cultivars = [row["cultivar"] for one in seasons.values() for row in one.tables["blocks"].rows]
    for cultivar in dict.fromkeys(cultivars):
        of_cultivar = [one for one in fruit if one.cultivar == cultivar]
        try:
            shape[cultivar] = _calibrate_shape(of_cultivar, descriptors, cultivar)
        except ValueError as error:
            missing[f"shape of {cultivar}"] = str(error)
    for instrument in sorted({one.instrument for each in fruit for one in each.fruit.meters}):
        try:
            meters[instrument], sources[instrument] = _fit_meter(fruit, instrument)
        except ValueError as error:
            missing[f"meter {instrument}"] = str(error)
    told = calibration_limits(fruit, shape)
    return SeasonCalibration(seasons, found, shape, meters, sources, missing, told)


def _calibrate_shape(
    fruit: list[LabelledFruit], descriptors: Sequence[str], cultivar: str
) -> _core.ShapeCalibration:
    rows = [(one, shape_row(one.fruit, descriptors), one.oven_dm) for one in fruit]
    both = [(one, row, dm) for one, row, dm in rows if row is not None and dm is not None]
    if not both:
        raise ValueError("no fruit has both a usable outline and an oven value")
    used = [one for one, _, _ in both]
    days = sorted(one.day for one in used)
    names = list(dict.fromkeys(one.season for one in used))
    return _core.calibrate_shape(
        names=list(descriptors),
        block=[one.visit for one in used],
        fold=[one.block for one in used],
        season=season_labels(used),
        shape=[row for _, row, _ in both],
        oven=[dm for _, _, dm in both],
        cultivar=cultivar,
        first_date=days[0].isoformat(),
        last_date=days[-1].isoformat(),
        provenance=f"season folder{'s' if len(names) > 1 else ''} {', '.join(names)}",
        permutations=_PERMUTATIONS,
        seed=_SEED,
    )


def _fit_meter(
    fruit: list[LabelledFruit], instrument: str
) -> tuple[_core.MeterFit, dict[str, Any]]:
    pairs = [
        (one, dm, reading.dm_pct)
        for one in fruit
        for reading in one.fruit.meters
        for dm in [one.oven_dm]
        if reading.instrument == instrument and dm is not None
    ]
    used = [one for one, _, _ in pairs]
    fit = _core.fit_meter(
        block=[one.visit for one in used],
        oven=[dm for _, dm, _ in pairs],
        meter=[value for _, _, value in pairs],
        fold=[one.block for one in used],
        season=season_labels(used),
    )
    return fit, {
        "library_version": library_version(),
        "cultivars": list(dict.fromkeys(one.cultivar for one in used)),
        "seasons": list(dict.fromkeys(one.season for one in used)),
        "first_date": min(one.day for one in used).isoformat(),
        "last_date": max(one.day for one in used).isoformat(),
    }
