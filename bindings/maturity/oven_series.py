"""Successive weighings of one oven sample: had its mass become constant?"""

from __future__ import annotations

from collections.abc import Callable

from maturity import _core
from maturity.season.table import ROW_NUMBER, Row

#: The end rule: two weighings in a row, an hour or more apart, that differ by no more than this, or
#: than one step of the balance where that is coarser (see `maturity.judge_drying` for the source).
CONSTANT_MASS_G, AGREEING, HOURS_APART = 0.01, 2, 1.0

#: What a sample lost last, in % of its fresh weight, up to which its dry matter still counts: the
#: repeat error of an oven.
_SMALL_LOSS_PCT = 0.15


def dried_sample(rows: list[Row], doubts: list[str]) -> Row | None:
    """One row for the weighings of one sample, with the dried weight that counts.

    None: it was losing weight when it was last weighed, by more than an oven repeats; its dry
    matter would read high. What is doubtful is added to `doubts`.
    """
    if len(rows) == 1:
        return rows[0]
    in_time = sorted(rows, key=lambda row: (row["hours"] is not None, row["hours"] or 0.0))
    last = dict(in_time[-1])
    weighed = [row for row in in_time if row["hours"] is not None and row["dish_dried_g"]]
    untimed = [row for row in in_time if row["hours"] is None and row["dish_dried_g"] is not None]
    for row in untimed:
        doubts.append(
            f"oven.csv row {row[ROW_NUMBER]} has a dried weight without hours beside other "
            "weighings of this sample: it does not count"
        )
    if not weighed:
        stated = [row for row in in_time if row["dm_pct"] is not None]
        if len(stated) > 1:
            doubts.append("dm_pct is stated at several hours: the last counts, dry or not")
        return stated[-1] if stated else last
    step = max(CONSTANT_MASS_G, last["balance_g"] or 0.0)
    timed = weighed[-1]["dish_dried_g"]
    lost = timed - min((row["dish_dried_g"] for row in untimed), default=timed)
    if lost > step + 1e-9:
        doubts.append(
            f"still_losing: a weighing without hours is {lost:.2f} g lighter than the last with "
            "hours, which was not dry and does not count either: write the hours"
        )
        return None
    last.update({name: weighed[-1][name] for name in ("dish_dried_g", "hours", ROW_NUMBER)})
    for name in ("dish_g", "dish_fresh_g"):
        values = [row[name] for row in in_time if row[name] is not None]
        if len(set(values)) > 1:
            text = ", ".join(f"{value:g}" for value in values)
            doubts.append(f"{name} differs between the weighings of a sample ({text}): first used")
        last[name] = values[0] if values else None
    return last if len(weighed) < 2 else _judged(last, weighed, doubts)


def _judged(last: Row, weighed: list[Row], doubts: list[str]) -> Row | None:
    hours = [row["hours"] for row in weighed]
    grams = [row["dish_dried_g"] for row in weighed]
    found = _core.judge_drying(
        hours,
        grams,
        within_g=max(CONSTANT_MASS_G, last["balance_g"] or 0.0),
        agreeing=AGREEING,
        hours_apart=HOURS_APART,
    )
    say: Callable[[str], None] = doubts.append
    when = f"at {hours[-1]:g} h"
    if found.state == "cannot_tell":
        say(f"cannot_tell: {found.sentence} (last {when}, {HOURS_APART:g} h apart asked for)")
    elif found.state == "gained":
        last["dish_dried_g"] = min(grams)
        say(
            f"gained: {found.sentence} ({-(found.last_loss_g or 0.0):.2f} g more {when}); the "
            f"lightest weight, {min(grams):g} g, is used"
        )
    elif found.state == "still_losing":
        loss = found.last_loss_g or 0.0
        if last["dish_fresh_g"] is None or last["dish_g"] is None:
            return last
        share = 100.0 * loss / (last["dish_fresh_g"] - last["dish_g"])
        lost = f"still_losing: {loss:.2f} g less {when} than before, {share:.2f} % of fresh weight"
        if share > _SMALL_LOSS_PCT:
            say(f"{lost}; it was not dry and does not count: weigh again")
            return None
        say(f"{lost}; it counts, and may read high by as much")
    return last
