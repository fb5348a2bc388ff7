"""Boards for tools/studies: number tiles, nothing else, nothing wrong; no fruit of the season."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import numpy as np

from develop import PhoneSettings
from fruit_shape import Shape, Solid
from layout import TILE_MM
from orchard import VISITS, Fruit
from picture import render_linear, write_photo
from plan import PhotoPlan, draw_markers, lay_board
from sampling import DENSITY

GROUNDS = ("soil", "concrete", "grass")


def study_fruit(
    block: str, board: int, number: int, dm_pct: float, signal: float, shape: Shape
) -> Fruit:
    """One fruit of a board (from 0), weighed by its volume."""
    mass = Solid(shape).volume_mm3() / 1000 * DENSITY
    return Fruit(block, board + 1, VISITS[0], number, dm_pct, signal, shape, mass)


def plan_board(
    rng: np.random.Generator,
    fruit: list[Fruit],
    stems_mm: list[float],
    *,
    index: int,
    name: str,
    at: datetime.time,
    light: str,
    board_kind: str,
    ground: str,
) -> PhotoPlan:
    """Fruit laid anyhow, a camera above them; `index` sets what the skins look like."""
    wishes: dict[str, Any] = {
        "problem": None,
        "tiles": True,
        "tree_card": False,
        "random_turn": True,
        "things": [],
        "stems_mm": stems_mm,
    }
    laid, camera, tilt = lay_board(rng, fruit, (2000, 1500), wishes)
    assert all(card.size == TILE_MM for card in laid.cards)
    return PhotoPlan(
        index=index,
        name=name,
        block=fruit[0].block,
        tree=fruit[0].tree,
        taken_at=datetime.datetime.combine(VISITS[0], at),
        fruit=fruit,
        board=laid,
        camera=camera,
        tilt_deg=tilt,
        light=light,
        board_kind=board_kind,
        ground=ground,
        tiles=True,
        tree_card=False,
        markers=draw_markers(rng),
    )


def photograph(plan: PhotoPlan, scene: dict[str, Any], work: Path, samples: int) -> None:
    """Render (unless it is there), develop and save as `work`/photos/NAME."""
    picture = render_linear(plan, scene, work, samples)
    phone = PhoneSettings(light=plan.light, taken_at=plan.taken_at)
    write_photo(plan, picture, work / "photos" / plan.name, phone)
