"""A season folder to block estimates and decisions."""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from os import PathLike
from pathlib import Path
from typing import Any

import pandas

from maturity import _core
from maturity.about import library_version
from maturity.block_scoring import BlockScored, BlockTask, ScoreBlocks, block_tasks, score_here
from maturity.block_visit import BlockVisit
from maturity.cluster.dask_cluster import same_version_everywhere
from maturity.cluster.season_blocks import score_on
from maturity.flowering_rows import JOINED_BY
from maturity.joining import LeftOut
from maturity.measuring import Progress
from maturity.photo_limits import PhotoLimits
from maturity.outlook import Outlook, block_outlooks
from maturity.photo_places import PlacedPhoto
from maturity.pooling import pool_visits, ranking_frame
from maturity.season.season import Season, read_season
from maturity.season.table import Row
from maturity.season_fruit import SeasonFruit, season_fruit
from maturity.stored_calibration import StoredCalibration, read_calibration
from maturity.stored_walk import recorded_plans
from maturity.tables import MadeWhenWritten
from maturity.views.seasons import plot_score, score_html
from maturity.visit_dates import split_walk_notes
from maturity.visit_scoring import DEFAULT_DESCRIPTORS


@dataclass
class SeasonScore:
    """What a season folder says about its blocks.

    Attributes
    ----------
    season : Season
    visits : list of BlockVisit
        One for each block, visit and row of policy.csv, in the order of blocks.csv, day, policy.
    outlooks : list of Outlook
        One for each block and row of policy.csv with at least two visits.
    photos : sequence of PlacedPhoto
        Read when asked for, as the fruit of the visits are: memory does not hold them.
    left_out : list of LeftOut
        Photos, fruit and readings that do not count, with the reason.
    silent_blocks : dict of str to str
        Blocks about which nothing is said, with the reason.
    joined : list of str
        Dates that were taken as one visit.
    calibration : StoredCalibration or None
        The one that was handed in.
    unranked : list of str
        Blocks that a ranking was asked for and cannot have one, with the reason.
    """

    season: Season
    visits: list[BlockVisit]
    outlooks: list[Outlook]
    photos: Sequence[PlacedPhoto]
    left_out: list[LeftOut]
    silent_blocks: dict[str, str]
    descriptors: tuple[str, ...]
    joined: list[str] = field(default_factory=list)
    version: str = field(default_factory=library_version)
    calibration: StoredCalibration | None = field(default=None, repr=False)
    unranked: list[str] = field(default_factory=list)

    @property
    def complete(self) -> bool:
        """True when nothing had to be left out."""
        return not (self.season.problems or self.left_out or self.silent_blocks)

    def latest(self) -> list[BlockVisit]:
        """The last visit of each block, a row for each row of policy."""
        return [visit for visit in self.visits if visit.latest]

    def notes(self) -> list[str]:
        """Dates taken as one visit, and what may have been entered otherwise than meant."""
        return self.joined + split_walk_notes(self.visits) + self.unranked

    def ranking(self) -> pandas.DataFrame:
        """Blocks by dry matter drawn together, the raw figure beside; empty unless asked for."""
        return ranking_frame(self.visits)

    def to_dict(self) -> dict[str, Any]:
        """Everything as JSON holds it: unknown is None."""
        return {**self.to_write(), "blocks": [visit.to_dict() for visit in self.visits]}

    def to_write(self) -> dict[str, Any]:
        """As `to_dict`, but each block is made when it is written, and none is held."""

        def blocks() -> Iterator[dict[str, Any]]:
            return (visit.to_write() for visit in self.visits)

        return {
            "version": self.version,
            "season": self.season.folder.name,
            "descriptors": list(self.descriptors),
            "blocks": MadeWhenWritten(len(self.visits), blocks),
            "forecasts": [outlook.to_dict() for outlook in self.outlooks],
            "silent_blocks": self.silent_blocks,
            "left_out": [one.to_dict() for one in self.left_out],
            "notes": self.notes(),
            "problems": [problem.to_dict() for problem in self.season.problems],
            "files": self.season.notes(),
        }

    def to_frame(self) -> pandas.DataFrame:
        """A tidy table: one row for each block, visit and row of policy."""
        frame = pandas.DataFrame([visit.to_row() for visit in self.visits])
        last = [name for name in frame.columns if name == JOINED_BY]
        return frame[[name for name in frame.columns if name not in last] + last]

    def plot(self, ax: Any = None) -> Any:
        """Share of mature fruit of each block and visit with its 95 % interval.

        Parameters
        ----------
        ax : matplotlib.axes.Axes, optional
            Default: those of a new figure.

        Returns
        -------
        matplotlib.axes.Axes
        """
        return plot_score(self, ax)

    def _repr_html_(self) -> str:
        return score_html(self)

    def __repr__(self) -> str:
        decisions = ", ".join(f"{visit.block} {visit.decision}" for visit in self.latest())
        return (
            f"<SeasonScore {str(self.season.folder)!r}: {decisions}; "
            f"{len(self.left_out)} left out, {len(self.season.problems)} problems>"
        )


