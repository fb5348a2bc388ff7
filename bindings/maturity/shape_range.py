"""Where the shapes of a block lie in those that a calibration saw: its baselines."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from maturity import _core

#: Descriptors that are named: further than this from the calibration's mean, in its SD.
_NAMED_SD = 1.5


@dataclass(frozen=True)
class ShapeRange:
    """Shapes of one visit against the baselines of its cultivar.

    Attributes
    ----------
    outside : bool
        Their mean lies beyond `limit`, or more than a tenth of the fruit lie far outside.
    distance, limit : float
        Of their mean from the cultivar's, in standard deviations (Mahalanobis).
    share_beyond : float
        Share of the fruit far outside (0.999 of the cultivar's lie within).
    off_sd : dict of str to float
        Mean less the cultivar's by descriptor, in standard deviations between the fruit seen.
    nearest_block, nearest_distance : str, float or None
        Block and visit of the calibration that is most alike; None: no baselines of blocks.
    own_block, own_distance : str, float or None
        The same among visits to this block itself.
    """

    fruit: int
    outside: bool
    distance: float
    limit: float
    share_beyond: float
    off_sd: dict[str, float]
    nearest_block: str | None = None
    nearest_distance: float | None = None
    own_block: str | None = None
    own_distance: float | None = None

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return dict(vars(self))

    @property
    def unlike_itself(self) -> bool:
        """True where the block's fruit lie outside what the same block's were."""
        return self.own_distance is not None and self.own_distance > self.limit

    def sentence(self) -> str:
        """Which descriptors differ, by how much, and what block is nearest."""
        order = sorted(self.off_sd, key=lambda name: -abs(self.off_sd[name]))
        named = [name for name in order if abs(self.off_sd[name]) >= _NAMED_SD] or order[:1]
        side = {True: "above", False: "below"}
        parts = [
            f"{name} {abs(self.off_sd[name]):.1f} SD {side[self.off_sd[name] > 0]}"
            for name in named
        ]
        text = (
            f"{', '.join(parts)}; together {self.distance:.1f} SD from its mean "
            f"(limit {self.limit:.1f}), {100 * self.share_beyond:.0f} in 100 fruit far outside"
        )
        if self.nearest_block is not None:
            text += f"; nearest is {self.nearest_block}, {self.nearest_distance:.1f} SD away"
        return text


def compare_shapes(
    made: _core.ShapeCalibration, block: str, shapes: Sequence[Sequence[float]]
) -> ShapeRange | None:
    """Hold a block's usable outlines (rows in the order of `made.names`) against its baselines.

    None without outlines, or where they were measured by another method.
    """
    if not shapes or made.method_version != _core.method_version():
        return None
    found = made.compare(list(shapes))
    distances = made.block_distances(list(shapes))
    groups = [one.group for one in made.block_baselines]
    near = sorted(zip(distances, groups))
    own = [(distance, group) for distance, group in near if group.rsplit(" ", 1)[0] == block]
    return ShapeRange(
        fruit=len(shapes),
        outside=found.outside,
        distance=found.distance,
        limit=found.limit,
        share_beyond=found.share_beyond,
        off_sd=dict(zip(made.names, map(float, found.off_sd))),
        nearest_block=near[0][1] if near else None,
        nearest_distance=near[0][0] if near else None,
        own_block=own[0][1] if own else None,
        own_distance=own[0][0] if own else None,
    )
