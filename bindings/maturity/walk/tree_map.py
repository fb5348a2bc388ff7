"""The trees of a block, in rows: from trees.csv, or counted from blocks.csv."""

from __future__ import annotations

import math
import re
import statistics
from dataclasses import dataclass, field

from maturity import _core
from maturity.season.season import Season
from maturity.season.table import Row

#: A tree farther than this from every other one of its block is taken for a slip of its position:
#: a choice of this program; trees of a block stand metres apart.
_FARTHEST_NEIGHBOUR_M = 300.0
#: A degree of latitude, m, roughly.
_DEGREE_M = 111_000.0

#: Row in walking order from 0, metres along the row, metres across the rows.
Place = tuple[int, float, float]


@dataclass(frozen=True)
class BlockTree:
    """A tree of a block; `lat` and `lon` are None where not known."""

    row: str
    tree: str
    excluded: bool = False
    lat: float | None = None
    lon: float | None = None


@dataclass
class TreeMap:
    """All trees of a block with their places.

    Attributes
    ----------
    places : list
        Of each tree; along and across count trees and rows where `in_metres` is False.
    has_positions : bool
        True when every tree has a latitude and a longitude.
    notes : list of str
        What is missing, and what was done instead.
    """

    block: str
    trees: list[BlockTree]
    places: list[Place]
    in_metres: bool
    has_positions: bool
    notes: list[str] = field(default_factory=list)

    def may_be_drawn(self, *, without_edge_rows: bool) -> list[int]:
        """Indices of the trees that may be drawn."""
        last = max(row for row, _, _ in self.places)
        return [
            index
            for index, (tree, place) in enumerate(zip(self.trees, self.places))
            if not tree.excluded and not (without_edge_rows and place[0] in (0, last))
        ]


def block_trees(season: Season, block: Row) -> TreeMap:
    """The trees of a block.

    Raises
    ------
    ValueError
        Neither trees.csv nor blocks.csv says which trees there are, or most of the block's rows in
        trees.csv could not be used.
    """
    name = block["block"]
    listed = [row for row in season.tables["trees"].rows if row["block"] == name]
    notes = _unusable_rows(season, name, len(listed))
    if listed:
        trees = [
            BlockTree(row["row"], row["tree"], bool(row["excluded"]), row["lat"], row["lon"])
            for row in listed
        ]
        notes += _missing_rows(block, trees)
    elif block["rows"] and block["trees_per_row"]:
        trees = [
            # Not 3-10 alone: a spreadsheet would make a day of it.
            BlockTree(str(row), f"R{row}-{place}")
            for row in range(1, block["rows"] + 1)
            for place in range(1, block["trees_per_row"] + 1)
        ]
        notes.append(
            "trees.csv does not list this block: R3-10 is the tenth tree of row 3, counted from "
            "the end where row 1 begins; where one is missing or dead, write so and leave it out"
        )
    else:
        raise ValueError(
            f"block {name}: no trees known; expected rows in trees.csv, or rows and trees_per_row "
            "in blocks.csv"
        )
    return _placed(block, trees, notes)


def _unusable_rows(season: Season, block: str, listed: int) -> list[str]:
    """Rows of trees.csv that were left out; an error where what is left is no list of the block.

    Counting the trees from blocks.csv instead would draw trees that trees.csv excludes.
    """
    lost = [row for row in season.tables["trees"].left_out if row.get("block") == block]
    if len(lost) > listed:
        raise ValueError(
            f"block {block}: {len(lost)} of {len(lost) + listed} rows of trees.csv could not be "
            "used (the problems in the files say why); expected each tree once, under a name of "
            "its own in the block: where trees are numbered anew in each row, write row-tree, as "
            "2-7"
        )
    if not lost:
        return []
    return [
        f"{len(lost)} rows of trees.csv could not be used (the problems in the files say why): "
        "these trees cannot be drawn"
    ]


def _missing_rows(block: Row, trees: list[BlockTree]) -> list[str]:
    """Rows that blocks.csv counts and trees.csv does not hold, and rows that are too short."""
    notes = []
    rows = list(dict.fromkeys(tree.row for tree in trees))
    if block["rows"] is not None and len(rows) != block["rows"]:
        absent = [str(n) for n in range(1, block["rows"] + 1) if str(n) not in rows]
        which = f": row {', '.join(absent)} missing" if absent else ""
        notes.append(
            f"blocks.csv counts {block['rows']} rows, trees.csv lists {len(rows)}{which}; only "
            "listed trees can be drawn, and the result is about them"
        )
    return notes


