"""Flowerings of a block: which fruit are of which, and what share of the crop each is."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from maturity import _core
from maturity.joining import FruitKey, SampledFruit
from maturity.season.checks import fruit_counted
from maturity.season.season import Season
from maturity.season.table import Row

#: Where blocks.csv says how many trees bear, trees.csv must list so many of them before its counts
#: speak for the crop (a choice of this program).
_WHOLE_BLOCK = 0.9


@dataclass
class BlockFlowerings:
    """What the tables say of the flowerings of one block.

    Attributes
    ----------
    of_tree : dict of str to str
        Flowering of each tree that trees.csv lists and does not exclude, where it is given.
    of_fruit : dict of FruitKey to str
        Flowering of single fruit, of fruit.csv.
    crop : dict of str to float
        Fruit on each tree, where every tree of the table has its flowering and its count.
    why_not_counted : str or None
        Why `crop` is empty, in words.
    """

    of_tree: dict[str, str] = field(default_factory=dict)
    of_fruit: dict[FruitKey, str] = field(default_factory=dict)
    crop: dict[str, float] = field(default_factory=dict)
    why_not_counted: str | None = None

    def of(self, fruit: SampledFruit) -> str:
        """The fruit's own, else its tree's; blank: not known."""
        return self.of_fruit.get(fruit.key) or self.of_tree.get(fruit.key[1]) or ""

    def names(self, sample: Sequence[SampledFruit]) -> list[str]:
        """Flowerings of the block's trees and of these fruit, numbers in their order."""
        known = {*self.of_tree.values(), *map(self.of, sample)} - {""}
        return sorted(known, key=_in_order)


def _in_order(name: str) -> list[tuple[int, int, str]]:
    """A key that puts 2 before 10."""
    return [
        (0, int(part), "") if part.isdigit() else (1, 0, part)
        for part in re.findall(r"[0-9]+|[^0-9]+", name)
    ]


def block_flowerings(season: Season, block: Row) -> BlockFlowerings | None:
    """What the tables say; None where they name fewer than two flowerings in this block."""
    found = BlockFlowerings()
    trees = [
        row
        for row in season.tables["trees"].rows
        if row["block"] == block["block"] and not row["excluded"]
    ]
    found.of_tree = {row["tree"]: row["flowering"] for row in trees if row["flowering"]}
    found.of_fruit = {
        (row["block"], row["tree"], row["date"], row["fruit"]): row["flowering"]
        for row in season.tables["fruit"].rows
        if row["block"] == block["block"] and row["flowering"]
    }
    if len({*found.of_tree.values(), *found.of_fruit.values()}) < 2:
        return None
    found.why_not_counted = _why_not_counted(block, trees, found)
    if found.why_not_counted is None:
        found.crop = {row["tree"]: float(row["crop"]) for row in trees}
    return found


def _why_not_counted(block: Row, trees: list[Row], found: BlockFlowerings) -> str | None:
    if not trees:
        return "trees.csv lists no tree of this block"
    without = sum(row["flowering"] is None for row in trees)
    if without:
        return f"{without} of {len(trees)} trees have no flowering in trees.csv"
    blank = sum(row["crop"] is None for row in trees)
    if blank:
        return f"{blank} of {len(trees)} trees have no crop in trees.csv"
    words = sum(fruit_counted(row["crop"]) is None for row in trees)
    if words:
        return f"the crop of {words} of {len(trees)} trees is a word in trees.csv, not a count"
    if not any(fruit_counted(row["crop"]) for row in trees):
        return "trees.csv counts no fruit on any tree"
    bearing = block["trees_bearing"]
    if bearing and len(trees) < _WHOLE_BLOCK * bearing:
        return f"trees.csv lists {len(trees)} of {bearing} bearing trees"
    other = sum(found.of_tree.get(key[1]) != name for key, name in found.of_fruit.items())
    if other:
        return f"{other} fruit of fruit.csv are of another flowering than their tree"
    return None


def estimate_flowerings(
    question: _core.BlockQuestion,
    sample: Sequence[SampledFruit],
    known: BlockFlowerings | None,
) -> _core.JoinedEstimate | None:
    """Each flowering apart and the block joined; None where these fruit and trees name but one.

    Raises
    ------
    ValueError
        As `maturity.estimate_block`.
    """
    names = [] if known is None else known.names(sample)
    if known is None or len(names) < 2:
        return None
    counted = list(known.crop) if set(known.of_tree.values()) == set(names) else []
    return _core.estimate_flowerings(
        question,
        names=names,
        of_fruit=[known.of(one) for one in sample],
        drawn_at_random=[not (one.oven and one.oven.picked_on_purpose) for one in sample],
        of_tree=[known.of_tree[tree] for tree in counted],
        crop=[known.crop[tree] for tree in counted],
    )


def flowering_notes(joined: _core.JoinedEstimate, known: BlockFlowerings | None) -> list[str]:
    """How the flowerings were joined, as notes of the visit."""
    notes = [] if "flowering_blocked" in joined.block.reasons else list(joined.sentences)
    if joined.crop_share_sentence is not None:
        notes.append(joined.crop_share_sentence)
    if known is not None and known.why_not_counted and joined.crop_share_source != "counted":
        notes.append(f"crop not counted: {known.why_not_counted}")
    return [note.rstrip(".") for note in notes]
