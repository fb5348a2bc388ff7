"""Maps of blocks and trees, where every tree of a block has a position."""

from __future__ import annotations

import dataclasses
import statistics
from collections.abc import Sequence
from dataclasses import dataclass

from maturity import _core
from maturity.block_visit import DECISION_WORDS, BlockVisit
from maturity.scoring import SeasonScore
from maturity.walk.tree_map import TreeMap, block_trees

#: Width of a map's drawing, and the share of it that may be height.
_WIDTH, _TALLEST = 1000.0, 0.9
_MARGIN = 46.0
#: Height of a label's line and width of a letter, in units of the drawing.
_LINE, _LETTER = 30.0, 12.5


@dataclass(frozen=True)
class MapLabel:
    """A text at a place."""

    x: float
    y: float
    text: str


@dataclass(frozen=True)
class MapTree:
    """A sampled tree; `reaches` is None where its fruit have no estimate."""

    x: float
    y: float
    name: str
    dm_pct: float | None
    reaches: bool | None

    @property
    def text(self) -> str:
        """The tree in words."""
        if self.dm_pct is None:
            return f"tree {self.name}: not known"
        return f"tree {self.name}: {self.dm_pct:.1f} %"


@dataclass(frozen=True)
class SiteMap:
    """A drawing: all trees as one path of dots, sampled trees, labels, and the map in words."""

    width: float
    height: float
    dots: str
    dot_size: float
    trees: tuple[MapTree, ...]
    labels: tuple[MapLabel, ...]
    scale_bar: tuple[float, float, float, str]
    text: str


def site_map(score: SeasonScore) -> SiteMap | None:
    """All blocks whose trees have positions, each with its state; None where there is none."""
    maps = _positioned(score)
    if not maps:
        return None
    latest = {visit.block: visit for visit in reversed(score.latest())}
    states = {
        name: DECISION_WORDS[latest[name].decision] if name in latest else "no estimate"
        for name in maps
    }
    text = "; ".join(
        f"{name}: {states[name]}, {len(trees.trees)} trees" for name, trees in maps.items()
    )
    titles = {name: f"{name}: {state}" for name, state in states.items()}
    return _drawn(list(maps.values()), latest, titles, f"Map of blocks, north up. {text}.")


def block_map(score: SeasonScore, visit: BlockVisit) -> SiteMap | None:
    """The trees of one block with the dry matter of those sampled; None without positions."""
    maps = _positioned(score)
    if visit.block not in maps:
        return None
    drawn = _drawn([maps[visit.block]], {visit.block: visit}, {}, "")
    known = ", ".join(tree.text for tree in drawn.trees)
    text = f"Map of block {visit.block}, north up. Sampled on {visit.date}: {known}."
    return dataclasses.replace(drawn, text=text)


def _positioned(score: SeasonScore) -> dict[str, TreeMap]:
    maps = {}
    for block in score.season.tables["blocks"].rows:
        try:
            trees = block_trees(score.season, block)
        except ValueError:
            continue
        if trees.has_positions:
            maps[block["block"]] = trees
    return maps


def _drawn(
    maps: Sequence[TreeMap], visits: dict[str, BlockVisit], titles: dict[str, str], text: str
) -> SiteMap:
    points = [(tree.lat or 0.0, tree.lon or 0.0) for one in maps for tree in one.trees]
    places = _core.local_places(points)
    east, north = [x for x, _ in places], [y for _, y in places]
    wide, high = max(east) - min(east) or 1.0, max(north) - min(north) or 1.0
    room = _WIDTH - 2 * _MARGIN
    scale = min(room / wide, room * _TALLEST / high)
    left = (_WIDTH - scale * wide) / 2
    spots = [
        (left + scale * (x - min(east)), 2 * _LINE + scale * (max(north) - y)) for x, y in places
    ]
    sampled: list[MapTree] = []
    labels: list[MapLabel] = []
    start = 0
    for one in maps:
        here = dict(zip((tree.tree for tree in one.trees), spots[start : start + len(one.trees)]))
        start += len(one.trees)
        if one.block in visits:
            sampled += _sampled(visits[one.block], here)
        if one.block in titles:
            labels.append(_label(titles[one.block], list(here.values()), labels))
    height = 2 * _LINE + scale * high + _MARGIN
    return SiteMap(
        width=_WIDTH,
        height=height,
        dots="".join(f"M{x:.0f} {y:.0f}h0" for x, y in spots),
        dot_size=max(2.0, min(7.0, 2500 / len(spots))),
        trees=tuple(sampled),
        labels=tuple(labels),
        scale_bar=_scale_bar(scale, height),
        text=text,
    )


def _sampled(visit: BlockVisit, here: dict[str, tuple[float, float]]) -> list[MapTree]:
    found = []
    for name in dict.fromkeys(row["tree"] for row in visit.fruit):
        if name not in here:
            continue
        values = [
            row["mean_dm_pct"]
            for row in visit.fruit
            if row["tree"] == name and row.get("mean_dm_pct") is not None
        ]
        mean = statistics.fmean(values) if values else None
        reaches = None if mean is None else mean >= visit.minimum_dm_pct
        found.append(MapTree(*here[name], name, mean, reaches))
    return found


def _label(text: str, spots: list[tuple[float, float]], others: list[MapLabel]) -> MapLabel:
    """Above its block, kept inside the drawing and clear of the labels placed so far."""
    half = _LETTER * len(text) / 2
    x = (min(x for x, _ in spots) + max(x for x, _ in spots)) / 2
    x = min(max(x, half), _WIDTH - half)
    y = min(y for _, y in spots) - 14
    while y > _LINE and any(
        abs(one.y - y) < _LINE and abs(one.x - x) < half + _LETTER * len(one.text) / 2
        for one in others
    ):
        y -= _LINE
    return MapLabel(x, y, text)


def _scale_bar(scale: float, height: float) -> tuple[float, float, float, str]:
    """Left, right and height of a bar of a round length, and that length."""
    metres = next((one for one in (500, 200, 100, 50, 20, 10, 5) if scale * one <= _WIDTH / 4), 5)
    return 10.0, 10.0 + scale * metres, height - 12.0, f"{metres} m"
