"""What a guide says: pairs, pointers and shares, ready to be laid out."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.block_visit import in_100
from maturity.guide.basis import GuideBasis, GuideFruit, cut_at
from maturity.guide.pairs import (
    FEWEST_PAIRS,
    Pair,
    choose_pairs,
    cut_between,
    pointers,
)
from maturity.guide.words import Saying, Words
from maturity.views.guides import guide_frame, guide_html, guide_plot, guide_repr

HANDLING = ("handling_1", "handling_2", "handling_3")
CAUTIONS = ("caution_sap", "caution_heat", "caution_ladders", "caution_blades", "caution_sprays")
NOT_MATURITY = ("not_blush", "not_size", "not_touch")


@dataclass
class GuideContent:
    """A guide before it is drawn. `pairs` is empty where `reasons` says why there are none."""

    basis: GuideBasis
    words: Words
    pairs: list[Pair]
    pointers: list[str]
    cut: _core.ShapeCut | None
    reasons: list[str]
    next_steps: list[str]

    to_frame = guide_frame
    plot = guide_plot
    _repr_html_ = guide_html
    __repr__ = guide_repr

    @property
    def teaches(self) -> bool:
        """True where there are pairs to show."""
        return bool(self.pairs)

    def title(self) -> str:
        """Heading of the guide."""
        return self.words("title", block=self.basis.visit.block)

    def subtitle(self, *, phone: bool = False) -> str:
        """Cultivar and visit."""
        visit = self.basis.visit
        key = "subtitle_phone" if phone else "subtitle"
        if not self.teaches:
            key = "subtitle_cannot"
        return self.words(key, cultivar=visit.cultivar, date=visit.date)

    def state(self) -> str:
        """The block's own decision at that visit."""
        visit = self.basis.visit
        return self.words(f"state_{visit.decision or 'none'}", date=visit.date)

    @property
    def warns(self) -> bool:
        """True where the block must not simply be picked."""
        return self.basis.visit.decision != "ready"

    def pointer_texts(self) -> list[str]:
        """What to look at, the plainest first."""
        return [self.words(name) for name in self.pointers] or [self.words("whole_shape")]

    def share_texts(self) -> list[str]:
        """What to expect in the bin, with intervals."""
        if self.cut is None:
            return []
        taken, blind = self.cut.immature_taken, self.cut.immature_blind
        texts = [
            self.words(
                "share",
                taken=_immature(taken.median),
                taken_low=in_100(100 * taken.interval[0]),
                taken_high=_immature(taken.interval[1]),
                blind=_immature(blind.median),
                blind_low=in_100(100 * blind.interval[0]),
                blind_high=_immature(blind.interval[1]),
            )
        ]
        visit = self.basis.visit
        allowed = 1 - visit.required_share
        if visit.rule == "share" and taken.median > allowed:
            texts.append(self.words("too_many", allowed=in_100(100 * allowed)))
        low, high = (in_100(100 * end) for end in self.cut.taken_interval)
        crop = self.words("crop", crop=in_100(100 * self.cut.taken), low=low, high=high)
        return [*texts, crop]

    def to_dict(self) -> dict[str, Any]:
        """The same for machines."""
        visit, sorting = self.basis.visit, self.basis.sorting
        return {
            "block": visit.block,
            "date": visit.date.isoformat(),
            "market": visit.market,
            "decision": visit.decision,
            "minimum_dm_pct": visit.minimum_dm_pct,
            "separates": self.basis.separates,
            "teaches": self.teaches,
            "reasons": self.reasons,
            "next_steps": self.next_steps,
            "correlation": sorting.correlation,
            "correlation_interval": _listed(sorting.correlation_interval),
            "chance_useful": sorting.p_useful,
            "pointers": self.pointers,
            "language": self.words.language,
            "language_checked_by": self.words.checked_by or None,
            "if_followed": None if self.cut is None else self.cut.to_dict(),
            "pairs": [
                {
                    "take": fruit_fields(one.take),
                    "leave": fruit_fields(one.leave),
                    "size_differs_by": one.size_differs_by,
                }
                for one in self.pairs
            ],
        }


def _immature(share: float) -> str:
    """So many in 100, rounded up: a risk is never shown smaller than it is."""
    return in_100(math.ceil(100 * share - 1e-9))


def _listed(interval: tuple[float, float] | None) -> list[float] | None:
    return None if interval is None else list(interval)


def fruit_fields(fruit: GuideFruit) -> dict[str, Any]:
    """A fruit as JSON holds it."""
    return {
        "tree": fruit.tree,
        "fruit": fruit.number,
        "photo": fruit.measured.get("photo") or fruit.photo.name,
        "length_mm": fruit.length_mm,
        "width_mm": fruit.width_mm,
        "mean_dm_pct": fruit.mean_dm_pct,
        "sd_pct": fruit.sd_pct,
        "shape_dm_pct": fruit.shape_dm_pct,
        "oven_dm_pct": fruit.oven_dm_pct,
    }


def guide_content(basis: GuideBasis, words: Words) -> GuideContent:
    """Choose pairs and say what they teach; where there are none, why."""
    pairs = choose_pairs(basis)
    reasons, next_steps = list(basis.reasons), list(basis.next_steps)
    if basis.separates and len(pairs) < FEWEST_PAIRS:
        values = {
            "pairs": len(pairs),
            "minimum": f"{basis.visit.minimum_dm_pct:g}",
            "fruit": len(basis.fruit),
            "needed": FEWEST_PAIRS,
        }
        reasons.append(Saying("few_pairs" if pairs else "no_pairs", values))
        next_steps.append(Saying("next_more_pairs"))
        pairs = []
    directions = {one["name"]: one["with_maturity"] for one in _core.descriptor_registry()}
    used = {name: directions[name] for name in basis.visit.descriptors if directions.get(name)}
    return GuideContent(
        basis,
        words,
        pairs,
        [name for name in pointers(basis, pairs, used) if name in words.texts] if pairs else [],
        cut_at(basis, cut_between(pairs)) if pairs else None,
        [one.said(words) for one in reasons],
        [one.said(words) for one in next_steps],
    )
