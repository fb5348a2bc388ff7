"""Who was sampled: trees drawn at random, fruit on each, in the order of the walk."""

from __future__ import annotations

import numpy as np

from fruit_shape import Solid
from orchard import (
    DM_SD,
    TREE_SHARE,
    Block,
    BlockVisit,
    Fruit,
    excluded_trees,
    generator,
    shape_of,
    tree_effects,
)

#: Fresh density of the invented fruit, g/cm3.
DENSITY = 1.01


def _fruit(
    visit: BlockVisit, tree: int, number: int, effects: np.ndarray, rng: np.random.Generator
) -> Fruit:
    spread = DM_SD * np.sqrt(1 - TREE_SHARE)
    mean = visit.block.mean_dm_pct[visit.visit]
    dm_pct = float(mean + effects[tree - 1] + spread * rng.standard_normal())
    signal, shape = shape_of(dm_pct, rng)
    mass = Solid(shape).volume_mm3() / 1000 * DENSITY * float(rng.normal(1, 0.01))
    return Fruit(visit.block.name, tree, visit.date, number, dm_pct, signal, shape, mass)


def sample(block: Block, visit_number: int) -> BlockVisit:
    """The sample of one visit: one board of 4 to 8 fruit for each photographed tree, a few more."""
    rng = generator(3, block.number, visit_number)
    visit = BlockVisit(block, visit_number)
    bearing = [t for t in range(1, block.trees + 1) if t not in excluded_trees(block)]
    boards = block.photos[visit_number]
    drawn = [int(t) for t in rng.permutation(bearing)[: boards + 2]]
    visit.trees = sorted(drawn[:boards])
    effects = tree_effects(block)
    for tree in visit.trees:
        count = int(
            rng.choice([4, 5, 5, 5, 6, 6, 7, 8], p=[0.2, 0.15, 0.15, 0.15, 0.1, 0.1, 0.1, 0.05])
        )
        visit.photographed.append([_fruit(visit, tree, k + 1, effects, rng) for k in range(count)])
    for tree in sorted(drawn[boards:]):
        for k in range(2):
            visit.without_photo.append(_fruit(visit, tree, k + 1, effects, rng))
    return visit
