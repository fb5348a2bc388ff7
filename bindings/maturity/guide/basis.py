"""What a picking guide of a block rests on: its fruit, and whether shape separates them."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from maturity import _core
from maturity.block_visit import BlockVisit, in_100
from maturity.fruit_frame import FruitFrame, can_be_turned, fruit_frame, turned_outline
from maturity.guide.words import Saying
from maturity.scoring import SeasonScore

#: Chance asked for that shape is worth teaching. At 0.8, blocks whose shape says nothing got a
#: guide in fewer than 1 of 20 simulated blocks (tests/readiness/shape_sorting_test.cpp).
ENOUGH_CHANCE = 0.8
#: Flags of an estimate that say why shape is not used.
_NO_SHAPE = (
    "no_dry_matter",
    "no_shape",
    "shape_switched_off",
    "shape_needs_more_readings",
    "shape_refused",
    "photos_missing",
)
#: Points of an outline as drawn.
_POINTS = 240


@dataclass(frozen=True)
class GuideFruit:
    """A photographed fruit with its outline in mm (right of the stem, below the stem).

    `shape_dm_pct` is what its shape alone predicts; `mean_dm_pct` what all readings together say,
    with its standard deviation. `descriptors` as measured.
    """

    tree: str
    number: int
    photo: Path
    measured: dict[str, Any]
    frame: FruitFrame
    outline_mm: tuple[tuple[float, float], ...]
    length_mm: float
    width_mm: float
    mean_dm_pct: float
    sd_pct: float
    shape_dm_pct: float | None
    oven_dm_pct: float | None
    meter_dm_pct: float | None
    descriptors: dict[str, float]

    @property
    def area_mm2(self) -> float:
        """Area of the outline (shoelace formula)."""
        points = self.outline_mm
        ring = zip(points, (*points[1:], points[0]))
        return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in ring)) / 2

    @property
    def name(self) -> str:
        """How people find it again."""
        return f"{self.tree}/{self.number}"


@dataclass
class GuideBasis:
    """One block at one visit. `reasons` says why shape cannot separate its fruit; empty: it can."""

    visit: BlockVisit
    fruit: list[GuideFruit]
    sorting: _core.ShapeSorting
    reasons: list[Saying] = field(default_factory=list)
    next_steps: list[Saying] = field(default_factory=list)

    @property
    def separates(self) -> bool:
        """True where this block's data show that shape separates fruit."""
        return not self.reasons


def guide_basis(
    score: SeasonScore,
    block: str,
    *,
    date: datetime.date | None = None,
    market: str | None = None,
) -> GuideBasis:
    """The latest visit of a block, or that of `date`, judged.

    Raises
    ------
    ValueError
        The season has no such block, visit or market.
    """
    visit = _visit(score, block, date, market)
    sorting = _sorting(visit, ())
    basis = GuideBasis(visit, _fruit(score, visit, sorting), sorting)
    basis.reasons = _reasons(visit, sorting)
    if basis.reasons:
        basis.next_steps = _next_steps(score, visit)
    return basis


def cut_at(basis: GuideBasis, shape_dm_pct: float) -> _core.ShapeCut:
    """What comes of taking every fruit whose shape predicts at least so much."""
    return _sorting(basis.visit, (shape_dm_pct,)).cuts[0]


def _visit(
    score: SeasonScore, block: str, date: datetime.date | None, market: str | None
) -> BlockVisit:
    if block not in score.season.blocks:
        known = ", ".join(score.season.blocks)
        raise ValueError(f"block {block!r}: expected a block of blocks.csv ({known})")
    visits = [one for one in score.visits if one.block == block]
    if not visits:
        raise ValueError(f"block {block}: {score.silent_blocks.get(block, 'no visit')}")
    if market is not None:
        markets = sorted({str(one.market) for one in visits if one.market is not None})
        visits = [one for one in visits if one.market == market]
        if not visits:
            known = ", ".join(markets) or "none"
            raise ValueError(f"market {market!r}: policy.csv has for block {block}: {known}")
    days = sorted({one.date for one in visits})
    day = days[-1] if date is None else date
    found = next((one for one in visits if one.date == day), None)
    if found is None:
        known = ", ".join(one.isoformat() for one in days)
        raise ValueError(f"date {day}: block {block} was visited on {known}")
    return found


