"""Withholding and re-entry: a clearance must be complete, confirmed and over."""

from __future__ import annotations

import datetime

import pytest

from maturity.clearance import block_clearance, while_record_holds

NOON = datetime.datetime(2026, 11, 3, 12)


def spray(**changes):
    row = {
        "_row": 2,
        "block": "River",
        "finished_at": datetime.datetime(2026, 10, 20, 7, 30),
        "product": "Anything",
        "withholding_days": 14.0,
        "reentry_hours": 24.0,
        "market": None,
        "confirmed_by": "A. Person",
        "confirmed_on": datetime.date(2026, 10, 20),
    }
    return {**row, **changes}


def clearance(*rows, market=None, as_of=NOON):
    return block_clearance(rows, "River", market=market, as_of=as_of)


def test_no_record_is_not_a_clearance():
    state = clearance()
    assert not state.cleared and state.clear_from is None
    assert "no row for block River" in state.sentence()


def test_record_of_another_block_is_not_a_clearance():
    assert not clearance(spray(block="Hill")).cleared


def test_period_that_ended_clears_to_the_hour():
    # 14 days after 20 October 07:30 is 3 November 07:30.
    end = datetime.datetime(2026, 11, 3, 7, 30)
    assert clearance(spray(), as_of=end).cleared
    before = clearance(spray(), as_of=end - datetime.timedelta(minutes=1))
    assert not before.cleared and before.clear_from == end
    assert "2026-11-03 07:30" in before.sentence()


def test_longer_reentry_period_governs():
    state = clearance(spray(withholding_days=1.0, reentry_hours=24.0 * 15))
    assert not state.cleared
    assert state.clear_from == datetime.datetime(2026, 11, 4, 7, 30)
    assert "re-entry" in state.sentence()


@pytest.mark.parametrize(
    "changes",
    [
        {"confirmed_by": None},
        {"confirmed_on": None},
        {"withholding_days": None},
        {"reentry_hours": None},
        {"product": "none", "confirmed_by": None},
    ],
)
def test_gap_in_the_record_is_never_a_clearance(changes):
    state = clearance(spray(**changes))
    assert not state.cleared
    assert state.clear_from is None, "a date may not be promised on a record with a gap"


def test_statement_that_nothing_was_applied_clears():
    state = clearance(spray(product="None", withholding_days=None, reentry_hours=None))
    assert state.cleared and "nothing was applied" in state.sentence()
    assert state.confirmed_by == ["A. Person, 2026-10-20"]


def test_statement_does_not_wipe_out_an_open_period():
    assert not clearance(spray(withholding_days=30.0), spray(product="none")).cleared


def test_longest_of_several_products_holds():
    state = clearance(spray(), spray(product="Other", withholding_days=21.0))
    assert state.clear_from == datetime.datetime(2026, 11, 10, 7, 30)


def test_market_of_its_own_has_its_own_period():
    rows = (spray(market="near"), spray(market="far", withholding_days=28.0))
    assert clearance(*rows, market="near").cleared
    assert not clearance(*rows, market="far").cleared
    assert not clearance(*rows).cleared, "without a market the longest period holds"


def test_market_without_a_period_is_not_cleared():
    state = clearance(spray(market="near"), market="far")
    assert not state.cleared and "no withholding period for market far" in state.sentence()


def test_application_after_the_moment_counts():
    later = spray(finished_at=NOON + datetime.timedelta(days=1), withholding_days=0.0)
    assert not clearance(later).cleared


@pytest.mark.parametrize(
    ("confirmed_on", "cleared"),
    [(datetime.date(2026, 10, 20), True), (datetime.date(2026, 10, 19), False)],
)
@pytest.mark.parametrize("product", ["Anything", "none"])
def test_nobody_confirms_what_is_still_to_be_done(confirmed_on, cleared, product):
    # Finished on 20 October: that day's confirmation counts, one of the day before does not.
    state = clearance(spray(product=product, confirmed_on=confirmed_on))
    assert state.cleared is cleared
    assert cleared or "confirmed on 2026-10-19, before it was done" in state.sentence()


def test_a_day_without_its_hour_can_be_confirmed_on_that_day():
    # A date alone is read as the end of its day.
    midnight = datetime.datetime(2026, 10, 20)
    state = clearance(spray(finished_at=midnight, confirmed_on=datetime.date(2026, 10, 19)))
    assert state.cleared


def held(days, **changes):
    """State of River `days` after its record was last confirmed."""
    rows = [spray(withholding_days=1, **changes)]
    as_of = datetime.datetime(2026, 10, 20) + datetime.timedelta(days=days)
    return while_record_holds(
        block_clearance(rows, "River", market=None, as_of=as_of), rows, "River"
    )


def test_a_record_confirmed_long_ago_clears_nothing():
    assert held(14).cleared
    old = held(15)
    assert not old.cleared and old.clear_from is None
    assert "last confirmed for block River on 2026-10-20, more than 14 days" in old.sentence()
    assert "all periods over" not in old.sentence()
    # Wrong on purpose: without the check the same record clears.
    rows = [spray(withholding_days=1)]
    assert block_clearance(
        rows, "River", market=None, as_of=datetime.datetime(2026, 12, 20)
    ).cleared
    # What stands in the way already is said beside it.
    assert "not confirmed" in held(15, confirmed_by=None).sentence()
