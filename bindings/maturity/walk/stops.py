"""The stops of a walk: trees in walking order, and where in each the fruit are taken."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.walk.tree_map import BlockTree, TreeMap

#: Sides as a person who comes along the row sees them, and heights.
SIDES = ("near", "ahead", "far", "behind")
HEIGHTS = ("low", "middle", "high")
_CANOPY_TURN = len(SIDES) * len(HEIGHTS)


@dataclass(frozen=True)
class TakenFruit:
    """A fruit to take: its number on the tile, where it hangs, and whether it is dried."""

    fruit: int
    side: str
    height: str
    dry: bool


@dataclass(frozen=True)
class Stop:
    """A tree to stop at."""

    number: int
    row: str
    tree: str
    lat: float | None
    lon: float | None
    fruit: tuple[TakenFruit, ...]

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {
            "stop": self.number,
            "row": self.row,
            "tree": self.tree,
            "lat": self.lat,
            "lon": self.lon,
            "fruit": [vars(one) for one in self.fruit],
        }


@dataclass(frozen=True)
class Round:
    """One round of a walk.

    Attributes
    ----------
    path : list of BlockTree
        Trees where the way goes on or turns.
    path_places : list of (float, float)
        The same along and across the rows.
    length_m : float or None
        None: spacings and positions are not known.
    """

    stops: list[Stop]
    path: list[BlockTree]
    path_places: list[tuple[float, float]]
    length_m: float | None

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {"length_m": self.length_m, "stops": [stop.to_dict() for stop in self.stops]}


def make_rounds(
    trees: TreeMap, drawn: list[int], design: _core.WalkDesign, *, rounds: int, seed: int
) -> tuple[list[Round], float | None]:
    """The rounds of a walk, and its length if walked in one go.

    Raises
    ------
    ValueError
        More rounds than trees.
    """
    where = [trees.places[index][1:] for index in drawn]
    dealt = _core.deal_into_rounds(where, rounds=rounds, seed=seed)
    dried = _core.draw_dried_fruit(
        len(drawn), fruit=design.fruit_per_tree, dried=design.oven_per_tree, seed=seed
    )
    made: list[Round] = []
    number = 0
    for members in dealt:
        route = _core.serpentine_route(trees.places, [drawn[one] for one in members])
        stops = []
        for index in route.order:
            first = number * design.fruit_per_tree
            fruit = tuple(
                _taken(one, first, one in dried[number], seed)
                for one in range(design.fruit_per_tree)
            )
            tree = trees.trees[index]
            number += 1
            stops.append(Stop(number, tree.row, tree.tree, tree.lat, tree.lon, fruit))
        made.append(
            Round(
                stops,
                [trees.trees[index] for index in route.path],
                [trees.places[index][1:] for index in route.path],
                route.length_m if trees.in_metres else None,
            )
        )
    whole = _core.serpentine_route(trees.places, drawn).length_m if trees.in_metres else None
    return made, whole


def _taken(one: int, first: int, dry: bool, seed: int) -> TakenFruit:
    side, height = _core.canopy_place(first + one, start=seed % _CANOPY_TURN)
    return TakenFruit(one + 1, SIDES[side], HEIGHTS[height], dry)
