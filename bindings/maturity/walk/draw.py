"""The trees of a walk, drawn at random and spread over the block."""

from __future__ import annotations

from maturity import _core
from maturity.walk.tree_map import BlockTree, TreeMap


def draw_trees(trees: TreeMap, eligible: list[int], count: int, seed: int) -> tuple[list[int], str]:
    """Indices of the trees drawn, and how."""
    where = [trees.places[index][1:] for index in eligible]
    drawn = _core.draw_balanced_trees(where, count=count, seed=seed)
    over = "the map" if trees.in_metres else "the rows as counted"
    return [eligible[one] for one in drawn], f"spread over {over}, equal chance for every tree"


def trees_left_out(trees: list[BlockTree], eligible: int, without_edge_rows: bool) -> list[str]:
    """What the draw was not made from, in words."""
    excluded = sum(tree.excluded for tree in trees)
    edge = len(trees) - excluded - eligible
    said = [f"{_trees(excluded)} that trees.csv excludes"] if excluded else []
    if without_edge_rows:
        said.append(f"{_trees(edge)} of the first and the last row, as asked")
    return said


def _trees(count: int) -> str:
    return "1 tree" if count == 1 else f"{count} trees"
