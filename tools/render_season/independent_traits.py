"""Fruit of one cultivar whose traits are drawn independently of each other, on boards of seven.

In the season one signal of maturity moves all traits together, so a descriptor may owe its order to
a neighbour's. Here nobody's beak, nose or shoulder tells of its hollow. None of these fruit is in
the sample season or in the pairs: their random streams are their own.
"""

from __future__ import annotations

import datetime
from collections.abc import Callable
from typing import Any

import numpy as np

from curved_shape import CurvedShape
from fruit_shape import ShapeParameters
from orchard import BLOCKS, DM_SD, Fruit, generator
from plan import BOARD_KINDS, PhotoPlan, scene_values, stem_lengths
from study_boards import GROUNDS, plan_board, study_fruit

FRUIT_PER_BOARD = 7
LIGHTS = ("overcast", "sun", "window")


def _between(rng: np.random.Generator) -> Callable[[float, float], float]:
    return lambda low, high: float(rng.uniform(low, high))


def _sizes(rng: np.random.Generator, lowest: float, highest: float) -> dict[str, float]:
    """Length, width and thickness (mm) for an elongation between two bounds."""
    length = float(rng.uniform(104, 122))
    width = length / float(rng.uniform(lowest, highest))
    thickness = width * float(np.clip(rng.normal(0.82, 0.03), 0.74, 0.9))
    return {"length_mm": length, "width_mm": width, "thickness_mm": thickness}


def _of_the_season(rng: np.random.Generator) -> ShapeParameters:
    between = _between(rng)
    return ShapeParameters(
        **_sizes(rng, 1.22, 1.45),
        shoulder_ventral=between(1.85, 2.6),
        shoulder_dorsal=between(1.85, 2.6),
        nose_ventral=between(1.7, 2.2),
        nose_dorsal=between(1.7, 2.2),
        stem_hollow=between(0.0, 0.03),
        beak_prominence=between(0.0, 0.045),
        beak_angle_deg=float(rng.normal(40, 3)),
        sinus_depth=between(0.0, 0.02),
        end_balance=between(0.04, 0.20),
        bend=float(rng.normal(0.025, 0.008)),
        fullness=float(np.clip(rng.normal(0.10, 0.02), 0.04, 0.16)),
    )


def _of_curves(rng: np.random.Generator) -> CurvedShape:
    between = _between(rng)
    return CurvedShape(
        **_sizes(rng, 1.22, 1.50),
        shoulder_ventral=between(0.50, 0.70),
        shoulder_dorsal=between(0.50, 0.70),
        nose=between(0.44, 0.62),
        widest=between(0.40, 0.50),
        flank=between(0.52, 0.58),
        bow=between(0.0, 0.03),
        stem_place=between(-0.03, 0.06),
        stem_hollow=between(0.0, 0.035),
        hollow_width=between(0.09, 0.13),
        beak_prominence=between(0.0, 0.04),
        beak_width=between(0.045, 0.075),
        beak_place=between(0.76, 0.84),
        sinus_depth=between(0.0, 0.025),
        sinus_width=between(0.07, 0.11),
        sinus_gap=between(0.14, 0.19),
        wave_seed=int(rng.integers(1 << 31)),
        fullness=float(np.clip(rng.normal(0.10, 0.02), 0.04, 0.16)),
    )


#: Outline makers; boards take turns with them, and each of them with the lights.
MODELS: dict[str, Callable[[np.random.Generator], ShapeParameters | CurvedShape]] = {
    "season": _of_the_season,
    "curves": _of_curves,
}


def draw_shape(model: str, rng: np.random.Generator) -> ShapeParameters | CurvedShape:
    """A fruit of one of MODELS, all of its traits drawn independently."""
    return MODELS[model](rng)


def traits_of(shape: ShapeParameters | CurvedShape) -> dict[str, float]:
    """What descriptors are named after, under the same names for both models.

    On another scale for each: compare fruit of one model only. Larger end balance: stem end broader
    (curves: the widest place nearer to the stem).
    """
    if isinstance(shape, CurvedShape):
        nose, end_balance = shape.nose, -shape.widest
    else:
        nose, end_balance = (shape.nose_ventral + shape.nose_dorsal) / 2, shape.end_balance
    return {
        "shoulder_ventral": shape.shoulder_ventral,
        "shoulder_dorsal": shape.shoulder_dorsal,
        "nose": nose,
        "stem_hollow": shape.stem_hollow,
        "beak_prominence": shape.beak_prominence,
        "sinus_depth": shape.sinus_depth,
        "end_balance": end_balance,
        "elongation": shape.length_mm / shape.width_mm,
    }


def model_of(board: int) -> str:
    """Which outline maker a board's fruit come from."""
    return list(MODELS)[board % len(MODELS)]


def draw_fruit(board: int) -> list[Fruit]:
    """Fruit of one board. Dry matter only colours the skin, whatever the shape."""
    rng = generator(31, board)
    block = BLOCKS[board % len(BLOCKS)]
    fruit = []
    for number in range(1, FRUIT_PER_BOARD + 1):
        dm_pct = float(15 + 2 * DM_SD * rng.standard_normal())
        shape = draw_shape(model_of(board), rng)
        fruit.append(study_fruit(block.name, board, number, dm_pct, 0.0, shape))
    return fruit


def plan_traits(board: int) -> tuple[PhotoPlan, dict[str, Any]]:
    """Plan and scene of one board (from 0)."""
    fruit = draw_fruit(board)
    rng = generator(32, board)
    plan = plan_board(
        rng,
        fruit,
        stem_lengths(rng, len(fruit)),
        index=1000 + board,
        name=f"board_{board + 1:03d}.jpg",
        at=datetime.time(7 + board // 60 % 12, board % 60),
        light=LIGHTS[board // len(MODELS) % len(LIGHTS)],
        board_kind=BOARD_KINDS[3 * board % len(BOARD_KINDS)],
        ground=GROUNDS[(board + board // 3) % len(GROUNDS)],
    )
    return plan, scene_values(plan)
