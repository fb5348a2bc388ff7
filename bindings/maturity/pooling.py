"""Blocks of one cultivar and round of visits drawn together, for ranking only."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import pandas

from maturity import _core
from maturity.block_visit import BlockVisit
from maturity.views.plans import pooled_frame, pooled_html, pooled_plot

#: Visits of one round: days from its first to its last. Dry matter gains well below 0.5 % in that
#: time (planning guess).
ROUND_DAYS = 3

#: Two blocks say nothing of the spread between blocks.
FEWEST_BLOCKS = 3

_NORMAL_95 = 1.959963984540054


@dataclass(frozen=True)
class PooledBlock:
    """Mean dry matter of a block, drawn towards the blocks of its cultivar and round, %.

    For ranking only: a block with few readings borrows from the others, and must not become ready
    by that.

    Attributes
    ----------
    raw_dm_pct, raw_sd_pct : float
        As the block alone has it, with its standard deviation.
    dm_pct, interval : float, (float, float)
        Drawn together, with its 95 % interval.
    own_weight : float
        Weight of the block's own mean, 0 to 1.
    rank, raw_rank : int
        1: most dry matter; of `dm_pct` and of `raw_dm_pct`, among `blocks` blocks.
    """

    block: str
    raw_dm_pct: float
    raw_sd_pct: float
    dm_pct: float
    interval: tuple[float, float]
    own_weight: float
    rank: int
    raw_rank: int
    blocks: int

    to_frame = pooled_frame
    plot = pooled_plot
    _repr_html_ = pooled_html

    def to_row(self) -> dict[str, Any]:
        """One row of a table, its names beginning with "pooled"."""
        return {
            "pooled_rank": self.rank,
            "pooled_raw_rank": self.raw_rank,
            "pooled_blocks": self.blocks,
            "pooled_mean_dm_pct": self.dm_pct,
            "pooled_mean_dm_low_pct": self.interval[0],
            "pooled_mean_dm_high_pct": self.interval[1],
            "pooled_own_weight": self.own_weight,
        }


def pool_blocks(
    mean_dm_pct: Mapping[str, float],
    mean_dm_sd: Mapping[str, float],
    *,
    between_variance: float | None = None,
) -> list[PooledBlock]:
    """Draw the means of several blocks towards their common value, to rank them.

    The weight of a block's own mean is A / (A + sd^2), A the variance between blocks. Form after
    Fay and Herriot as printed in Survey Methodology 12-001-X 2021002; the error of an estimated A
    after Datta, Rao and Smith (2005), from memory.

    Parameters
    ----------
    mean_dm_pct, mean_dm_sd : mapping of block to float
        Mean dry matter of each block, %, and its standard deviation (above 0). At least 3 blocks,
        or 2 where `between_variance` is given.
    between_variance : float, optional
        Variance between blocks, squared %; default: estimated from the blocks.

    Returns
    -------
    list of PooledBlock
        The highest first.

    Raises
    ------
    ValueError
        Too few blocks, blocks that differ, a value that is no number, a variance below 0.

    Examples
    --------
    >>> pooled = pool_blocks({"Weir": 14.0, "Quarry": 15.2, "Saddle": 13.1},
    ...                      {"Weir": 0.3, "Quarry": 0.5, "Saddle": 0.8}, between_variance=0.36)
    >>> [(one.block, round(one.dm_pct, 2), one.raw_dm_pct) for one in pooled]
    [('Quarry', 14.8, 15.2), ('Weir', 14.04, 14.0), ('Saddle', 13.82, 13.1)]
    """
    if set(mean_dm_pct) != set(mean_dm_sd):
        raise ValueError("mean_dm_sd: expected the blocks of mean_dm_pct")
    names = list(mean_dm_pct)
    if between_variance is None and len(names) < FEWEST_BLOCKS:
        raise ValueError(
            f"mean_dm_pct: {len(names)} blocks; expected at least {FEWEST_BLOCKS}, or "
            "between_variance given"
        )
    drawn = _core.shrink_values(
        [mean_dm_pct[name] for name in names],
        [mean_dm_sd[name] ** 2 for name in names],
        between_variance,
    )
    values = dict(zip(names, drawn.values))
    ranks = _ranks({name: one.value for name, one in values.items()})
    raw_ranks = _ranks({name: one.raw for name, one in values.items()})
    pooled = [
        PooledBlock(
            name,
            one.raw,
            mean_dm_sd[name],
            one.value,
            (
                one.value - _NORMAL_95 * one.standard_error,
                one.value + _NORMAL_95 * one.standard_error,
            ),
            one.weight,
            ranks[name],
            raw_ranks[name],
            len(names),
        )
        for name, one in values.items()
    ]
    return sorted(pooled, key=lambda one: one.rank)


def _ranks(values: Mapping[str, float]) -> dict[str, int]:
    order = sorted(values, key=lambda name: (-values[name], name))
    return {name: 1 + place for place, name in enumerate(order)}


def pool_visits(visits: Sequence[BlockVisit]) -> list[str]:
    """Give the last visits of blocks of one cultivar and round their rank; nothing else changes.

    Returns what could not be ranked, with the reason.
    """
    said = []
    for group in _rounds(visits):
        first = group[0]
        means, sds = {}, {}
        for visit in group:
            estimate = visit.estimate
            if estimate is not None and estimate.mean_dm_pct is not None and estimate.mean_dm_sd:
                means[visit.block], sds[visit.block] = estimate.mean_dm_pct, estimate.mean_dm_sd
        if len(means) < FEWEST_BLOCKS:
            names = ", ".join(sorted({visit.block for visit in group}))
            said.append(
                f"no ranking of {names} ({first.cultivar}, from {first.date.isoformat()}): fewer "
                f"than {FEWEST_BLOCKS} blocks of the cultivar with an estimate within "
                f"{ROUND_DAYS} days"
            )
            continue
        pooled = {one.block: one for one in pool_blocks(means, sds)}
        for visit in group:
            visit.pooled = pooled.get(visit.block)
    return said


def _rounds(visits: Sequence[BlockVisit]) -> list[list[BlockVisit]]:
    """Last visits by cultivar, those within ROUND_DAYS of the first of a round together."""
    rounds: list[list[BlockVisit]] = []
    for visit in sorted(
        (one for one in visits if one.latest), key=lambda one: (one.cultivar, one.date, one.block)
    ):
        if rounds:
            first = rounds[-1][0]
            near = (visit.date - first.date).days <= ROUND_DAYS
            if first.cultivar == visit.cultivar and near:
                rounds[-1].append(visit)
                continue
        rounds.append([visit])
    return rounds


def ranking_frame(visits: Sequence[BlockVisit]) -> pandas.DataFrame:
    """One row for each ranked block: cultivar, rank, pooled and raw mean with 95 % intervals, %."""
    seen: dict[str, dict[str, Any]] = {}
    for visit in visits:
        estimate = visit.estimate
        if visit.pooled is None or estimate is None or estimate.mean_dm_interval is None:
            continue
        seen[visit.block] = {
            "cultivar": visit.cultivar,
            "block": visit.block,
            "date": visit.date.isoformat(),
            **visit.pooled.to_row(),
            "mean_dm_pct": estimate.mean_dm_pct,
            "mean_dm_low_pct": estimate.mean_dm_interval[0],
            "mean_dm_high_pct": estimate.mean_dm_interval[1],
        }
    rows = sorted(seen.values(), key=lambda row: (row["cultivar"], row["pooled_rank"]))
    return pandas.DataFrame(rows)
