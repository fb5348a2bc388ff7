"""A season to calibrations: shape against oven for each cultivar, each meter against oven."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass
from os import PathLike
from typing import Any

import pandas

from maturity import _core
from maturity.about import library_version
from maturity.joining import SampledFruit
from maturity.measuring import Progress
from maturity.photo_limits import PhotoLimits
from maturity.season.season import Season, read_season
from maturity.season_fruit import SeasonFruit, season_fruit
from maturity.stored_calibration import FILE_FORMAT
from maturity.views.native import plot_slopes, slopes_per_sd
from maturity.views.pages import table
from maturity.visit_scoring import DEFAULT_DESCRIPTORS, shape_row

#: Shuffles of dry matter behind the P-value of a shape calibration, and their seed.
_PERMUTATIONS, _SEED = 199, 1


@dataclass
class SeasonCalibration:
    """What shape and meters say about oven dry matter in one season.

    Attributes
    ----------
    shape : dict of str to ShapeCalibration
        By cultivar. Its `outcome` may be that shape adds no usable information.
    meters : dict of str to MeterFit
        By instrument and setting.
    missing : dict of str to str
        What could not be calibrated, with the reason.
    limits : list of str
        What the calibrations do not say.
    """

    season: Season
    found: SeasonFruit
    shape: dict[str, _core.ShapeCalibration]
    meters: dict[str, _core.MeterFit]
    missing: dict[str, str]
    limits: list[str]

    @property
    def complete(self) -> bool:
        """True when nothing had to be left out."""
        return not (self.season.problems or self.found.left_out or self.missing)

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
        return f"<SeasonCalibration {self.season.name!r}: {outcomes}; meters {list(self.meters)}>"

    def _repr_html_(self) -> str:
        said = [f"No calibration of {what}: {why}." for what, why in self.missing.items()]
        said += [f"{one.source.cultivar}: {one.outcome_sentence}." for one in self.shape.values()]
        return table("Calibration of a season", self.to_frame().to_dict("records"), said)

    def to_dict(self) -> dict[str, Any]:
        """As stored: `read_calibration` reads it back."""
        return {
            "file_format": FILE_FORMAT,
            "version": library_version(),
            "season": self.season.folder.name,
            "shape": [json.loads(one.to_json()) for one in self.shape.values()],
            "meters": {name: one.to_dict() for name, one in self.meters.items()},
            "missing": self.missing,
            "limits": self.limits,
            "left_out": [one.to_dict() for one in self.found.left_out],
            "problems": [problem.to_dict() for problem in self.season.problems],
        }


def calibrate_season(
    season: Season | str | PathLike[str],
    *,
    results: str | PathLike[str] | None = None,
    descriptors: Sequence[str] = DEFAULT_DESCRIPTORS,
    threads: int = 0,
    limits: PhotoLimits | None = None,
    progress: Progress | None = None,
) -> SeasonCalibration:
    """Calibrate shape and meters on the fruit of a season that have an oven value.

    Parameters
    ----------
    season : Season or path
    results : path, optional
        Folder of the store of measurements; default ``results`` inside the season folder.
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
        Judged by leaving out whole blocks (all visits of a block together), never single fruit.

    Raises
    ------
    SeasonError, OSError
        The season folder cannot be used.
    ValueError
        A descriptor that the library does not know.

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
    if not isinstance(season, Season):
        season = read_season(season)
    found = season_fruit(season, results=results, threads=threads, limits=limits, progress=progress)
    shape: dict[str, _core.ShapeCalibration] = {}
    meters: dict[str, _core.MeterFit] = {}
    missing: dict[str, str] = {}
    cultivar_of = {row["block"]: row["cultivar"] for row in season.tables["blocks"].rows}
    for cultivar in dict.fromkeys(cultivar_of.values()):
        fruit = [one for one in found.fruit if cultivar_of[one.key[0]] == cultivar]
        try:
            shape[cultivar] = _calibrate_shape(fruit, descriptors, cultivar, season.folder.name)
        except ValueError as error:
            missing[f"shape of {cultivar}"] = str(error)
    for name in sorted({one.instrument for each in found.fruit for one in each.meters}):
        try:
            meters[name] = _fit_meter(found.fruit, name)
        except ValueError as error:
            missing[f"meter {name}"] = str(error)
    return SeasonCalibration(season, found, shape, meters, missing, _limits(found.fruit, shape))


def _visit_label(fruit: SampledFruit) -> str:
    return f"{fruit.key[0]} {fruit.key[2].isoformat()}"


def _oven_dm(fruit: SampledFruit) -> float | None:
    return None if fruit.oven is None else fruit.oven.dm_pct


def _calibrate_shape(
    fruit: list[SampledFruit], descriptors: Sequence[str], cultivar: str, season_name: str
) -> _core.ShapeCalibration:
    rows = [(one, shape_row(one, descriptors), _oven_dm(one)) for one in fruit]
    both = [(one, row, dm) for one, row, dm in rows if row is not None and dm is not None]
    if not both:
        raise ValueError("no fruit has both a usable outline and an oven value")
    days = sorted(one.key[2] for one, _, _ in both)
    return _core.calibrate_shape(
        names=list(descriptors),
        block=[_visit_label(one) for one, _, _ in both],
        fold=[one.key[0] for one, _, _ in both],
        shape=[row for _, row, _ in both],
        oven=[dm for _, _, dm in both],
        cultivar=cultivar,
        first_date=days[0].isoformat(),
        last_date=days[-1].isoformat(),
        provenance=f"season folder {season_name}",
        permutations=_PERMUTATIONS,
        seed=_SEED,
    )


def _fit_meter(fruit: list[SampledFruit], instrument: str) -> _core.MeterFit:
    pairs = [
        (_visit_label(one), dm, reading.dm_pct)
        for one in fruit
        for reading in one.meters
        for dm in [_oven_dm(one)]
        if reading.instrument == instrument and dm is not None
    ]
    return _core.fit_meter(
        block=[block for block, _, _ in pairs],
        oven=[dm for _, dm, _ in pairs],
        meter=[value for _, _, value in pairs],
    )


def _limits(fruit: list[SampledFruit], shape: dict[str, _core.ShapeCalibration]) -> list[str]:
    limits = [
        "Slopes hold within a block; the level of a block still takes its own oven fruit.",
        "Seasons: this is one season, and another may differ more than its blocks do.",
        "A meter's bias moves between blocks and days: keep oven fruit beside it on every visit.",
    ]
    for one in shape.values():
        source = one.source
        limits.append(
            f"Shape: {source.cultivar} only, {source.first_date} to {source.last_date}; "
            "a block whose fruit are shaped otherwise is flagged when it is scored."
        )
    on_purpose = sum(one.oven is not None and one.oven.picked_on_purpose for one in fruit)
    if on_purpose:
        limits.append(
            f"{on_purpose} oven fruit were picked on purpose: slopes can bear that where they were "
            "picked by their looks, not where by a reading."
        )
    return limits
