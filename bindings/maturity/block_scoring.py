"""Score one block: a piece of work that needs nothing else and may be done on another machine."""

from __future__ import annotations

import datetime
import functools
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, field

from maturity import _core
from maturity.block_visit import BlockVisit
from maturity.flowerings import BlockFlowerings, block_flowerings
from maturity.joining import LeftOut, SampledFruit
from maturity.photo_places import PlacedPhoto
from maturity.season.season import Season
from maturity.season.table import Row
from maturity.season_fruit import SeasonFruit
from maturity.stored_calibration import MeterError, StoredCalibration, slopes_for
from maturity.stored_walk import StoredPlan
from maturity.visit_scoring import score_visit
from maturity.walk_visits import hold_to_walk, visit_groups


@dataclass
class BlockTask:
    """A block with all that its score depends on.

    `baseline` is the calibration that shapes are held against, as JSON; `left_out` is what is
    already known not to count.
    """

    block: Row
    fruit: list[SampledFruit]
    policies: list[Row]
    sprays: list[Row]
    plans: list[StoredPlan]
    slopes: _core.CalibrationSlopes | None
    meters: Mapping[str, MeterError]
    descriptors: tuple[str, ...]
    as_of: datetime.datetime | None
    baseline: str | None
    flowerings: BlockFlowerings | None = None
    left_out: list[LeftOut] = field(default_factory=list)


@dataclass
class BlockScored:
    """Visits of a block by day and row of policy, or why nothing is said; dates taken as one."""

    visits: list[BlockVisit] = field(default_factory=list)
    silent: str | None = None
    joined: list[str] = field(default_factory=list)


#: Yields (task, score) of each task, in any order.
ScoreBlocks = Callable[[Iterable[BlockTask]], Iterator[tuple[BlockTask, BlockScored]]]


def block_tasks(
    season: Season,
    found: SeasonFruit,
    stored: StoredCalibration | None,
    descriptors: tuple[str, ...],
    as_of: datetime.datetime | None,
    plans: list[StoredPlan],
    other_cultivar: bool = False,
) -> Iterator[BlockTask]:
    """A task for each block in the order of blocks.csv; fruit are read block by block."""
    for block in season.tables["blocks"].rows:
        name = block["block"]
        left_out: list[LeftOut] = []
        slopes = slopes_for(block, stored, left_out, other_cultivar)
        baseline = None
        if stored is not None:
            baseline = stored.for_cultivar(block["cultivar"], other_cultivar)
        names = descriptors if slopes is None else tuple(slopes.names)
        needed = names if baseline is None else (*names, *baseline.names)
        named: dict[str, PlacedPhoto] = {}
        yield BlockTask(
            block,
            [one.hold_for_estimate(needed, named) for one in found.of_block(name)],
            [row for row in season.tables["policy"].rows if row["block"] == name],
            season.tables["sprays"].rows,
            [plan for plan in plans if plan.block == name],
            slopes,
            {} if stored is None else stored.meters,
            names,
            as_of,
            None if baseline is None else baseline.to_json(),
            block_flowerings(season, block),
            left_out,
        )


def score_here(tasks: Iterable[BlockTask]) -> Iterator[tuple[BlockTask, BlockScored]]:
    """Score blocks one after the other on this machine."""
    for task in tasks:
        yield task, score_block(task)
        del task  # or it would be held beside the next


def score_block(task: BlockTask) -> BlockScored:
    """Score every visit of a block against every row of its policy."""
    groups = visit_groups(task.fruit, task.plans)
    baseline = None if task.baseline is None else _core.calibration_from_json(task.baseline)
    made = BlockScored()
    if not groups:
        made.silent = "no photo and no reading of this block could be used"
    elif not task.policies:
        made.silent = "policy.csv has no row for this block: the minimum is yours to set"
    made.joined = [note for group in groups if (note := group.note()) is not None]
    for group in groups if task.policies else []:
        for policy in task.policies:
            score = functools.partial(
                score_visit,
                task.block,
                group.day,
                policy,
                sprays=task.sprays,
                latest=group is groups[-1],
                calibration=task.slopes,
                descriptors=task.descriptors,
                meters=task.meters,
                baseline=baseline,
                flowerings=task.flowerings,
                # Of a visit of several days, the last is asked for.
                as_of=task.as_of or datetime.datetime.combine(group.days[-1], datetime.time()),
            )
            visit = score(group.fruit)
            hold_to_walk(visit, group, score)
            made.visits.append(visit)
    return made
