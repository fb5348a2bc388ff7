"""Readings beside a walk that may have been meant for it."""

from __future__ import annotations

import datetime

from maturity.joining import SampledFruit
from maturity.stored_walk import StoredPlan
from maturity.walk_sample import WALK_DAYS, walk_days


def strange_readings(
    plan: StoredPlan, block: list[SampledFruit], counted: list[SampledFruit]
) -> list[str]:
    """What lies near the walk and is not of it, and dates that it spans."""
    days = walk_days(plan)
    first, last = days[0], days[-1]
    planned = set(plan.trees)
    notes = []
    strange = sorted(
        {one.key[1] for one in block if one.key[1] not in planned and one.key[2] in days}
    )
    if strange:
        notes.append(
            f"tree {', '.join(strange)}: not drawn for this walk, left out of its result (a tree "
            "chosen by a person is no random sample)"
        )
    keys = {one.key for one in counted}
    again = sorted(
        {
            one.key[2]
            for one in block
            if one.key[1] in planned and one.key[2] in days and one.key not in keys
        }
    )
    for day in again:
        notes.append(
            f"drawn trees were sampled again on {day}: a visit of its own, not of this walk"
        )
    # A week before may be the visit before; nearer, or later, is likely to be a slip of the date.
    margin = datetime.timedelta(days=WALK_DAYS)
    outside = [
        one.key[2]
        for one in block
        if one.key[1] in planned and (one.key[2] > last or first - margin < one.key[2] < first)
    ]
    for day in sorted(set(outside)):
        notes.append(
            f"{outside.count(day)} fruit of drawn trees are dated {day}: not of this walk, whose "
            f"readings are those of {first} to {last}"
        )
    dated = sorted({one.key[2] for one in counted})
    if len(dated) > 1:
        notes.append(
            f"readings of this walk are dated {', '.join(map(str, dated))}: one walk, and one "
            f"visit of {first} in scores and forecasts"
        )
    return notes
