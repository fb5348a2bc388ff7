"""Which block is picked when: blocks by the day they may be picked, crews, and what slips."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.clearance import block_clearance
from maturity.scoring import SeasonScore
from maturity.season.season import Season


@dataclass(frozen=True)
class PickingDays:
    """Picking days of a block, as dates.

    Attributes
    ----------
    ready, clear : date or None
        Day from which it is likely to meet its rule, and first cleared day.
    held_back : bool
        A withholding or re-entry period, not the fruit, sets the first day.
    turn : PickingTurn
        Its days count from day 1 of the calendar.
    """

    block: str
    crew_days: float
    ready: datetime.date | None
    clear: datetime.date | None
    held_back: bool
    turn: _core.PickingTurn

    @property
    def start(self) -> datetime.date | None:
        """First picking day."""
        return None if self.turn.start is None else datetime.date.fromordinal(self.turn.start)

    @property
    def finish(self) -> datetime.date | None:
        """Last picking day."""
        return None if self.turn.finish is None else datetime.date.fromordinal(self.turn.finish)

    def note(self) -> str:
        """What waits or slips, in words."""
        if self.turn.not_planned_sentence is not None:
            return self.turn.not_planned_sentence
        said = []
        if self.held_back:
            said.append(f"held back to {self.clear} by a withholding or re-entry period")
        if self.turn.waits:
            said.append(f"waits {_days(self.turn.waits)} for crews")
        if self.turn.slack is not None:
            late = self.turn.slack < 0
            days = _days(abs(self.turn.slack))
            said.append(f"SLIPS by {days}" if late else f"slack {days}")
        return ", ".join(said)

    def to_dict(self) -> dict[str, Any]:
        """The fields for JSON."""

        def text(day: datetime.date | None) -> str | None:
            return None if day is None else day.isoformat()

        return {
            "block": self.block,
            "crew_days": self.crew_days,
            "ready": text(self.ready),
            "clear": text(self.clear),
            "held_back": self.held_back,
            "start": text(self.start),
            "finish": text(self.finish),
            "waits_days": self.turn.waits,
            "slack_days": self.turn.slack,
            "not_planned": self.turn.not_planned,
        }


def _days(number: int) -> str:
    return "1 day" if number == 1 else f"{number} days"


def crew_figures(season: Season) -> tuple[dict[str, float], float | None]:
    """Crew-days of blocks and number of crews as prices.csv gives them.

    Rows `crew days BLOCK` and `crews`.
    """
    values = {" ".join(row["what"].split()): row["value"] for row in season.tables["prices"].rows}
    known = {
        block: values[f"crew days {block}"]
        for block in season.blocks
        if f"crew days {block}" in values
    }
    return known, values.get("crews")


def picking_days(
    score: SeasonScore,
    crew_days: Mapping[str, float],
    *,
    crews: float,
    first_day: datetime.date,
    within: int | None = None,
) -> list[PickingDays]:
    """Plain order by date of all blocks, one after the other with all crews.

    Parameters
    ----------
    score : SeasonScore
    crew_days : mapping of block to crews times days
    crews : float
        Crews at work each day.
    first_day : date
        First picking day.
    within : int, optional
        Days after its date within which a block should be picked, your own.

    Raises
    ------
    ValueError
        An unknown block, crews or crew-days out of range.
    """
    blocks = score.season.blocks
    for name in crew_days:
        if name not in blocks:
            raise ValueError(
                f"crew-days of {name!r}: expected a block of blocks.csv ({', '.join(blocks)})"
            )
    if any(not days > 0 for days in crew_days.values()):
        raise ValueError("crew-days: expected more than 0 for each block named")
    ready = {name: _ready_from(score, name) for name in blocks}
    clear = {name: _clear_from(score, name, first_day) for name in blocks}
    asked = []
    for name in blocks:
        day, clear_day = ready[name], clear[name]
        last = None
        if within is not None and day is not None:
            last = (max(day, first_day) + datetime.timedelta(days=within)).toordinal()
        asked.append(
            _core.PickingBlock(
                block=name,
                ready_day=None if day is None else day.toordinal(),
                clear_day=None if clear_day is None else clear_day.toordinal(),
                crew_days=crew_days.get(name, 0.0),
                last_day=last,
            )
        )
    turns = _core.plan_picking(asked, crews=crews, first_day=first_day.toordinal())
    return [_dated(turn, crew_days, ready, clear, first_day) for turn in turns]


def _dated(
    turn: _core.PickingTurn,
    crew_days: Mapping[str, float],
    ready: Mapping[str, datetime.date | None],
    clear: Mapping[str, datetime.date | None],
    first_day: datetime.date,
) -> PickingDays:
    fruit, sprays = ready[turn.block], clear[turn.block]
    held = fruit is not None and sprays is not None and sprays > max(fruit, first_day)
    return PickingDays(turn.block, crew_days.get(turn.block, 0.0), fruit, sprays, held, turn)


def _ready_from(score: SeasonScore, block: str) -> datetime.date | None:
    """The latest of the dates under all rows of policy; None where one has none."""
    days = []
    for visit in score.latest():
        if visit.block != block:
            continue
        if visit.estimate is not None and visit.estimate.decision == "ready":
            days.append(visit.date)
            continue
        outlook = next((one for one in score.outlooks if one.belongs_to(visit)), None)
        date = None if outlook is None else outlook.earliest_date
        if date is None:
            return None
        days.append(date)
    return max(days, default=None)


def _clear_from(score: SeasonScore, block: str, first_day: datetime.date) -> datetime.date | None:
    """First whole day on which every period is over for every market of the block's policy."""
    markets = [row["market"] for row in score.season.tables["policy"].rows if row["block"] == block]
    days = [first_day]
    for market in markets or [None]:
        state = block_clearance(
            score.season.tables["sprays"].rows,
            block,
            market=market,
            as_of=datetime.datetime.combine(first_day, datetime.time()),
        )
        if state.cleared:
            continue
        if state.clear_from is None:
            return None
        over = state.clear_from.date()
        midnight = state.clear_from.time() == datetime.time()
        days.append(over if midnight else over + datetime.timedelta(days=1))
    return max(days)
