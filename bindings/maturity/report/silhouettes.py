"""Outlines of a block's fruit at one scale, in order of their dry matter."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity.block_visit import BlockVisit
from maturity.fruit_frame import can_be_turned, turned_outline
from maturity.scoring import SeasonScore

#: Fruit drawn for a block, spread evenly over the order.
_DRAWN = 24
_POINTS = 80
_GAP_MM, _LABEL_MM = 12.0, 22.0
_ROW_MM = 640.0


@dataclass(frozen=True)
class Silhouette:
    """One fruit: its outline in mm on the sheet, and its label."""

    points: str
    x: float
    label_y: float
    label: str
    name: str


@dataclass(frozen=True)
class SilhouetteSheet:
    """The sheet in mm."""

    width: float
    height: float
    fruit: tuple[Silhouette, ...]
    text: str


def silhouette_sheet(score: SeasonScore, visit: BlockVisit) -> SilhouetteSheet | None:
    """Fruit with a scale, a stem and an estimate, stem up, beak side right, lowest first."""
    measured = {
        (photo.tree, photo.fruit_number(fruit)): {**fruit, "photo": photo}
        for photo in score.photos
        if photo.left_out is None and (photo.block, photo.date) == (visit.block, visit.date)
        for fruit in photo.fruit
    }
    rows = [
        (row, measured[(row["tree"], row["fruit"])])
        for row in visit.fruit
        if row["has_shape"]
        and row.get("mean_dm_pct") is not None
        and can_be_turned(measured.get((row["tree"], row["fruit"])))
    ]
    if len(rows) < 2:
        return None
    rows.sort(key=lambda pair: float(pair[0]["mean_dm_pct"]))
    step = max(1.0, (len(rows) - 1) / (_DRAWN - 1))
    chosen = [rows[round(i * step)] for i in range(min(len(rows), _DRAWN))]
    return _lay_out(chosen)


def _lay_out(rows: list[tuple[dict[str, Any], dict[str, Any]]]) -> SilhouetteSheet:
    x, top, deepest, widest = 0.0, 0.0, 0.0, 0.0
    placed = []
    for row, fruit in rows:
        points = turned_outline(fruit, fruit["photo"].outline(fruit), _POINTS)
        left, right = min(p[0] for p in points), max(p[0] for p in points)
        high, low = min(p[1] for p in points), max(p[1] for p in points)
        if x > 0 and x + right - left > _ROW_MM:
            x, top, deepest = 0.0, top + deepest + _LABEL_MM + _GAP_MM, 0.0
        text = " ".join(f"{px - left + x:.1f},{py - high + top:.1f}" for px, py in points)
        placed.append(
            Silhouette(
                points=text,
                x=x + (right - left) / 2,
                label_y=top + low - high + 14,
                label=f"{row['mean_dm_pct']:.1f}",
                name=f"fruit {row['fruit']} of tree {row['tree']}",
            )
        )
        x += right - left + _GAP_MM
        deepest, widest = max(deepest, low - high), max(widest, x - _GAP_MM)
    first, last = placed[0], placed[-1]
    return SilhouetteSheet(
        widest,
        top + deepest + _LABEL_MM,
        tuple(placed),
        f"{len(placed)} outlines at one scale from the lowest estimated dry matter "
        f"({first.label} %, {first.name}) to the highest ({last.label} %, {last.name}).",
    )