def score_season(
    season: Season | str | PathLike[str],
    *,
    results: str | PathLike[str] | None = None,
    calibration: str | PathLike[str] | None = None,
    descriptors: Sequence[str] = DEFAULT_DESCRIPTORS,
    as_of: datetime.datetime | None = None,
    threads: int = 0,
    limits: PhotoLimits | None = None,
    measured: str | PathLike[str] | None = None,
    progress: Progress | None = None,
    pool: bool = False,
    duplicate_limit_pct: float = _core.duplicate_limit_pct,
    other_cultivar: bool = False,
    client: Any = None,
) -> SeasonScore:
    """Measure what is not yet measured, join fruit and readings, estimate and decide.

    Parameters
    ----------
    season : Season or path
    results : path, optional
        Folder of the store of measurements; default ``results`` inside the season folder.
    calibration : path, optional
        Stored calibration (JSON). Where it holds usable slopes for a block's cultivar, its
        descriptors replace `descriptors`; else the block is scored without it, and that is listed.
        The error of a meter that it holds replaces the planning guess.
    descriptors : sequence of str
        Shape descriptors that feed the estimate, at most 8.
    as_of : datetime, optional
        Moment for which withholding and re-entry periods are asked; default: the beginning of the
        day of each visit.
    threads : int
        0: one for each core.
    limits : PhotoLimits, optional
        How large a photo may be and how long it may take.
    measured : path or URL, optional
        Parquet dataset of `maturity measure --dataset`; its photos are not measured again.
    progress : callable, optional
        Called with photos done and photos in all.
    pool : bool
        Also rank the blocks of one cultivar and round of visits by means drawn together
        (`SeasonScore.ranking`). No readiness and no decision changes by it.
    duplicate_limit_pct : float
        Largest difference between oven duplicates that passes unnamed, points of %; the default,
        0.2, is what AOAC 934.06 (dried fruit) asks of its duplicates.
    other_cultivar : bool
        Use a calibration that holds one cultivar for blocks of others too. What mature fruit looks
        like differs between cultivars: at your own risk, and said with every such block.
    client : dask.distributed.Client, optional
        Its workers measure photos, which they must see under the same names as this machine, and
        score the blocks. The result does not depend on it.

    Returns
    -------
    SeasonScore
        Decisions are "ready", "not_yet", "sample_more" or "not_cleared"; None where the estimate
        could not be made, with the reason.

    Raises
    ------
    SeasonError, OSError
        The season folder cannot be used, the results cannot be written.
    ValueError
        The calibration file is not one; a duplicate limit below 0.
    RuntimeError
        Workers have another version of this library.

    Examples
    --------
    >>> import pathlib, tempfile
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text("block,cultivar\\nRiver,Amberlee\\n")
    >>> _ = (folder / "oven.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct\\n"
    ...     + "".join(f"River,{tree},2026-11-03,1,{14 + tree / 4}\\n" for tree in range(1, 9))
    ... )
    >>> _ = (folder / "policy.csv").write_text(
    ...     "block,rule,minimum_dm_pct,required_share,confidence\\nRiver,share,15,0.9,0.9\\n"
    ... )
    >>> score = score_season(folder)
    >>> visit = score.latest()[0]
    >>> visit.decision, round(visit.estimate.mean_dm_pct, 1)
    ('not_cleared', 15.1)
    >>> score.to_frame()[["block", "decision"]].values.tolist()
    [['River', 'not_cleared']]
    """
    stored = None if calibration is None else read_calibration(calibration)
    if not isinstance(season, Season):
        season = read_season(season)
    if client is not None:
        same_version_everywhere(client, library_version())
    if not duplicate_limit_pct >= 0:
        raise ValueError(f"duplicate_limit_pct: {duplicate_limit_pct} is not at least 0")
    found = season_fruit(
        season,
        results=results,
        threads=threads,
        limits=limits,
        measured=measured,
        progress=progress,
        duplicate_limit_pct=duplicate_limit_pct,
        client=client,
    )
    plans, broken = recorded_plans(season.folder / "results" if results is None else Path(results))
    found.left_out += [LeftOut(None, None, "plan of a walk", one) for one in broken]
    joined: list[str] = []
    tasks = block_tasks(season, found, stored, tuple(descriptors), as_of, plans, other_cultivar)
    score_blocks = score_here if client is None else score_on(client)
    visits, silent = _score_blocks(season, tasks, score_blocks, found, joined)
    unranked = pool_visits(visits) if pool else []
    return SeasonScore(
        season,
        visits,
        block_outlooks(visits),
        found.photos,
        found.left_out,
        silent,
        tuple(descriptors),
        joined,
        calibration=stored,
        unranked=unranked,
    )


def _score_blocks(
    season: Season,
    tasks: Iterable[BlockTask],
    score_blocks: ScoreBlocks,
    found: SeasonFruit,
    joined: list[str],
) -> tuple[list[BlockVisit], dict[str, str]]:
    """Score the blocks, in any order, and put them together in the order of blocks.csv."""
    done: dict[str, tuple[list[LeftOut], list[Row], BlockScored]] = {}
    for task, scored in score_blocks(tasks):
        for visit in scored.visits:
            visit.put_away(found.shelf)
        done[task.block["block"]] = task.left_out, task.policies, scored
        del task, scored  # or they would be held beside the next
    visits: list[BlockVisit] = []
    silent: dict[str, str] = {}
    left_out = found.left_out
    known = set(left_out)
    for block in season.tables["blocks"].rows:
        name = block["block"]
        named, policies, scored = done[name]
        for visit in scored.visits:
            # From another machine it comes as a copy.
            visit.policy = next(row for row in policies if row == visit.policy)
        for one in [*named, *(one for visit in scored.visits for one in visit.left_out)]:
            if one not in known:
                left_out.append(one)
                known.add(one)
        visits += scored.visits
        joined += scored.joined
        if scored.silent is not None:
            silent[name] = scored.silent
    return visits, silent