def _placed(block: Row, trees: list[BlockTree], notes: list[str]) -> TreeMap:
    rows = _row_order(trees)
    points = [(one.lat, one.lon) for one in trees if one.lat is not None and one.lon is not None]
    lost: dict[int, float] = {}
    if len(points) == len(trees):
        lost = _strays(points)
        if not lost:
            local = _core.local_places(points)
            places = _core.trees_in_rows([rows[tree.row] for tree in trees], local)
            return TreeMap(block["block"], trees, places, True, True, notes)
        names = ", ".join(f"{trees[one].tree} ({far:.0f} m)" for one, far in lost.items())
        notes.append(
            f"tree {names}: farther than {_FARTHEST_NEIGHBOUR_M:.0f} m from every other tree of "
            "the block, so lat and lon in trees.csv are likely to be slips; no position is used, "
            "places are counted along the rows"
        )
    elif points:
        notes.append(
            f"{len(trees) - len(points)} of {len(trees)} trees have no position in trees.csv: "
            "places are counted along the rows"
        )
    spacing = (block["tree_spacing_m"], block["row_spacing_m"])
    in_metres = spacing[0] is not None and spacing[1] is not None
    along, across = spacing if in_metres else (1.0, 1.0)
    ranks = {row: _tree_order([one.tree for one in trees if one.row == row]) for row in rows}
    numbered = _row_numbers(rows)
    places = [
        (rows[tree.row], ranks[tree.row][tree.tree] * along, numbered[tree.row] * across)
        for tree in trees
    ]
    unsorted = [row for row in rows if not _numbers([one.tree for one in trees if one.row == row])]
    if unsorted:
        notes.append(
            f"row {', '.join(unsorted)}: tree names do not end in numbers, and trees are taken to "
            "stand as trees.csv lists them"
        )
    if not all(row.isdecimal() for row in rows):
        notes.append(
            "rows are not named by numbers: they are taken to lie side by side as trees.csv lists "
            "them, without a gap"
        )
    short = [row for row, order in ranks.items() if len(order) < (block["trees_per_row"] or 0)]
    if short:
        notes.append(
            f"row {', '.join(short)}: fewer trees than trees_per_row of blocks.csv; without "
            "positions, gaps in a row are not seen and places after a gap are too near"
        )
    if not in_metres:
        notes.append(
            "no positions and no spacings: trees are spread over the rows and places as counted, "
            "and the length of the walk is not known"
        )
    return TreeMap(block["block"], trees, places, in_metres, False, notes)


def _strays(points: list[tuple[float, float]]) -> dict[int, float]:
    """Trees far from every other one, with the rough distance to the nearest, m."""
    if len(points) < 2:
        return {}
    lat, lon = (statistics.median(one[axis] for one in points) for axis in (0, 1))
    east = _DEGREE_M * math.cos(math.radians(lat))
    places = [((one[1] - lon) * east, (one[0] - lat) * _DEGREE_M) for one in points]
    reach = [math.hypot(*one) for one in places]
    # Only what lies outside the bulk of the block can be a slip, and few trees do.
    limit = max(_FARTHEST_NEIGHBOUR_M / 2, 3.0 * statistics.median(reach))
    found = {}
    for index, place in enumerate(places):
        if reach[index] > limit:
            nearest = min(math.dist(place, one) for k, one in enumerate(places) if k != index)
            if nearest > _FARTHEST_NEIGHBOUR_M:
                found[index] = nearest
    return found


def _row_order(trees: list[BlockTree]) -> dict[str, int]:
    """Rows by number where all are numbers, else as they are listed."""
    rows = list(dict.fromkeys(tree.row for tree in trees))
    if all(row.isdecimal() for row in rows):
        rows.sort(key=int)
    return {row: index for index, row in enumerate(rows)}


def _row_numbers(rows: dict[str, int]) -> dict[str, int]:
    """Rows counted across the block: by their own numbers, so that a missing row leaves its gap."""
    if not all(row.isdecimal() for row in rows):
        return rows
    first = min(int(row) for row in rows)
    return {row: int(row) - first for row in rows}


def _tree_order(names: list[str]) -> dict[str, int]:
    """Place of each tree of a row: by number where all names end in one, else as listed."""
    numbers = _numbers(names)
    order = sorted(names, key=lambda name: numbers[name]) if numbers else names
    return {name: place for place, name in enumerate(order)}


def _numbers(names: list[str]) -> dict[str, int]:
    """The number at the end of each name after one common beginning; empty where there is none."""
    found = {name: re.fullmatch(r"(.*?)(\d+)", name) for name in names}
    parts = {name: (one[1], int(one[2])) for name, one in found.items() if one is not None}
    if len(parts) < len(found) or len({start for start, _ in parts.values()}) > 1:
        return {}
    return {name: number for name, (_, number) in parts.items()}
