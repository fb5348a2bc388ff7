"""What the report says of the calibration in use: whose, how old, where it ends."""

from __future__ import annotations

import datetime

from maturity.scoring import SeasonScore

#: A calibration of another season than the visit's is named as such beyond this age.
_OLD_DAYS = 270


def calibration_texts(score: SeasonScore) -> list[str]:
    """Sentences about the stored calibration and its limits; one where none is used."""
    stored = score.calibration
    if stored is None:
        return [
            "No stored calibration: what shape says rests on each block's own dried fruit, and a "
            "meter's error on the planning guess until the block checks it."
        ]
    texts = []
    for cultivar, made in stored.shape.items():
        source = made.source
        texts.append(
            f"Shape of {cultivar}: {made.fruit} fruit of {made.blocks} blocks, "
            f"{source.first_date} to {source.last_date}, {source.provenance}; calibration "
            f"{made.id[:12]}; {made.outcome_sentence}."
        )
        texts += _age(score, source.last_date)
        texts.append(
            "Its slopes hold within a block; the level of a block still takes its own oven fruit. "
            "A block whose fruit are shaped otherwise is flagged and scored without it."
        )
    texts += [
        f"Meter {name}: error {one.sep_pct:.2f} % once bias and slope are out, from {one.fruit} "
        "fruit."
        for name, one in stored.meters.items()
    ]
    used = sorted(
        {one.block for one in score.visits if one.estimate and one.estimate.calibration_used}
    )
    texts.append(f"Used for: {', '.join(used) or 'no block'}.")
    return texts


def _age(score: SeasonScore, last_date: str) -> list[str]:
    days = [visit.date for visit in score.visits]
    try:
        age = (max(days) - datetime.date.fromisoformat(last_date)).days
    except ValueError:
        return ["Its age is not known."]
    old = ": from another season, so let oven fruit of this one check it" if age > _OLD_DAYS else ""
    return [f"Age at the last visit: {age} days{old}."]
