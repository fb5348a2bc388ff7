"""Pairs of fruit of one size, one to take and one to leave; and fruit to practise on."""

from __future__ import annotations

import statistics
from dataclasses import dataclass

from maturity.guide.basis import GuideBasis, GuideFruit

#: Sizes of a pair differ by no more than this share, in length and in area of the outline.
#: People match sizes before shapes: a choice, no source.
SIZE_SHARE = 0.06
#: Standard deviations by which a fruit lies clear of the minimum: 4 in 5 chances.
_MARGIN_SDS = 0.84
#: By shape alone the two must differ by this share of the spread that shape gives.
_SHAPE_STEP = 1.0
MOST_PAIRS, FEWEST_PAIRS = 4, 2
#: A part of the fruit is pointed at where the pairs agree and differ by this many SDs on average.
_POINTER_SDS = 0.5
_PRACTICE_FRUIT, _FEWEST_TO_PRACTISE = 10, 4
#: Oven values this close to the minimum are no test of anybody's eye, %.
_PRACTICE_MARGIN_PCT = 0.5


@dataclass(frozen=True)
class Pair:
    """Two fruit of one size."""

    take: GuideFruit
    leave: GuideFruit

    @property
    def size_differs_by(self) -> float:
        """The larger of the shares by which lengths and areas differ."""
        return size_differs(self.take, self.leave)


def size_differs(one: GuideFruit, other: GuideFruit) -> float:
    """The larger of the shares by which lengths and areas of two fruit differ."""
    lengths = abs(one.length_mm / other.length_mm - 1)
    return max(lengths, abs(one.area_mm2 / other.area_mm2 - 1))


def choose_pairs(basis: GuideBasis, most: int = MOST_PAIRS) -> list[Pair]:
    """Pairs whose fruit lie clear of the minimum on either side, each fruit used once.

    Those that differ most in what their shape predicts come first. Empty where shape does not
    separate the block's fruit.
    """
    if not basis.separates:
        return []
    minimum = basis.visit.minimum_dm_pct
    known = [one for one in basis.fruit if one.shape_dm_pct is not None]
    if len(known) < 2:
        return []
    step = _SHAPE_STEP * statistics.stdev(one.shape_dm_pct or 0.0 for one in known)
    take = [one for one in known if one.mean_dm_pct - _MARGIN_SDS * one.sd_pct >= minimum]
    leave = [one for one in known if one.mean_dm_pct + _MARGIN_SDS * one.sd_pct < minimum]
    possible = [
        Pair(good, bad)
        for good in take
        for bad in leave
        if size_differs(good, bad) <= SIZE_SHARE and _gap(Pair(good, bad)) >= step
    ]
    chosen: list[Pair] = []
    used: set[str] = set()
    for pair in sorted(possible, key=lambda one: (-_gap(one), one.take.name, one.leave.name)):
        if len(chosen) < most and not {pair.take.name, pair.leave.name} & used:
            chosen.append(pair)
            used |= {pair.take.name, pair.leave.name}
    return chosen


def _gap(pair: Pair) -> float:
    return (pair.take.shape_dm_pct or 0.0) - (pair.leave.shape_dm_pct or 0.0)


def cut_between(pairs: list[Pair]) -> float:
    """What shape predicts half way between the fruit to take and those to leave, %."""
    return statistics.fmean(
        (pair.take.shape_dm_pct or 0.0) / 2 + (pair.leave.shape_dm_pct or 0.0) / 2 for pair in pairs
    )


def pointers(basis: GuideBasis, pairs: list[Pair], directions: dict[str, int]) -> list[str]:
    """Descriptors to point at: all pairs shown differ in them the same way, and enough.

    `directions` says which way each goes with maturity; a part that goes the other way in this
    block is not pointed at, since its sentence would be wrong.
    """
    found = []
    for name, direction in directions.items():
        values = [one.descriptors[name] for one in basis.fruit]
        spread = statistics.stdev(values) if len(values) > 1 else 0.0
        steps = [
            direction * (pair.take.descriptors[name] - pair.leave.descriptors[name])
            for pair in pairs
        ]
        if spread > 0 and min(steps) > 0 and statistics.fmean(steps) >= _POINTER_SDS * spread:
            found.append((statistics.fmean(steps) / spread, name))
    return [name for _, name in sorted(found, reverse=True)]


def practice_fruit(basis: GuideBasis) -> list[GuideFruit]:
    """Fruit dried in the oven that lie clear of the minimum, in an order that tells nothing.

    As many of each kind as there are, at most ten in all.

    Raises
    ------
    ValueError
        Fewer than four such fruit, or none on one side.
    """
    minimum = basis.visit.minimum_dm_pct
    clear = [
        one
        for one in basis.fruit
        if one.oven_dm_pct is not None and abs(one.oven_dm_pct - minimum) >= _PRACTICE_MARGIN_PCT
    ]
    good = [one for one in clear if one.oven_dm_pct is not None and one.oven_dm_pct >= minimum]
    bad = [one for one in clear if one not in good]
    if len(clear) < _FEWEST_TO_PRACTISE or not good or not bad:
        raise ValueError(
            f"practice sheet of block {basis.visit.block}, {basis.visit.date}: {len(good)} dried "
            f"fruit to take and {len(bad)} to leave lie clear of {minimum:g} %; expected at least "
            f"{_FEWEST_TO_PRACTISE}, some of each. Dry more photographed fruit, or use another "
            "visit (--date)"
        )
    half = _PRACTICE_FRUIT // 2
    shown = good[: max(half, _PRACTICE_FRUIT - len(bad))]
    shown += bad[: _PRACTICE_FRUIT - len(shown)]
    # By photo, then number on the board: an order with no link to dry matter, the same each time.
    return sorted(shown, key=lambda one: (one.photo.name, one.number))
