"""A measured fruit turned so that its stem is up and its beak side right, in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from maturity.store import Outline


@dataclass(frozen=True)
class FruitFrame:
    """How a photo is turned and scaled to the fruit: origin at the stem, y down to the nose, mm.

    `mm_per_px` makes the outline as long as the fruit's widest section, not as its picture.
    """

    stem_px: tuple[float, float]
    down: tuple[float, float]
    right: tuple[float, float]
    mm_per_px: float

    def to_mm(self, x_px: float, y_px: float) -> tuple[float, float]:
        """A point of the photo in mm: right of the stem, below the stem."""
        dx, dy = x_px - self.stem_px[0], y_px - self.stem_px[1]
        return (
            (dx * self.right[0] + dy * self.right[1]) * self.mm_per_px,
            (dx * self.down[0] + dy * self.down[1]) * self.mm_per_px,
        )

    def to_px(self, right_mm: float, down_mm: float) -> tuple[float, float]:
        """The point of the photo that lies there."""
        a, b = right_mm / self.mm_per_px, down_mm / self.mm_per_px
        return (
            self.stem_px[0] + a * self.right[0] + b * self.down[0],
            self.stem_px[1] + a * self.right[1] + b * self.down[1],
        )


def can_be_turned(fruit: dict[str, Any] | None) -> bool:
    """True where length, stem and nose are known."""
    return (
        fruit is not None
        and fruit["length_mm"] is not None
        and fruit["stem_px"] is not None
        and fruit["nose_px"] is not None
    )


def fruit_frame(fruit: dict[str, Any], outline: Outline) -> FruitFrame:
    """The frame of a fruit for which `can_be_turned` holds, from its outline in px."""
    (sx, sy), (nx, ny) = fruit["stem_px"], fruit["nose_px"]
    distance = math.hypot(nx - sx, ny - sy) or 1.0
    ux, uy = (nx - sx) / distance, (ny - sy) / distance
    # Across the axis to the beak side: (nose - stem) x (beak - stem) has the sign of the side.
    side = fruit["ventral_side"] or 1
    along = [(x - sx) * ux + (y - sy) * uy for x, y in outline]
    extent = max(along) - min(along) or 1.0
    return FruitFrame(
        (sx, sy), (ux, uy), (-side * uy, side * ux), float(fruit["length_mm"]) / extent
    )


def turned_outline(
    fruit: dict[str, Any], outline: Outline, points: int = 0
) -> list[tuple[float, float]]:
    """The outline in mm, (right, down) of the stem; `points`: about so many, 0 for all."""
    frame = fruit_frame(fruit, outline)
    step = max(1, len(outline) // points) if points else 1
    return [frame.to_mm(x, y) for x, y in outline[::step]]
