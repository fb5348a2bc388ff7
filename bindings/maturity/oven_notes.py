"""What is said of the oven samples of a visit: doubts, cheeks, ways of drying, choice."""

from __future__ import annotations

import collections
from collections.abc import Sequence

from maturity import _core
from maturity.joining import SampledFruit
from maturity.readings import DryingWay


def oven_notes(sample: Sequence[SampledFruit], counted: Sequence[SampledFruit]) -> list[str]:
    """Notes on all oven samples of a visit, and on those that `counted` holds."""
    notes: list[str] = []
    for one in sample:
        if one.oven is None:
            continue
        label = f"oven sample of fruit {one.key[3]} of tree {one.key[1]}"
        if one.oven.still_drying and not any("still_losing" in text for text in one.oven.doubts):
            notes.append(f"{label}: still drying, no dried weight yet")
        notes += [f"{label}: {text}" for text in one.oven.doubts]
    dried = [one.oven for one in counted if one.oven is not None]
    spreads = [one.cheek_sd_pct for one in dried if one.cheek_sd_pct]
    if spreads:
        notes.append(
            f"a cheek differs from its fruit by SD {spreads[0]:.2f} %, by fruit of this season "
            "whose oven value was read on both: counted as error"
        )
    methods = collections.Counter(text for one in dried for text in one.method_doubts)
    notes += [
        f"{count} oven fruit were {text}"
        if text.startswith("dried")
        else f"{count} oven fruit: {text}"
        for text, count in sorted(methods.items())
    ]
    ways: list[tuple[DryingWay, int]] = []
    for way in [way for one in dried for way in one.ways if way != ("", None, None)]:
        same = next((i for i, (w, _) in enumerate(ways) if _core.comparable_ways(w, way)), None)
        if same is None:
            ways.append((way, 1))
        else:
            ways[same] = (ways[same][0], ways[same][1] + 1)
    if len(ways) > 1:
        said = "; ".join(f"{count}: {_in_words(way)}" for way, count in ways)
        notes.append(
            f"oven fruit were dried in {len(ways)} ways ({said}): their dry matter may not compare"
        )
    return notes


def _in_words(way: DryingWay) -> str:
    dryer, celsius, skin_on = way
    parts = [
        dryer or None,
        None if celsius is None else f"{celsius:g} degrees C",
        None if skin_on is None else f"skin {'on' if skin_on else 'off'}",
    ]
    return ", ".join(part for part in parts if part)