def _sorting(visit: BlockVisit, cuts: Sequence[float]) -> _core.ShapeSorting:
    if visit.question is None or visit.estimate is None:
        raise ValueError(f"block {visit.block}, {visit.date}: {visit.error or 'no estimate'}")
    return _core.sort_by_shape(visit.question, list(cuts))


def _fruit(score: SeasonScore, visit: BlockVisit, sorting: _core.ShapeSorting) -> list[GuideFruit]:
    measured = {
        (photo.tree, photo.fruit_number(fruit)): (photo, fruit)
        for photo in score.photos
        if photo.left_out is None and (photo.block, photo.date) == (visit.block, visit.date)
        for fruit in photo.fruit
    }
    found = []
    for row, shape_dm_pct in zip(visit.fruit, sorting.shape_dm_pct):
        photo, fruit = measured.get((row["tree"], row["fruit"]), (None, None))
        # Doubtful outlines and unknown beak sides would teach the wrong thing.
        if photo is None or fruit is None or not can_be_turned(fruit) or not row["has_shape"]:
            continue
        if fruit["flags"] or not fruit["ventral_side"] or row.get("mean_dm_pct") is None:
            continue
        outline = photo.outline(fruit)
        found.append(
            GuideFruit(
                tree=row["tree"],
                number=row["fruit"],
                photo=score.season.photos[photo.name],
                measured=fruit,
                frame=fruit_frame(fruit, outline),
                outline_mm=_smoothed(turned_outline(fruit, outline, _POINTS)),
                length_mm=fruit["length_mm"],
                width_mm=fruit["width_mm"],
                mean_dm_pct=row["mean_dm_pct"],
                sd_pct=row["sd_pct"],
                shape_dm_pct=shape_dm_pct,
                oven_dm_pct=row["oven_dm_pct"],
                meter_dm_pct=row["meter_dm_pct"],
                descriptors={name: fruit["descriptors"][name] for name in visit.descriptors},
            )
        )
    return found


def _smoothed(points: list[tuple[float, float]]) -> tuple[tuple[float, float], ...]:
    """Each point the mean of five: for the eye; descriptors keep the measured outline."""
    ring = [*points[-2:], *points, *points[:2]]
    return tuple(
        (sum(x for x, _ in ring[i : i + 5]) / 5, sum(y for _, y in ring[i : i + 5]) / 5)
        for i in range(len(points))
    )


def _reasons(visit: BlockVisit, sorting: _core.ShapeSorting) -> list[Saying]:
    if sorting.p_useful is None or sorting.correlation is None:
        flags = [] if visit.estimate is None else visit.estimate.flags
        why = [Saying(f"flag_{flag}") for flag in flags if flag in _NO_SHAPE]
        return [Saying("no_shape_used"), *why]
    if sorting.p_useful < ENOUGH_CHANCE:
        bounds = sorting.correlation_interval or (sorting.correlation,) * 2
        # Adding 0 turns a rounded -0.00 into 0.00.
        low, high = (f"{round(one, 2) + 0.0:.2f}" for one in bounds)
        values = {
            "date": visit.date,
            "r": f"{round(sorting.correlation, 2) + 0.0:.2f}",
            "low": low,
            "high": high,
            "useful": f"{_core.USEFUL_CORRELATION:g}",
            # Rounded down: what just misses is not shown as met.
            "chance": in_100(100 * sorting.p_useful),
            "enough": f"{100 * ENOUGH_CHANCE:.0f}",
        }
        return [Saying("weak_shape", values)]
    return []


def _next_steps(score: SeasonScore, visit: BlockVisit) -> list[Saying]:
    steps = [Saying("next_read_more")]
    for other in score.visits:
        same = (other.block, other.market) == (visit.block, visit.market)
        if same and other.date != visit.date and other.question is not None:
            sorting = _sorting(other, ())
            if sorting.p_useful is not None and sorting.p_useful >= ENOUGH_CHANCE:
                steps.append(Saying("next_other_visit", {"date": other.date}))
    return steps
