"""Several shots of one board are counted once."""

from __future__ import annotations

import copy
import datetime

import numpy
import pytest
from maturity.photo_places import PlacedPhoto
from maturity.same_boards import leave_out_repeated_boards

DAY = datetime.date(2026, 11, 3)


def laid_board(seed):
    """Outlines of four fruit on a board, each of its own size, form and turn."""
    random = numpy.random.default_rng(seed)
    angle = numpy.linspace(0.0, 2.0 * numpy.pi, 120, endpoint=False)
    board = []
    for x, y in ((200, 200), (500, 210), (210, 520), (520, 500)):
        a, b = 110 * random.uniform(0.9, 1.1), 80 * random.uniform(0.9, 1.1)
        egg = 1.0 + random.uniform(0.05, 0.25) * numpy.cos(angle)
        turn = random.uniform(0.0, 6.28)
        points = numpy.c_[a * numpy.cos(angle), b * numpy.sin(angle) * egg]
        cosine, sine = numpy.cos(turn), numpy.sin(turn)
        board.append(points @ numpy.array([[cosine, sine], [-sine, cosine]]) + (x, y))
    return board


def shot(name, board, *, tree="1", usable=4, flags=(), shift=0.0, turn=0.0):
    cosine, sine = numpy.cos(turn), numpy.sin(turn)
    turned = [outline @ numpy.array([[cosine, sine], [-sine, cosine]]) + shift for outline in board]
    fruits = [
        {
            "fruit": i + 1,
            "usable": i < usable,
            "outline_px": outline.tolist(),
            "outline_se_px": 0.2,
            "flags": [],
        }
        for i, outline in enumerate(turned)
    ]
    return PlacedPhoto(name, {"flags": list(flags), "fruits": fruits}, "River", tree, DAY)


@pytest.fixture
def board():
    return laid_board(1)


def test_the_better_shot_counts_and_the_other_says_which(board):
    worse = shot("a.jpg", board, usable=3)
    better = shot("b.jpg", board, shift=40.0, turn=0.4)
    leave_out_repeated_boards([worse, better])
    assert better.left_out is None
    assert "b.jpg" in worse.left_out and "same_board" in worse.measurement["flags"]


def test_the_store_keeps_what_was_measured(board):
    first, second = shot("a.jpg", board), shot("b.jpg", board, shift=5.0)
    before = copy.deepcopy(second.measurement)
    measured = second.measurement
    leave_out_repeated_boards([first, second])
    assert second.left_out is not None
    assert measured == before


def test_a_photo_without_flags_is_the_better(board):
    dull = shot("a.jpg", board, flags=["few_markers"])
    clear = shot("b.jpg", board)
    leave_out_repeated_boards([dull, clear])
    assert dull.left_out is not None and clear.left_out is None


def test_three_shots_leave_one(board):
    shots = [shot(f"{i}.jpg", board, shift=10.0 * i, turn=0.1 * i) for i in range(3)]
    leave_out_repeated_boards(shots)
    assert [one.left_out is None for one in shots] == [True, False, False]


def test_other_fruit_and_other_trees_both_count(board):
    other_fruit = [shot("a.jpg", board), shot("b.jpg", laid_board(2))]
    leave_out_repeated_boards(other_fruit)
    other_tree = [shot("a.jpg", board), shot("b.jpg", board, tree="2")]
    leave_out_repeated_boards(other_tree)
    assert all(one.left_out is None for one in other_fruit + other_tree)


def test_what_is_left_out_already_keeps_its_reason(board):
    cut = shot("a.jpg", board)
    cut.left_out = "cut short"
    good = shot("b.jpg", board)
    leave_out_repeated_boards([cut, good])
    assert cut.left_out == "cut short" and good.left_out is None
