"""May people go into a block at all? Re-entry periods from sprays.csv.

Unknown is never a permission. Labels, local rules and licensed practice come before anything said
here.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from maturity.clearance import RECORD_HOLDS_DAYS, block_clearance
from maturity.season.table import Row
from maturity.views.states import entry_frame, entry_html


class EntryRefused(ValueError):
    """A re-entry period is open or not known."""


@dataclass(frozen=True)
class Entry:
    """State of the re-entry periods of one block at one moment.

    Attributes
    ----------
    allowed : bool
        True when all periods are over, or a named person stands for going in.
    moment : datetime
    reasons : list of str
        What is open or unknown, or what the permission rests on.
    taken_on_by : str or None
        Who stands for going in although a period is open or unknown.
    notes : list of str
        What to ask before going in.
    """

    allowed: bool
    moment: datetime.datetime
    reasons: list[str]
    taken_on_by: str | None = None
    notes: list[str] = field(default_factory=list)

    to_frame = entry_frame
    _repr_html_ = entry_html

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""
        return {
            "allowed": self.allowed,
            "moment": self.moment.isoformat(timespec="minutes"),
            "reasons": self.reasons,
            "taken_on_by": self.taken_on_by,
            "notes": self.notes,
        }


def block_entry(
    sprays: Iterable[Row], block: str, *, moment: datetime.datetime, confirmed_by: str | None = None
) -> Entry:
    """May people go into a block at this moment?

    Parameters
    ----------
    sprays : rows of sprays.csv
    block : str
    moment : datetime
    confirmed_by : str, optional
        Name of the person who stands for going in although a period is open or unknown.

    Returns
    -------
    Entry
        Unknown too where the record was last confirmed more than `RECORD_HOLDS_DAYS` days before.
    """
    here = [row for row in sprays if row["block"] == block]
    # Only re-entry is asked: fruit may be sampled, not sold, while a withholding period is open.
    past = [row for row in here if row["finished_at"] <= moment]
    before = [{**row, "withholding_days": 0} for row in past]
    state = block_clearance(before, block, market=None, as_of=moment)
    notes = [
        f"{row['product']} is entered for {row['finished_at']:%Y-%m-%d %H:%M}, after this walk"
        for row in here
        if row["finished_at"] > moment and str(row["product"]).lower() != "none"
    ]
    last = max((row["confirmed_on"] for row in past if row["confirmed_on"]), default=None)
    if last is not None and last < moment.date():
        days = (moment.date() - last).days
        ago = "the day before" if days == 1 else f"{days} days before {moment:%Y-%m-%d}"
        notes.append(f"the spray record was last confirmed on {last} ({ago}): ask before going in")
    reasons = list(state.reasons)
    old = last is not None and (moment.date() - last).days > RECORD_HOLDS_DAYS
    if state.cleared and not old:
        return Entry(True, moment, reasons, None, notes)
    if old:
        reasons = [] if state.cleared else reasons
        reasons.append(
            f"the spray record was last confirmed on {last}, more than {RECORD_HOLDS_DAYS} days "
            "before the walk (a limit of this program): what was applied since is not known"
        )
    name = (confirmed_by or "").strip() or None
    return Entry(name is not None, moment, reasons, name, notes)


def refuse_entry(entry: Entry, block: str) -> None:
    """Raise EntryRefused where nobody may go in."""
    if entry.allowed:
        return
    raise EntryRefused(
        f"no walk into block {block} at {entry.moment:%Y-%m-%d %H:%M}: {'; '.join(entry.reasons)}. "
        "Complete and confirm sprays.csv or choose a later time; a person who stands for going in "
        "can be named "
        "(--confirmed-by NAME)"
    )
