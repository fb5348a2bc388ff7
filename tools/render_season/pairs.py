"""The same fruit photographed twice: moved, turned, other light. For the study of repeatability.

None of these fruit is in the sample season: their random streams are their own.
"""

from __future__ import annotations

import datetime
from typing import Any

import numpy as np

from orchard import BLOCKS, DM_SD, Fruit, generator, shape_of
from plan import BOARD_KINDS, PhotoPlan, scene_values, stem_lengths
from study_boards import GROUNDS, plan_board, study_fruit

FRUIT_PER_BOARD = 5
#: Light of the first and of the second shot; every pair of unlike lights comes up.
_LIGHTS = (("overcast", "sun"), ("window", "overcast"), ("sun", "window"))
#: What belongs to a fruit and so is the same in both shots.
_OF_THE_FRUIT = (
    ("shape", "stem_mm", "stem_bend", "yellow", "blush", "blush_from", "pattern")
    + ("sap", "scars", "lenticels")
)  # fmt: skip


def _fruit(board: int) -> list[Fruit]:
    """Fruit of one board; boards take turns with the blocks and visits of the season."""
    rng = generator(21, board)
    visit = board % (2 * len(BLOCKS))
    block = BLOCKS[visit % len(BLOCKS)]
    mean = block.mean_dm_pct[visit // len(BLOCKS)]
    fruit = []
    for number in range(1, FRUIT_PER_BOARD + 1):
        dm_pct = float(mean + DM_SD * rng.standard_normal())
        signal, shape = shape_of(dm_pct, rng)
        fruit.append(study_fruit(block.name, board, number, dm_pct, signal, shape))
    return fruit


def _plan(board: int, shot: int, fruit: list[Fruit], stems_mm: list[float]) -> PhotoPlan:
    return plan_board(
        generator(22, board, shot),
        fruit,
        stems_mm,
        index=100 + 2 * board + shot,
        name=f"board_{board + 1:02d}_{'ab'[shot]}.jpg",
        at=datetime.time(8 + 6 * shot, board),
        light=_LIGHTS[board % 3][shot],
        board_kind=BOARD_KINDS[(2 * board + 3 * shot) % len(BOARD_KINDS)],
        ground=GROUNDS[(board + shot) % 3],
    )


def plan_pair(board: int) -> tuple[list[PhotoPlan], list[dict[str, Any]]]:
    """Plans and scenes of both shots of one board."""
    fruit = _fruit(board)
    stems_mm = stem_lengths(generator(23, board), len(fruit))
    plans = [_plan(board, shot, fruit, stems_mm) for shot in (0, 1)]
    scenes = [scene_values(plan) for plan in plans]
    for first, second in zip(scenes[0]["fruits"], scenes[1]["fruits"]):
        second.update({name: first[name] for name in _OF_THE_FRUIT})
    return plans, scenes


def other_cheek(plans: list[PhotoPlan]) -> np.ndarray:
    """For each fruit: was it turned over between the shots?"""
    first, second = (np.array([one.side for one in plan.board.fruit]) for plan in plans)
    turned: np.ndarray = first != second
    return turned
