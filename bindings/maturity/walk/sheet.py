"""The walk as pages to print and write on: A4, black on white, readable at arm's length."""

from __future__ import annotations

import os
import textwrap
from collections.abc import Iterator

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from maturity.paper import PAPERS, blank_page, draw_check_line, write_pages
from maturity.walk.plan import WalkPlan
from maturity.walk.sheet_map import draw_map, map_caption
from maturity.walk.stops import SIDES, Round, Stop, TakenFruit

_WIDTH, _HEIGHT = PAPERS["a4"]
_LEFT, _RIGHT, _TOP, _FOOT = 12.0, 198.0, 285.0, 32.0
_LINE_MM = 4.2
#: A stop: its names at the left, its fruit in cells at the right.
_NAMES_MM, _CELL_MM, _ROW_MM, _GAP_MM = 34.0, 38.0, 15.0, 2.5
_CELLS = int((_RIGHT - _LEFT - _NAMES_MM) // _CELL_MM)
_BOX_MM = 6.0
#: Room of the heading of a round.
_HEADING_MM = 9.0
#: Letters of a row's line and of a tree's name that fit in their largest print.
_ROW_LETTERS, _TREE_LETTERS = 10, 8
#: Letters across the page at 10 points.
_WRAP = 100

CAUTIONS = (
    "General cautions. Labels, local rules and licensed practice come first. Sap burns: gloves, "
    "long sleeves, eye protection; wash it off; seek help for blisters or eyes. Heat: water, "
    "shade, rest. High fruit: from the ground with a pole, ladders only as local rules allow, far "
    "from power lines. Blades: cut away from the hand."
)
_SIDES_SAID = (
    f"Sides as you come along the row: {', '.join(SIDES)} (beyond the trunk: far). Take the first "
    "fruit within reach there, not the best. None there: the nearest one, and write where."
)


def write_sheet(path: str | os.PathLike[str], plan: WalkPlan) -> None:
    """Write the sheet: a first page with what to know and the map, then the stops."""
    write_pages(path, sheet_pages(plan), f"Walk, block {plan.block}, {plan.moment:%Y-%m-%d}")


def sheet_pages(plan: WalkPlan) -> Iterator[Figure]:
    """The pages; data unit mm, origin at the lower left."""
    pages = _pages_of_stops(plan)
    count = 1 + len(pages)
    yield _first_page(plan, count)
    for index, strips in enumerate(pages, 2):
        yield _stop_page(plan, strips, index, count)


def _pages_of_stops(plan: WalkPlan) -> list[list[tuple[str, Stop]]]:
    """Stops cut into pages, each with the heading it stands under."""
    pages: list[list[tuple[str, Stop]]] = []
    room = 0.0
    for number, one in enumerate(plan.rounds, 1):
        for stop in one.stops:
            need = _stop_height(stop)
            first = stop is one.stops[0]
            heading = _round_heading(plan, number, one) if first else ""
            need += _HEADING_MM if first else 0.0
            if need > room:
                pages.append([])
                room = _TOP - 16.0 - _FOOT
            pages[-1].append((heading, stop))
            room -= need
    if len(pages) > 1:
        _share_out(pages[-2], pages[-1])
    return pages


def _share_out(full: list[tuple[str, Stop]], last: list[tuple[str, Stop]]) -> None:
    """Move stops on, so that the last page does not hold a lone row."""

    def height(page: list[tuple[str, Stop]]) -> float:
        return sum(_stop_height(stop) + _HEADING_MM * bool(heading) for heading, stop in page)

    while height(last) + 2 * height(full[-1:]) <= height(full):
        last.insert(0, full.pop())


def _round_heading(plan: WalkPlan, number: int, one: Round) -> str:
    text = f"Round {number} of {len(plan.rounds)}" if len(plan.rounds) > 1 else "The walk"
    return text + ("" if one.length_m is None else f", {one.length_m:.0f} m")


def _stop_height(stop: Stop) -> float:
    return _ROW_MM * -(-len(stop.fruit) // _CELLS) + _GAP_MM


def _head(axes: Axes, plan: WalkPlan, page: int, count: int) -> None:
    axes.text(
        _LEFT,
        _TOP,
        f"Walk, block {plan.block}",
        fontsize=17,
        weight="bold",
        va="center",
        parse_math=False,
    )
    axes.text(
        _RIGHT,
        _TOP,
        f"{plan.moment:%Y-%m-%d}   seed {plan.seed}   page {page} of {count}",
        fontsize=9.5,
        ha="right",
        va="center",
    )
    axes.plot([_LEFT, _RIGHT], [_TOP - 5, _TOP - 5], color="black", lw=1.2)


def _write(axes: Axes, top: float, text: str, *, size: float = 10.5, bold: bool = False) -> float:
    """Write wrapped text; returns the height below it."""
    lines = textwrap.wrap(text, int(_WRAP * 10.0 / size))
    for line in lines:
        axes.text(
            _LEFT,
            top,
            line,
            fontsize=size,
            weight="bold" if bold else "normal",
            va="top",
            parse_math=False,
        )
        top -= _LINE_MM * size / 9.5
    return top - 1.2


def _first_page(plan: WalkPlan, count: int) -> Figure:
    figure, axes = blank_page("a4")
    _head(axes, plan, 1, count)
    top = _TOP - 9.0
    top = _write(axes, top, f"{plan.cultivar}. {plan.size_sentence()}")
    length = "" if plan.in_one_go_m is None else f" About {plan.in_one_go_m:.0f} m in one go."
    if len(plan.rounds) > 1:
        top = _write(
            axes,
            top,
            f"{len(plan.rounds)} rounds, each a sample of the whole block: look at results after a "
            f"whole round only, never in between. Enter all fruit under {plan.moment:%Y-%m-%d}, "
            f"whatever day a round is walked.{length}",
        )
    else:
        top = _write(axes, top, f"Look at results when all trees are done.{length}")
    top = _write(axes, top, _SIDES_SAID)
    top = _write(
        axes,
        top,
        "Boxes: tick when taken. DRY goes into the oven: write the label of its bag. Photograph "
        "all fruit of a tree on the board with number tiles and the tree's code card.",
    )
    if plan.not_for_eating is not None:
        top = _write(axes, top, "NOT FOR EATING OR SALE: fruit of this walk.", size=13, bold=True)
        top = _write(axes, top, plan.not_for_eating, size=9)
    top = _entry_box(axes, plan, top - 1.0)
    for note in plan.notes:
        top = _write(axes, top, f"Note: {note}.", size=8.5)
    for name in plan.left_out:
        top = _write(axes, top, f"Left out: {name}.", size=8.5)
    bottom = draw_map(axes, plan, left=_LEFT, right=_RIGHT, top=top - 3.0, lowest=_FOOT + 14.0)
    if bottom is not None:
        _write(axes, bottom - 3.5, map_caption(plan), size=8)
    _foot(axes)
    return figure


def _entry_box(axes: Axes, plan: WalkPlan, top: float) -> float:
    """What re-entry rests on, and a line to sign on the morning."""
    lines = list(plan.entry.reasons) + list(plan.entry.notes)
    if plan.entry.taken_on_by is not None:
        lines.insert(0, f"OPEN OR UNKNOWN, taken on by {plan.entry.taken_on_by}")
    wrapped = [part for line in lines for part in textwrap.wrap(f"- {line}", 112)]
    declared = (
        "Nothing was applied since; may be entered."
        if plan.entry.taken_on_by is None
        else "I know this and stand for going in."
    )
    height = 19.0 + 4.0 * len(wrapped)
    axes.add_patch(
        Rectangle((_LEFT, top - height), _RIGHT - _LEFT, height, fill=False, lw=1.6, ec="black")
    )
    axes.text(
        _LEFT + 3,
        top - 5,
        f"Re-entry, {plan.moment:%Y-%m-%d %H:%M}: going in to sample is entry too",
        fontsize=11,
        weight="bold",
        va="center",
    )
    for index, line in enumerate(wrapped):
        axes.text(
            _LEFT + 3, top - 10 - 4.0 * index, line, fontsize=9, va="center", parse_math=False
        )
    axes.text(
        _LEFT + 3,
        top - height + 5,
        f"{declared} Name, time: ______________________________",
        fontsize=9.5,
        va="center",
    )
    return top - height - 3.0


def _stop_page(plan: WalkPlan, strips: list[tuple[str, Stop]], page: int, count: int) -> Figure:
    figure, axes = blank_page("a4")
    _head(axes, plan, page, count)
    top = _TOP - 9.0
    for heading, stop in strips:
        if heading:
            axes.text(_LEFT, top - 3.5, heading, fontsize=12, weight="bold", va="center")
            top -= _HEADING_MM
        _draw_stop(axes, stop, top)
        top -= _stop_height(stop)
    axes.text(
        _LEFT,
        _FOOT - 1.0,
        "Walked by ____________________  from ________  to ________",
        fontsize=9.5,
    )
    if plan.not_for_eating is not None:
        axes.text(
            _RIGHT, _FOOT - 1.0, "NOT FOR EATING OR SALE", fontsize=10, weight="bold", ha="right"
        )
    _foot(axes)
    return figure


def _draw_stop(axes: Axes, stop: Stop, top: float) -> None:
    height = _stop_height(stop) - _GAP_MM
    axes.add_patch(
        Rectangle((_LEFT, top - height), _RIGHT - _LEFT, height, fill=False, lw=0.8, ec="black")
    )
    axes.text(
        _LEFT + 5.5,
        top - 7.5,
        str(stop.number),
        fontsize=15,
        weight="bold",
        ha="center",
        va="center",
    )
    row = f"Row {stop.row}, tree"
    axes.text(
        _LEFT + 12,
        top - 4.7,
        row,
        fontsize=10.5 * min(1.0, _ROW_LETTERS / len(row)),
        va="center",
        parse_math=False,
    )
    axes.text(
        _LEFT + 12,
        top - 10.6,
        stop.tree,
        fontsize=12.0 * min(1.0, _TREE_LETTERS / len(stop.tree)),
        weight="bold",
        va="center",
        parse_math=False,
    )
    for index, fruit in enumerate(stop.fruit):
        left = _LEFT + _NAMES_MM + (index % _CELLS) * _CELL_MM
        _draw_fruit(axes, fruit, left, top - (index // _CELLS) * _ROW_MM)


def _draw_fruit(axes: Axes, fruit: TakenFruit, left: float, top: float) -> None:
    axes.plot([left, left], [top, top - _ROW_MM], color="0.6", lw=0.5)
    axes.add_patch(
        Rectangle((left + 2, top - 1.6 - _BOX_MM), _BOX_MM, _BOX_MM, fill=False, lw=1.0, ec="black")
    )
    axes.text(left + 9.3, top - 4.7, f"{fruit.fruit}", fontsize=12.5, weight="bold", va="center")
    axes.text(left + 13.5, top - 4.7, f"{fruit.side}, {fruit.height}", fontsize=8.8, va="center")
    if fruit.dry:
        axes.text(left + 2, top - 11.6, "DRY", fontsize=9.5, weight="bold", va="center")
        axes.text(left + 11.5, top - 11.6, "bag _________", fontsize=9, va="center")


def _foot(axes: Axes) -> None:
    for index, line in enumerate(textwrap.wrap(CAUTIONS, 132)):
        axes.text(_LEFT, 25.0 - 3.6 * index, line, fontsize=8, va="center")
    draw_check_line(axes, _LEFT, 10.0)
    axes.text(_LEFT + 104, 10.0, "100 mm: printed at 100 % if it is", fontsize=7.5, va="center")
