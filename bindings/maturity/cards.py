"""Number tiles for fruit and code cards for trees, as pages to print at true size."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator, Sequence
from typing import TypeVar

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from maturity import _core
from maturity.marker_cells import FIRST_TILE_ID, TILE_COUNT
from maturity.paper import (
    PAPERS,
    blank_page,
    draw_cells,
    draw_check_line,
    draw_frame,
    draw_marker,
    write_pages,
)

TILE_MM = (45.0, 32.0)
TILE_CODE_MM = 24.0
CARD_MM = (63.0, 74.0)
CARD_CODE_MM = 44.0
_SIDE_MM, _FOOT_MM, _HEAD_MM = 10.0, 26.0, 12.0
#: Points of the largest print, and the letters that fit a card in it.
_CARD_FONT, _CARD_LETTERS = 13.0, 18

One = TypeVar("One")
Draw = Callable[[Axes, One, float, float], None]


def write_cards(
    path: str | os.PathLike[str],
    *,
    tiles: int,
    trees: Sequence[tuple[str, str]],
    paper: str = "a4",
) -> None:
    """Write number tiles 1 to `tiles` and a code card for each (block, tree).

    Raises
    ------
    ValueError
        More tiles than there are markers, a name that cannot stand in a code, nothing to print.
    """
    write_pages(path, card_pages(tiles=tiles, trees=trees, paper=paper), "Number tiles and cards")


def card_pages(
    *, tiles: int, trees: Sequence[tuple[str, str]], paper: str = "a4"
) -> Iterator[Figure]:
    """The pages, see `write_cards`; what is wrong is said before the first."""
    if not 0 <= tiles <= TILE_COUNT:
        raise ValueError(f"tiles: {tiles}; expected 0 to {TILE_COUNT}, as there are markers")
    if not tiles and not trees:
        raise ValueError("nothing to print: no tile and no tree")
    codes = [
        (f"{block} / {tree}", _core.code_cells(card_text(block, tree))) for block, tree in trees
    ]
    numbers = list(range(1, tiles + 1))
    return _all_pages(numbers, codes, paper)


def card_text(block: str, tree: str) -> str:
    """What the code of a tree says: block/tree."""
    for what, name in (("block", block), ("tree", tree)):
        if not name.strip() or "/" in name or not name.isprintable():
            raise ValueError(f"{what} {name!r}: expected a name without / for a code card")
    return f"{block}/{tree}"


def _all_pages(
    numbers: list[int], codes: list[tuple[str, list[str]]], paper: str
) -> Iterator[Figure]:
    yield from _pages(
        numbers,
        TILE_MM,
        _draw_tile,
        paper,
        "Number tiles: one at each fruit, the number upright, not under it.",
    )
    yield from _pages(
        codes,
        CARD_MM,
        _draw_card,
        paper,
        "Tree code cards: lay the card of the tree flat on the board, beside the fruit.",
    )


def _pages(
    things: Sequence[One], size: tuple[float, float], draw: Draw[One], paper: str, use: str
) -> Iterator[Figure]:
    page_width, page_height = PAPERS[paper]
    columns = int((page_width - 2 * _SIDE_MM) // size[0])
    rows = int((page_height - _FOOT_MM - _HEAD_MM) // size[1])
    on_page = columns * rows
    for first in range(0, len(things), on_page):
        figure, axes = blank_page(paper)
        for index, thing in enumerate(things[first : first + on_page]):
            left = _SIDE_MM + (index % columns) * size[0]
            bottom = page_height - _HEAD_MM - (index // columns + 1) * size[1]
            draw_frame(axes, left, bottom, *size)
            draw(axes, thing, left, bottom)
        draw_check_line(axes, _SIDE_MM, 18.0)
        axes.text(
            _SIDE_MM,
            6.0,
            f"The line is 100 mm long: print at 100 %. Cut along the thin lines.\n{use}",
            fontsize=8,
        )
        yield figure


def _draw_tile(axes: Axes, number: int, left: float, bottom: float) -> None:
    rim = (TILE_MM[1] - TILE_CODE_MM) / 2
    draw_marker(axes, FIRST_TILE_ID + number - 1, left + rim, bottom + rim, TILE_CODE_MM)
    free = rim + TILE_CODE_MM
    middle = (left + (free + TILE_MM[0]) / 2, bottom + TILE_MM[1] / 2)
    axes.text(*middle, str(number), fontsize=30, weight="bold", ha="center", va="center")


def _draw_card(axes: Axes, card: tuple[str, list[str]], left: float, bottom: float) -> None:
    """The code keeps a white rim of four cells (ISO/IEC 18004) on each side."""
    name, cells = card
    rim = (CARD_MM[0] - CARD_CODE_MM) / 2
    corner = (left + rim, bottom + CARD_MM[1] - rim - CARD_CODE_MM)
    draw_cells(axes, cells, *corner, CARD_CODE_MM, colour="black")
    font = _CARD_FONT * min(1.0, _CARD_LETTERS / len(name))
    axes.text(
        left + CARD_MM[0] / 2,
        bottom + 5,
        name,
        fontsize=font,
        weight="bold",
        ha="center",
        va="center",
        parse_math=False,
    )
