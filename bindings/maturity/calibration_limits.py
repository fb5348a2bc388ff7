"""What a calibration does not say, in sentences."""

from __future__ import annotations

from maturity import _core
from maturity.labelled_fruit import LabelledFruit


def calibration_limits(
    fruit: list[LabelledFruit], shape: dict[str, _core.ShapeCalibration]
) -> list[str]:
    """For people who use it: where it holds, and on what it rests."""
    # Those that were learnt from: without oven values, or anything to hold against them, none was.
    seasons = len(
        {
            one.season
            for one in fruit
            if one.oven_dm is not None and (one.fruit.meters or one.fruit.shape)
        }
    )
    limits = [
        "Seasons: this is one season, and another may differ more than its blocks do."
        if seasons < 2
        else f"Seasons: {seasons}; fewer than 3 cannot tell how much another may differ."
        if seasons < 3
        else f"Seasons: {seasons}, left out in turn; another may differ as these do.",
        "A meter's bias moves between blocks and days: keep oven fruit beside it on every visit.",
    ]
    if shape:
        slopes = "Slopes hold within a block; the level of a block still takes its own oven fruit."
        limits.insert(0, slopes)
    for one in shape.values():
        source = one.source
        limits.append(
            f"Shape: {source.cultivar} only, {source.first_date} to {source.last_date}; "
            "a block whose fruit are shaped otherwise is flagged when it is scored."
        )
    ovens = [one.fruit.oven for one in fruit]
    on_purpose = sum(oven is not None and oven.picked_on_purpose for oven in ovens)
    if on_purpose:
        limits.append(
            f"{on_purpose} oven fruit were picked on purpose: slopes can bear that where they were "
            "picked by their looks, not where by a reading."
        )
    return limits
