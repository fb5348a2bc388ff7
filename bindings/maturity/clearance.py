"""May fruit of this block be picked at all? Withholding and re-entry periods from sprays.csv.

A missing, incomplete or unconfirmed record is never a clearance. The periods are the user's own,
from the product label; labels, local rules and licensed practice come before anything said here.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from maturity.season.table import ROW_NUMBER, Row
from maturity.views.states import clearance_frame, clearance_html

#: A product of this name states that nothing was applied.
NOTHING_APPLIED = "none"

#: Days after its last confirmation beyond which a spray record says nothing of today: a choice of
#: this program, no published figure. Labels, local rules and licensed practice come first.
RECORD_HOLDS_DAYS = 14


@dataclass(frozen=True)
class Clearance:
    """State of one block for one market at one moment.

    Attributes
    ----------
    cleared : bool
        True only when every period is over and every row is confirmed by a named person.
    as_of : datetime
        The moment asked about.
    clear_from : datetime or None
        First clear date and hour, where the record is complete; None: cannot be told.
    reasons : list of str
        Why it is not cleared, or what the clearance rests on.
    confirmed_by : list of str
        Who stands for the record, with the day.
    """

    cleared: bool
    as_of: datetime.datetime
    clear_from: datetime.datetime | None
    reasons: list[str]
    confirmed_by: list[str]

    to_frame = clearance_frame
    _repr_html_ = clearance_html

    def sentence(self) -> str:
        """One plain sentence."""
        state = "Cleared" if self.cleared else "Not cleared"
        if not self.cleared and self.clear_from is not None:
            state += f" until {self.clear_from:%Y-%m-%d %H:%M}"
        return f"{state}: {'; '.join(self.reasons)}."

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON; dates as ISO 8601."""
        return {
            "cleared": self.cleared,
            "as_of": self.as_of.isoformat(timespec="minutes"),
            "clear_from": (
                None if self.clear_from is None else self.clear_from.isoformat(timespec="minutes")
            ),
            "reasons": self.reasons,
            "confirmed_by": self.confirmed_by,
        }


def block_clearance(
    sprays: Iterable[Row], block: str, *, market: str | None, as_of: datetime.datetime
) -> Clearance:
    """Clearance of a block for picking.

    Parameters
    ----------
    sprays : rows of sprays.csv
    block : str
    market : str or None
        None asks for every market: the longest period holds.
    as_of : datetime
        Moment of the question. An application after it counts too: whoever acts on this acts later.

    Returns
    -------
    Clearance
        For each application the later of withholding and re-entry period governs.

    Examples
    --------
    >>> import datetime
    >>> state = block_clearance([], "River", market=None, as_of=datetime.datetime(2026, 11, 10))
    >>> state.cleared, state.clear_from is None
    (False, True)
    >>> print(state.sentence())
    Not cleared: sprays.csv has no row for block River up to 2026-11-10; state every application, \
or `none`.
    """
    rows = [row for row in sprays if row["block"] == block]
    if not rows:
        reason = (
            f"sprays.csv has no row for block {block} up to {as_of:%Y-%m-%d}; state every "
            "application, or `none`"
        )
        return Clearance(False, as_of, None, [reason], [])
    unknown: list[str] = []
    ends: list[tuple[datetime.datetime, str]] = []
    for event in _applications(rows):
        unknown += _unconfirmed(event)
        if _is_nothing(event[0]):
            continue
        relevant = [row for row in event if _for_market(row, market)]
        if not relevant:
            unknown.append(f"{_named(event[0])}: no withholding period for market {market}")
        for row in relevant:
            unknown += _missing_periods(row)
            ends += _period_ends(row)
    confirmed = sorted(
        {f"{row['confirmed_by']}, {row['confirmed_on']}" for row in rows if _confirmed(row)}
    )
    last = max(ends, default=None)
    still_open = [why for end, why in ends if end > as_of]
    if unknown or still_open:
        clear_from = last[0] if last is not None and not unknown else None
        return Clearance(False, as_of, clear_from, still_open + unknown, confirmed)
    basis = "nothing was applied" if last is None else f"all periods over since {_hour(last[0])}"
    return Clearance(True, as_of, None if last is None else last[0], [basis], confirmed)


