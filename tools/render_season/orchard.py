"""The invented orchard: blocks, trees, and the true dry matter and shape of every sampled fruit.

Everything here is invented for the demo; no real orchard, cultivar or person is meant. The map
position lies in empty desert on purpose.
"""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

import numpy as np

from fruit_shape import Shape, ShapeParameters

SEED = 20251121
VERSION = "1"
ORCHARD = "Larkspur Flat"
CULTIVAR = "Velorine"
VISITS = (datetime.date(2025, 11, 11), datetime.date(2025, 11, 21))

#: Between-fruit SD of dry matter in a block (%), and the share of its variance between trees.
DM_SD, TREE_SHARE = 1.2, 0.25
#: How the common shape signal follows dry matter: noise SD against a signal of SD 1.
SHAPE_NOISE_SD = 1.1
#: What else moves each shape parameter, in units of the common signal.
OWN_NOISE_SD = 0.6


@dataclass(frozen=True)
class Block:
    """A block: its layout, and the true mean dry matter (%) at the two visits."""

    name: str
    rows: int
    trees_per_row: int
    lat: float
    lon: float
    mean_dm_pct: tuple[float, float]
    photos: tuple[int, int]
    number: int

    @property
    def trees(self) -> int:
        """Number of trees."""
        return self.rows * self.trees_per_row


ROW_SPACING_M, TREE_SPACING_M = 8.0, 5.0

BLOCKS = (
    Block("Weir", 10, 18, -20.5012, 124.8031, (12.4, 13.3), (5, 6), 1),
    Block("Quarry", 8, 20, -20.5046, 124.8079, (14.0, 15.0), (5, 6), 2),
    Block("Saddle", 12, 15, -20.5081, 124.8024, (16.3, 17.2), (5, 6), 3),
)


@dataclass
class Fruit:
    """One sampled fruit and what is true of it."""

    block: str
    tree: int
    date: datetime.date
    number: int
    dm_pct: float
    signal: float
    shape: Shape
    mass_g: float = 0.0
    photo: str | None = None


@dataclass
class BlockVisit:
    """The sample of one block at one visit: trees in the order walked, and their fruit."""

    block: Block
    visit: int
    trees: list[int] = field(default_factory=list)
    photographed: list[list[Fruit]] = field(default_factory=list)
    without_photo: list[Fruit] = field(default_factory=list)

    @property
    def date(self) -> datetime.date:
        """Day of the visit."""
        return VISITS[self.visit]

    @property
    def all_fruit(self) -> list[Fruit]:
        """Every sampled fruit."""
        return [fruit for group in self.photographed for fruit in group] + self.without_photo


def generator(*key: int) -> np.random.Generator:
    """A random stream of its own for each part, so that a change in one leaves the others alone."""
    return np.random.default_rng([SEED, *key])


def tree_effects(block: Block) -> np.ndarray:
    """True effects (%) of all trees of a block, scaled to mean 0 and their stated SD exactly."""
    draws = generator(1, block.number).standard_normal(block.trees)
    draws = (draws - draws.mean()) / draws.std()
    return draws * DM_SD * np.sqrt(TREE_SHARE)


def excluded_trees(block: Block) -> set[int]:
    """Trees that are not sampled: replants and sick ones."""
    return set((1 + generator(2, block.number).permutation(block.trees)[:4]).tolist())


def shape_of(dm_pct: float, rng: np.random.Generator) -> tuple[float, ShapeParameters]:
    """Common shape signal and the parameters of one fruit.

    With maturity the ends become alike, the nose rounds, the beak fades, the shoulders fill and a
    hollow forms at the stem (common practice, no source for the amounts: they are invented).
    """
    signal = (dm_pct - 15.0) / DM_SD + SHAPE_NOISE_SD * rng.standard_normal()
    own = signal + OWN_NOISE_SD * rng.standard_normal(8)
    # Flattens out at both ends, so that shapes stay possible; monotone all the way.
    s = 4.0 * np.tanh(own / 4.0)
    length = float(np.clip(rng.normal(113, 6), 98, 128))
    width = length / float(np.clip(rng.normal(1.33 - 0.008 * s[7], 0.045), 1.18, 1.5))
    shape = ShapeParameters(
        length_mm=length,
        width_mm=width,
        thickness_mm=width * float(np.clip(rng.normal(0.82, 0.03), 0.74, 0.9)),
        shoulder_ventral=2.12 + 0.10 * s[0],
        shoulder_dorsal=2.20 + 0.08 * s[1],
        nose_ventral=1.88 + 0.05 * s[2],
        nose_dorsal=1.98 + 0.06 * s[3],
        stem_hollow=float(0.010 * np.log1p(np.exp(1.1 * s[4])) / 1.1),
        beak_prominence=float(0.010 * np.log1p(np.exp(1.4 - 0.9 * s[5]))),
        beak_angle_deg=float(rng.normal(40, 3)),
        sinus_depth=float(0.0045 * np.log1p(np.exp(0.6 - 0.9 * s[6]))),
        end_balance=0.115 - 0.022 * s[7],
        bend=float(rng.normal(0.025, 0.008)),
        fullness=float(np.clip(rng.normal(0.10, 0.02), 0.04, 0.16)),
    )
    return float(signal), shape
