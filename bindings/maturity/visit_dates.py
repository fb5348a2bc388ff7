"""Visits whose dates look like the rounds of one walk."""

from __future__ import annotations

import itertools
from collections.abc import Iterable

from maturity.block_visit import BlockVisit

#: Rounds of one walk lie fewer days apart than visits do, which are a week apart as a rule.
ROUND_DAYS = 7
#: So many visits of a single tree each look like dates that are wrong.
_MANY_VISITS = 3


def split_walk_notes(visits: Iterable[BlockVisit]) -> list[str]:
    """A sentence for each two dates of a block that lie close and have no tree in common."""
    by_block: dict[str, list[BlockVisit]] = {}
    for visit in visits:
        here = by_block.setdefault(visit.block, [])
        if all(one.date != visit.date for one in here):
            here.append(visit)
    notes = []
    for block, here in by_block.items():
        for one, other in itertools.pairwise(sorted(here, key=lambda visit: visit.date)):
            apart = (other.date - one.date).days
            shared = _trees(one) & _trees(other)
            if apart < ROUND_DAYS and not shared:
                notes.append(
                    f"{block}: {one.date} and {other.date} are taken as two visits, with no tree "
                    "in common; where they are rounds of one walk, enter one date for all of them"
                )
        if len(here) >= _MANY_VISITS and all(len(_trees(one)) == 1 for one in here):
            notes.append(
                f"{block}: {len(here)} visits of one tree each; where they were sampled together, "
                "enter one date for all of them (photos.csv, column date, goes before the date "
                "that a phone wrote into its photo)"
            )
    return notes


def _trees(visit: BlockVisit) -> set[str]:
    return {fruit["tree"] for fruit in visit.fruit}