def while_record_holds(state: Clearance, sprays: Iterable[Row], block: str) -> Clearance:
    """The same state, but not cleared where the record was last confirmed too long before.

    Parameters
    ----------
    state : Clearance
        Of `block`, from the same rows.
    sprays : rows of sprays.csv
    block : str

    Returns
    -------
    Clearance
        What was applied more than `RECORD_HOLDS_DAYS` days after a confirmation, nobody stands for.
    """
    last = max(
        (row["confirmed_on"] for row in sprays if row["block"] == block and _confirmed(row)),
        default=None,
    )
    if last is None or (state.as_of.date() - last).days <= RECORD_HOLDS_DAYS:
        return state
    old = (
        f"sprays.csv was last confirmed for block {block} on {last}, more than "
        f"{RECORD_HOLDS_DAYS} days before {state.as_of:%Y-%m-%d} (a limit of this program): what "
        "was applied since is not known; add a row, `none` where nothing was"
    )
    reasons = [old] if state.cleared else [*state.reasons, old]
    return Clearance(False, state.as_of, None, reasons, state.confirmed_by)


def _applications(rows: list[Row]) -> list[list[Row]]:
    """Rows of one application: same end and product, one row for each market."""
    events: dict[tuple[Any, str], list[Row]] = {}
    for row in rows:
        events.setdefault((row["finished_at"], row["product"].lower()), []).append(row)
    return list(events.values())


def _is_nothing(row: Row) -> bool:
    return str(row["product"]).lower() == NOTHING_APPLIED


def _for_market(row: Row, market: str | None) -> bool:
    return market is None or row["market"] is None or row["market"] == market


def _confirmed(row: Row) -> bool:
    return row["confirmed_by"] is not None and row["confirmed_on"] is not None


def _unconfirmed(event: list[Row]) -> list[str]:
    said = []
    for row in event:
        if not _confirmed(row):
            said.append(f"{_named(row)}: not confirmed by a named person with a date")
        elif _end_of_day(row["confirmed_on"]) < row["finished_at"]:
            said.append(f"{_named(row)}: confirmed on {row['confirmed_on']}, before it was done")
    return said


def _end_of_day(day: datetime.date) -> datetime.datetime:
    return datetime.datetime.combine(day, datetime.time()) + datetime.timedelta(days=1)


def _missing_periods(row: Row) -> list[str]:
    periods = {"withholding_days": "withholding period", "reentry_hours": "re-entry period"}
    return [
        f"{_named(row)}: {label} is not stated ({column} is blank)"
        for column, label in periods.items()
        if row[column] is None
    ]


def _period_ends(row: Row) -> list[tuple[datetime.datetime, str]]:
    ends = []
    finished: datetime.datetime = row["finished_at"]
    if row["withholding_days"] is not None:
        end = finished + datetime.timedelta(days=row["withholding_days"])
        ends.append((end, f"{_named(row)}: withholding period open until {_hour(end)}"))
    if row["reentry_hours"] is not None:
        end = finished + datetime.timedelta(hours=row["reentry_hours"])
        ends.append((end, f"{_named(row)}: re-entry period open until {_hour(end)}"))
    return ends


def _named(row: Row) -> str:
    if _is_nothing(row):
        return f"statement that nothing was applied (sprays.csv row {row[ROW_NUMBER]})"
    return f"{row['product']} of {_hour(row['finished_at'])} (sprays.csv row {row[ROW_NUMBER]})"


def _hour(moment: datetime.datetime) -> str:
    return f"{moment:%Y-%m-%d %H:%M}"
