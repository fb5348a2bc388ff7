"""Which photographed fruit to cut first: an order, never a verdict on a fruit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity.block_visit import BlockVisit
from maturity.scoring import SeasonScore


@dataclass(frozen=True)
class CutOrder:
    """Fruit of one visit that were photographed and not dried, the least mature looking first.

    Each row has tree, fruit, photo, mean_dm_pct and interval (95 %).
    """

    visit: BlockVisit
    fruit: list[dict[str, Any]]

    @property
    def width_pct(self) -> float:
        """How wide the interval of a fruit usually is, % dry matter."""
        widths = sorted(row["interval"][1] - row["interval"][0] for row in self.fruit)
        return float(widths[len(widths) // 2])

    def caution(self) -> str:
        """What the order must not be used for."""
        return (
            f"An order only: the dry matter of a single fruit is known to {self.width_pct:.0f} "
            "points from end to end, so no fruit is called immature by its photo. Cut or measure "
            "it. Fruit cut by this list make the share of immature fruit too high: for picked.csv, "
            "cut fruit drawn at random."
        )


def cut_first(score: SeasonScore, block: str) -> CutOrder:
    """The order for the latest visit of a block.

    Raises
    ------
    ValueError
        The season has no such block, or no photographed fruit of it with an estimate.
    """
    if block not in score.season.blocks:
        known = ", ".join(score.season.blocks)
        raise ValueError(f"no block {block!r} in blocks.csv ({known})")
    visit = next((one for one in score.visits if one.block == block and one.latest), None)
    rows = [] if visit is None else visit.fruit
    rows = [
        row
        for row in rows
        if row["has_shape"] and row["oven_dm_pct"] is None and row.get("interval") is not None
    ]
    if visit is None or not rows:
        raise ValueError(
            f"block {block}: no photographed fruit with an estimate; dry some fruit of the visit "
            "and score it first"
        )
    return CutOrder(visit, sorted(rows, key=lambda row: (row["mean_dm_pct"], row["tree"])))
