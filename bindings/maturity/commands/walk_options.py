"""Options of `maturity walk` that need more than click's own types."""

from __future__ import annotations

import datetime

import click

from maturity.planning import COST_OVEN, COST_PHOTO, COST_TREE

#: A day without an hour is taken from seven in the morning: walks begin early (common practice, no
#: source), and the earlier hour is the careful one for a re-entry period.
_MORNING = datetime.time(7)


def at_seven(moment: datetime.datetime | None) -> datetime.datetime:
    """The moment given; a date alone at seven in the morning; nothing given: now."""
    if moment is None:
        return datetime.datetime.now().replace(second=0, microsecond=0)
    if moment.time() == datetime.time():
        return datetime.datetime.combine(moment.date(), _MORNING)
    return moment


def costs_of(text: str | None) -> tuple[float, float, float]:
    """Costs of a tree, a photo and an oven reading."""
    if text is None:
        return COST_TREE, COST_PHOTO, COST_OVEN
    try:
        tree, photo, oven = (float(part) for part in text.split(","))
    except ValueError:
        raise click.UsageError(f"--costs {text}: expected three numbers, as 4,0.5,6") from None
    return tree, photo, oven
