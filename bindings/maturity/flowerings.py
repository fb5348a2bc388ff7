"""Flowerings of a block: which fruit are of which, and what share of the crop each is."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from maturity import _core
from maturity.block_visit import in_100
from maturity.flowering_rows import not_yet_alone, ready_alone
from maturity.joining import FruitKey, SampledFruit
from maturity.season.checks import fruit_counted
from maturity.season.season import Season
from maturity.season.table import Row

#: Where trees.csv lists so many of the trees that blocks.csv says bear, its counts are those of the
#: whole block (a choice of this program); fewer are a sample of it.
_WHOLE_BLOCK = 0.9


@dataclass
class BlockFlowerings:
    """What the tables say of the flowerings of one block.

    Attributes
    ----------
    of_tree : dict of str to str
        Flowering of each tree that trees.csv lists and does not exclude, where it is given.
    of_fruit : dict of FruitKey to str
        Flowering of single fruit, of fruit.csv, whatever the visit and whether or not read.
    picked : list of date
        Days on which picked.csv has loads of the block.
    crop : dict of str to float
        Fruit on each tree, where every tree of the table has its flowering and its count.
    why_not_counted : str or None
        Why `crop` is empty, in words.
    of_block : float
        How much of the block's trees `crop` has: 1 all, 0 where blocks.csv does not say how many
        bear.
    bearing : int or None
        Trees that bear, by blocks.csv.
    unread : set of str
        Flowerings in rows of trees.csv that were left out for another cell: they hang there too.
    """

    of_tree: dict[str, str] = field(default_factory=dict)
    of_fruit: dict[FruitKey, str] = field(default_factory=dict)
    picked: list[datetime.date] = field(default_factory=list)
    crop: dict[str, float] = field(default_factory=dict)
    why_not_counted: str | None = None
    of_block: float = 0.0
    bearing: int | None = None
    unread: set[str] = field(default_factory=set)

    def of(self, fruit: SampledFruit) -> str:
        """The fruit's own, else its tree's; blank: not known."""
        return self.of_fruit.get(fruit.key) or self.of_tree.get(fruit.key[1]) or ""

    def names(self, sample: Sequence[SampledFruit]) -> list[str]:
        """Flowerings known by the day of these fruit, numbers in their order.

        Those of the trees, left-out rows too, of these fruit, and of fruit.csv since the last pick:
        a flowering that was seen and not sampled again still hangs there.
        """
        first, last = self._span(sample)
        seen = {name for key, name in self.of_fruit.items() if first < key[2] <= last}
        known = {*self.of_tree.values(), *map(self.of, sample), *seen, *self.unread} - {""}
        return sorted(known, key=lambda name: (_in_order(name), name))

    def trees_left(self, sample: Sequence[SampledFruit]) -> dict[str, int] | None:
        """Trees with fruit that gave none of these, by flowering; None: not all are listed."""
        if self.of_block < 1.0 or not self.crop:
            return None
        sampled = {one.key[1] for one in sample}
        left = [
            self.of_tree[tree] for tree, crop in self.crop.items() if crop and tree not in sampled
        ]
        return {name: left.count(name) for name in self.names(sample)}

    def left_behind(self, sample: Sequence[SampledFruit]) -> str | None:
        """Which flowerings are forgotten for a pick since, in words."""
        first, _ = self._span(sample)
        names = self.names(sample)
        gone = {one for key, one in self.of_fruit.items() if key[2] <= first} - {*names}
        if not gone:
            return None
        which = ", ".join(sorted(gone, key=lambda name: (_in_order(name), name)))
        return f"flowering {which}, seen before the pick of {first}, is not reckoned with any more"

    def _span(self, sample: Sequence[SampledFruit]) -> tuple[datetime.date, datetime.date]:
        """The last pick before the day of these fruit, and that day."""
        last = max(one.key[2] for one in sample)
        return max((day for day in self.picked if day < last), default=datetime.date.min), last


def _in_order(name: str) -> list[tuple[int, int, str]]:
    """A key that puts 2 before 10; numbers of any length."""
    parts = re.findall(r"[0-9]+|[^0-9]+", name)
    bare = [part.lstrip("0") if "0" <= part[0] <= "9" else None for part in parts]
    return [(1, 0, part) if n is None else (0, len(n), n) for part, n in zip(parts, bare)]


def block_flowerings(season: Season, block: Row) -> BlockFlowerings | None:
    """What the tables say; None where they name no flowering in this block."""
    found = BlockFlowerings()
    own = [row for row in season.tables["trees"].rows if row["block"] == block["block"]]
    trees = [row for row in own if not row["excluded"]]
    excluded = {row["tree"] for row in own if row["excluded"]}
    found.of_tree = {row["tree"]: row["flowering"] for row in trees if row["flowering"]}
    found.of_fruit = {
        (row["block"], row["tree"], row["date"], row["fruit"]): row["flowering"]
        for row in season.tables["fruit"].rows
        if row["block"] == block["block"] and row["flowering"] and row["tree"] not in excluded
    }
    found.unread = {
        row["flowering"]
        for row in season.tables["trees"].left_out
        if row["block"] == block["block"] and row["flowering"] and not row["excluded"]
    }
    if not (found.of_tree or found.of_fruit or found.unread):
        return None
    found.picked = [
        row["date"] for row in season.tables["picked"].rows if row["block"] == block["block"]
    ]
    found.why_not_counted = _why_not_counted(trees, found)
    if found.why_not_counted is None:
        found.crop = {row["tree"]: float(row["crop"]) for row in trees}
    if block["trees_bearing"]:
        part = len(trees) / block["trees_bearing"]
        found.of_block = 1.0 if part >= _WHOLE_BLOCK else part
        found.bearing = block["trees_bearing"]
    return found


def _why_not_counted(trees: list[Row], found: BlockFlowerings) -> str | None:
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
    other = sum(found.of_tree.get(key[1]) != name for key, name in found.of_fruit.items())
    if other:
        return f"{other} fruit of fruit.csv are of another flowering than their tree"
    return None


def estimate_flowerings(
    question: _core.BlockQuestion,
    sample: Sequence[SampledFruit],
    known: BlockFlowerings | None,
) -> _core.JoinedEstimate | None:
    """Each flowering apart and the block joined; None where all are of one.

    One name alone, beside more than a few fruit without any, is two flowerings of which one was not
    written down: that keeps "ready" back.

    Raises
    ------
    ValueError
        As `maturity.estimate_block`.
    """
    if known is None or not sample:
        return None
    names, of_fruit = known.names(sample), [known.of(one) for one in sample]
    few = of_fruit.count("") <= _core.most_without_flowering * len(of_fruit)
    if not names or (len(names) == 1 and few):
        return None
    every = set(known.of_tree.values()) == set(names) and _stand_for_block(known, sample)
    counted = list(known.crop) if every else []
    made = [
        _core.estimate_flowerings(
            question,
            names=names,
            of_fruit=of_fruit,
            drawn_at_random=drawn,
            of_tree=[known.of_tree[tree] for tree in counted],
            crop=[known.crop[tree] for tree in counted],
            of_block=known.of_block,
        )
        for drawn in _drawn_at_random(sample, bool(counted))
    ]
    return min(made, key=lambda one: (one.block.decision == "ready", one.block.readiness or 0.0))


def _stand_for_block(known: BlockFlowerings, sample: Sequence[SampledFruit]) -> bool:
    """Counted trees that are all of the block, or may be taken for drawn at random from it.

    Some of more trees are, where each gave fruit to this visit; others were listed for a reason
    that is not known.
    """
    if known.of_block == 1.0:
        return True
    if len(known.crop) < _core.fewest_share_trees:
        return False
    return known.of_block == 0.0 or set(known.crop) <= {one.key[1] for one in sample}


def _drawn_at_random(sample: Sequence[SampledFruit], counted: bool) -> list[list[bool]]:
    """Which fruit speak for shares of the crop; twice where the tables leave it open.

    Oven fruit picked on purpose that were photographed or metered too may be some of a sample drawn
    at random, or have been added to it.
    """
    purpose = [bool(one.oven and one.oven.picked_on_purpose) for one in sample]
    others = [not one for one in purpose]
    every = [not one or bool(f.meters or f.shape) for one, f in zip(purpose, sample)]
    return [others] if counted or every == others else [others, every]


def flowering_notes(
    joined: _core.JoinedEstimate | None,
    known: BlockFlowerings | None,
    sample: Sequence[SampledFruit],
) -> list[str]:
    """How the flowerings were joined, and which are forgotten, as notes of the visit."""
    gone = known.left_behind(sample) if known is not None and sample else None
    notes = [] if gone is None else [gone]
    if joined is None:
        return notes
    notes += [] if "flowering_blocked" in joined.block.reasons else list(joined.sentences)
    if joined.crop_share_sentence is not None:
        notes.append(joined.crop_share_sentence)
    if known is not None:
        notes += _counting_notes(joined, known, sample)
    if joined.crop_share_source == "sampled" and len(_drawn_at_random(sample, False)) > 1:
        notes.append(
            "shares of the crop with or without the fruit picked on purpose, whichever makes the "
            "block less ready: count the trees"
        )
    notes += [
        f"flowering {name} by itself is not yet mature: the crop as a whole meets the rule"
        for name in not_yet_alone(joined)
    ]
    notes += ready_alone(joined)
    return [note.rstrip(".") for note in notes]


def _without_fruit(known: BlockFlowerings, name: str) -> bool:
    """No fruit were counted on its trees, and there are some."""
    crop = [known.crop[tree] for tree, own in known.of_tree.items() if own == name]
    return bool(crop) and not any(crop)


def _counting_notes(
    joined: _core.JoinedEstimate, known: BlockFlowerings, sample: Sequence[SampledFruit]
) -> list[str]:
    """Why the crop of trees.csv is not used, or how much of the block it was taken for."""
    listed = f"{len(known.crop)} trees of trees.csv"
    if joined.crop_share_source == "counted_on_some":
        if known.of_block == 0.0:
            return [
                f"blocks.csv gives no trees_bearing: the {listed} are taken for a random draw of "
                "more; if they are all, write how many bear and the shares are known better"
            ]
        return [f"the {listed} are {in_100(100 * known.of_block)} in 100 of those that bear"]
    if joined.crop_share_source == "counted":
        with_fruit = sum(one > 0.0 for one in known.crop.values())
        if known.bearing is None or with_fruit <= known.bearing:
            return []
        return [
            f"trees.csv counts fruit on {with_fruit} trees, more than the {known.bearing} that "
            "blocks.csv says bear: one of the two is wrong, and these are taken for all"
        ]
    if known.why_not_counted:
        return [f"crop not counted: {known.why_not_counted}"]
    if _stand_for_block(known, sample):
        bare = [name for name in known.names(sample) if _without_fruit(known, name)]
        return [
            f"crop not counted: no fruit on the few trees of flowering {name} in trees.csv, and "
            "blocks.csv does not say that these are all (trees_bearing)"
            for name in bare
        ]
    if len(known.crop) < _core.fewest_share_trees:
        return [f"crop not counted: {listed} are too few to stand for a block"]
    return [
        f"crop not counted: the {listed} are not all of the block, and not all were sampled on "
        "this visit: whether they stand for it is not known"
    ]
