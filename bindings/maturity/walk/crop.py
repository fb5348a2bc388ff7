"""What the crop of the trees says about a walk in which every tree counts alike."""

from __future__ import annotations

import statistics
from collections.abc import Mapping, Sequence

from maturity.season.season import Season


def crop_sentence(season: Season, block: str, values: Mapping[str, Sequence[float]]) -> str:
    """Dry matter against crop, in words; `values` are those of each tree, %.

    Trees are drawn with equal chance and count alike, so that fruit of heavy trees, which often lag
    (common practice, no source), are under-counted. Counts of fruit give the mean as it would be
    weighted by them; words give the mean of each class, since nobody says how many "heavy" is.
    """
    known = {
        row["tree"]: str(row["crop"]).strip().lower()
        for row in season.tables["trees"].rows
        if row["block"] == block and row["crop"] is not None
    }
    means = {tree: statistics.fmean(here) for tree, here in values.items() if tree in known}
    alike = "Every tree counts alike, whatever its crop"
    if len(means) < len(values) / 2:
        return (
            f"{alike}: trees.csv gives the crop of {len(means)} of these {len(values)} trees. "
            "Where heavy trees lag, the block is less mature than the walk says."
        )
    counts = {tree: _count(known[tree]) for tree in means}
    if None not in counts.values() and sum(one or 0.0 for one in counts.values()) > 0:
        weights = [counts[tree] or 0.0 for tree in means]
        weighted = statistics.fmean(means.values(), weights)
        plain = statistics.fmean(means.values())
        return (
            f"{alike}: mean of {len(means)} trees with a count {plain:.1f} %, weighted by their "
            f"fruit {weighted:.1f} %. The decision does not weigh."
        )
    classes: dict[str, list[float]] = {}
    for tree, mean in means.items():
        classes.setdefault(known[tree], []).append(mean)
    said = ", ".join(
        f"{name} {statistics.fmean(here):.1f} % ({len(here)} trees)"
        for name, here in sorted(classes.items(), key=lambda one: statistics.fmean(one[1]))
    )
    return f"{alike}: by crop, {said}. The decision does not weigh."


def _count(text: str) -> float | None:
    try:
        count = float(text.replace(",", "."))
    except ValueError:
        return None
    return count if count >= 0 else None
