"""Which block is picked when: blocks by the day they may be picked, crews, and what slips."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from maturity import _core
from maturity.block_visit import BlockVisit
from maturity.clearance import block_clearance
from maturity.planning import HORIZON_DAYS
from maturity.scoring import SeasonScore
from maturity.season.season import Season
from maturity.views.plans import picking_frame, picking_html, picking_plot

#: Reasons that time alone mends; any other stops a date until it is seen to.
_OPEN_REASONS = {"rule_not_met", "not_settled"}


@dataclass(frozen=True)
class ReadyDay:
    """From when a block is likely to meet its rule.

    Attributes
    ----------
    day : date or None
        None: `why_not` says why.
    last_visit : date or None
    to_confirm : bool
        A forecast, which the next visit has to confirm.
    too_late : bool
        Its turn would come when its last visit says nothing any more.
    """

    day: datetime.date | None
    last_visit: datetime.date | None = None
    to_confirm: bool = False
    why_not: str | None = None
    too_late: bool = False


@dataclass(frozen=True)
class PickingDays:
    """Picking days of a block, as dates.

    Attributes
    ----------
    ready, clear : date or None
        Day from which it is likely to meet its rule, and first cleared day.
    to_confirm : bool
        `ready` is a forecast: only if the next visit confirms it.
    held_back : bool
        A withholding or re-entry period, not the fruit, sets the first day.
    turn : PickingTurn
        Its days count from day 1 of the calendar.
    why_not : str or None
        Why it has no date, where more is known than the turn says.
    too_late : bool
        Its turn would come when its last visit says nothing any more.
    """

    block: str
    crew_days: float
    ready: datetime.date | None
    clear: datetime.date | None
    held_back: bool
    turn: _core.PickingTurn
    to_confirm: bool = False
    why_not: str | None = None
    too_late: bool = False

    to_frame = picking_frame
    plot = picking_plot
    _repr_html_ = picking_html

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
            if self.too_late:
                return f"No picking day: {self.why_not}"
            more = "" if self.why_not is None else f": {self.why_not}"
            return f"{self.turn.not_planned_sentence}{more}"
        said = ["if the next visit confirms"] if self.to_confirm else []
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
            "to_confirm": self.to_confirm,
            "clear": text(self.clear),
            "held_back": self.held_back,
            "start": text(self.start),
            "finish": text(self.finish),
            "waits_days": self.turn.waits,
            "slack_days": self.turn.slack,
            "not_planned": self.turn.not_planned,
            "why_not": self.why_not,
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

    Returns
    -------
    list of PickingDays
        Nothing starts more than 21 days after a block's last visit.

    Raises
    ------
    ValueError
        An unknown block, crews or crew-days out of range.

    Examples
    --------
    >>> import datetime, pathlib, tempfile
    >>> from maturity import score_season
    >>> folder = pathlib.Path(tempfile.mkdtemp())
    >>> _ = (folder / "blocks.csv").write_text("block,cultivar\\nRiver,Amberlee\\n")
    >>> _ = (folder / "oven.csv").write_text(
    ...     "block,tree,date,fruit,dm_pct\\n"
    ...     + "".join(f"River,{tree},2026-11-03,1,{14 + tree / 4}\\n" for tree in range(1, 9))
    ... )
    >>> _ = (folder / "policy.csv").write_text(
    ...     "block,rule,minimum_dm_pct,required_share,confidence\\nRiver,share,15,0.9,0.9\\n"
    ... )
    >>> first = datetime.date(2026, 11, 10)
    >>> days = picking_days(score_season(folder), {"River": 4}, crews=2, first_day=first)
    >>> days[0].start is None, days[0].to_frame()["crew_days"].tolist()
    (True, [4])
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
    while True:
        asked = [_asked(name, ready[name], clear[name], crew_days, within) for name in blocks]
        turns = _core.plan_picking(asked, crews=crews, first_day=first_day.toordinal())
        late = next((turn for turn in turns if _beyond(turn, ready[turn.block])), None)
        if late is None:
            return [_dated(turn, crew_days, ready, clear, first_day) for turn in turns]
        # Crews freed by a block without a date may bring the ones after it forward.
        visit = ready[late.block].last_visit
        why = f"more than {HORIZON_DAYS} days after the last visit of {visit}; visit it again"
        ready[late.block] = ReadyDay(None, visit, why_not=why, too_late=True)


def _asked(
    name: str,
    ready: ReadyDay,
    clear_day: datetime.date | None,
    crew_days: Mapping[str, float],
    within: int | None,
) -> _core.PickingBlock:
    last = None
    if within is not None and ready.day is not None:
        last = (ready.day + datetime.timedelta(days=within)).toordinal()
    return _core.PickingBlock(
        block=name,
        ready_day=None if ready.day is None else ready.day.toordinal(),
        clear_day=None if clear_day is None else clear_day.toordinal(),
        crew_days=crew_days.get(name, 0.0),
        last_day=last,
    )


def _beyond(turn: _core.PickingTurn, ready: ReadyDay) -> bool:
    if turn.start is None or ready.last_visit is None:
        return False
    return bool(turn.start > ready.last_visit.toordinal() + HORIZON_DAYS)


def _dated(
    turn: _core.PickingTurn,
    crew_days: Mapping[str, float],
    ready: Mapping[str, ReadyDay],
    clear: Mapping[str, datetime.date | None],
    first_day: datetime.date,
) -> PickingDays:
    fruit, sprays = ready[turn.block], clear[turn.block]
    held = fruit.day is not None and sprays is not None and sprays > max(fruit.day, first_day)
    return PickingDays(
        turn.block,
        crew_days.get(turn.block, 0.0),
        fruit.day,
        sprays,
        held,
        turn,
        fruit.to_confirm,
        fruit.why_not if turn.not_planned == "no_date" else None,
        fruit.too_late and turn.not_planned == "no_date",
    )


def _ready_from(score: SeasonScore, block: str) -> ReadyDay:
    """The latest of the days under all rows of policy; without a day where one has none."""
    days = [_ready_under(score, visit) for visit in score.latest() if visit.block == block]
    without = next((one for one in days if one.day is None), None)
    if without is not None or not days:
        return without or ReadyDay(None)
    last = max(one.day for one in days if one.day is not None)
    return ReadyDay(last, days[0].last_visit, any(one.to_confirm for one in days))


def _ready_under(score: SeasonScore, visit: BlockVisit) -> ReadyDay:
    """Day under one row of policy: of the last visit where it is ready, else of the forecast."""
    estimate = visit.estimate
    if estimate is not None and estimate.decision == "ready" and visit.walk_hold is None:
        return ReadyDay(visit.date, visit.date)
    if estimate is not None and not _OPEN_REASONS.issuperset(estimate.reasons):
        why = " ".join(visit.estimate_sentences())
        return ReadyDay(None, visit.date, why_not=f"the last visit is not ready. {why}")
    outlook = next((one for one in score.outlooks if one.belongs_to(visit)), None)
    date = None if outlook is None else outlook.earliest_date
    if date is None:
        meter = None if outlook is None else outlook.unchecked_meter
        why_not = None if meter is None else f"no oven fruit ever checked meter {meter}"
        return ReadyDay(None, visit.date, why_not=why_not)
    # What the last visit did not find, only a later one can.
    return ReadyDay(max(date, visit.date + datetime.timedelta(days=1)), visit.date, True)


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
