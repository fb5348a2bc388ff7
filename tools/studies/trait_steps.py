"""From a true section to a measured photo, step by step: where is the order of a trait lost?"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from rank_agreement import RankAgreement, agreement_with_trait
from true_sections import section_values
from unseen_photos import match

import maturity

#: Descriptor and the traits (their mean) it is named after.
PAIRS: dict[str, tuple[str, ...]] = {
    "stem_hollow": ("stem_hollow",),
    "shoulder_fill_ventral": ("shoulder_ventral",),
    "shoulder_fill_dorsal": ("shoulder_dorsal",),
    "shoulder_fill": ("shoulder_ventral", "shoulder_dorsal"),
    "nose_fill": ("nose",),
    "nose_roundness": ("nose",),
    "beak_prominence": ("beak_prominence",),
    "beak_curvature": ("beak_prominence",),
    "sinus_depth": ("sinus_depth",),
    "end_balance": ("end_balance",),
    "fourier_taper": ("end_balance",),
    "elongation": ("elongation",),
}
#: What was measured, nearest to the user first.
STEPS = ("photo", "its outline", "true silhouette", "true section")

Values = dict[str, float | None]


@dataclass(frozen=True)
class TraitFruit:
    """A fruit usable on its photo: true traits, and descriptors at each step."""

    traits: dict[str, float]
    steps: dict[str, Values]


def _pose_found(outline: Any) -> Values:
    values: Values = maturity.describe_outline(
        np.array(outline, float), with_errors=False
    ).descriptors
    return values


def usable_fruit(photos: list[dict[str, Any]], truths: list[dict[str, Any]]) -> list[TraitFruit]:
    """All fruit usable on their photos.

    Steps: what the photo gives (flank taken back, errors known); its outline as it lies in the
    picture, and the true silhouette, both with the pose found from the outline alone; the true
    widest section, pose stated.
    """
    fruit = []
    for photo, truth in zip(photos, truths):
        for found, true in zip(match(photo, truth), truth["fruits"]):
            if found and found["usable"]:
                measured = (
                    found["descriptors"],
                    _pose_found(found["outline_px"]),
                    _pose_found(true["silhouette_px"]),
                    section_values(true),
                )
                fruit.append(TraitFruit(true["traits"], dict(zip(STEPS, measured))))
    return fruit


def agreements(fruit: list[TraitFruit], descriptor: str) -> list[RankAgreement]:
    """At each of STEPS over the fruit that have the value there; shoulders need the side told."""
    trait = np.array([np.mean([one.traits[t] for t in PAIRS[descriptor]]) for one in fruit])
    return [
        agreement_with_trait(
            np.array([one.steps[step].get(descriptor) for one in fruit], float), trait
        )
        for step in STEPS
    ]


def print_traits(fruit: list[TraitFruit]) -> None:
    """One line for each descriptor: rank correlation with its trait at each step."""
    print("| descriptor | fruit | " + " | ".join(STEPS) + " |")
    print("|---|---|" + "---|" * len(STEPS))
    for descriptor in PAIRS:
        found = agreements(fruit, descriptor)
        cells = " | ".join(str(one) for one in found)
        counts = sorted({one.fruit for one in found})
        number = f"{counts[0]} to {counts[-1]}" if len(counts) > 1 else str(counts[0])
        print(f"| {descriptor} | {number} | {cells} |")
