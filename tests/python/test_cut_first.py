"""Which photographed fruit to cut first: an order with its uncertainty, never a verdict."""

from __future__ import annotations

import datetime
from types import SimpleNamespace

import pytest

from maturity.cut_first import cut_first


def fruit(number, mean, **changes):
    given = dict(has_shape=True, oven_dm_pct=None, photo="a.jpg", tree="3", mean_dm_pct=mean)
    return {**given, "fruit": number, "interval": (mean - 2.5, mean + 2.5), **changes}


def score(rows):
    visit = SimpleNamespace(
        block="River", latest=True, fruit=rows, date=datetime.date(2026, 11, 24)
    )
    return SimpleNamespace(season=SimpleNamespace(blocks=["River", "Hill"]), visits=[visit])


def test_least_mature_first_and_dried_or_unseen_fruit_left_out():
    rows = [
        fruit(1, 15.0),
        fruit(2, 13.0),
        fruit(3, 12.0, oven_dm_pct=12.1),
        fruit(4, 11.0, has_shape=False),
        fruit(5, 14.0),
        fruit(6, 14.0, interval=None),
    ]
    order = cut_first(score(rows), "River")
    assert [row["fruit"] for row in order.fruit] == [2, 5, 1]
    assert order.width_pct == 5.0


def test_no_fruit_is_called_immature_by_its_photo():
    caution = cut_first(score([fruit(1, 9.0)]), "River").caution()
    assert "no fruit is called immature by its photo" in caution
    assert "known to 5 points" in caution and "drawn at random" in caution


@pytest.mark.parametrize(
    ("block", "sentence"),
    [("Nowhere", "no block 'Nowhere' in blocks.csv (River, Hill)"), ("Hill", "dry some fruit")],
)
def test_what_cannot_be_ordered_is_said(block, sentence):
    with pytest.raises(ValueError, match=sentence.replace("(", r"\(").replace(")", r"\)")):
        cut_first(score([fruit(1, 9.0)]), block)
