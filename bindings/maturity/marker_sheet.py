"""The markers of the sample board as a page to print at true size."""

from __future__ import annotations

import os
from pathlib import Path

from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import FigureCanvasPdf
from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

#: Inner 4 x 4 cells of the markers 0..3, row by row, 1 is white: OpenCV's predefined ArUco
#: dictionary DICT_4X4_50 (printed from OpenCV 4.6; checked by a test that finds them again).
MARKER_CELLS = {
    0: ("1011", "0101", "0011", "0010"),
    1: ("0000", "1111", "1001", "1010"),
    2: ("0011", "0011", "0010", "1101"),
    3: ("1001", "1001", "0100", "0110"),
}
MARKER_MM = 40.0
#: A marker is 4 cells and a black border of one cell.
CELLS_ACROSS = 6
PAGE_WIDTH_MM, PAGE_HEIGHT_MM = 210.0, 297.0
_MM_PER_INCH = 25.4
_CHECK_LINE_MM = 100.0
_QUIET_MM = 10.0
_CORNERS = {0: "top left", 1: "top right", 2: "bottom right", 3: "bottom left"}
_LEFT_COLUMN_MM, _RIGHT_COLUMN_MM = 40.0, 130.0
_UPPER_ROW_MM, _LOWER_ROW_MM = 200.0, 115.0


def write_marker_sheet(path: str | os.PathLike[str]) -> None:
    """Write an A4 page with the four markers, a check line and what to do, at true size."""
    figure = marker_sheet()
    FigureCanvasPdf(figure)
    Path(path).parent.mkdir(parents=True, exist_ok=True)
    figure.savefig(path, format="pdf", metadata={"CreationDate": None, "Title": "Board markers"})


def marker_sheet() -> Figure:
    """The page as a figure whose data unit is the millimetre, origin at the lower left."""
    figure = Figure(figsize=(PAGE_WIDTH_MM / _MM_PER_INCH, PAGE_HEIGHT_MM / _MM_PER_INCH))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, PAGE_WIDTH_MM)
    axes.set_ylim(0, PAGE_HEIGHT_MM)
    axes.axis("off")
    axes.text(20, 278, "Markers of the sample board", fontsize=16, weight="bold")
    axes.text(
        20,
        252,
        "Print at 100 % (no fitting to the page). Cut along the thin lines, keep the white rim.\n"
        "Tape the markers flat on the board, numbers upright: their centres 400 mm apart across\n"
        "and 300 mm apart down. Check with a tape: both diagonals are then 500 mm.",
        fontsize=9.5,
    )
    places = {
        0: (_LEFT_COLUMN_MM, _UPPER_ROW_MM),
        1: (_RIGHT_COLUMN_MM, _UPPER_ROW_MM),
        3: (_LEFT_COLUMN_MM, _LOWER_ROW_MM),
        2: (_RIGHT_COLUMN_MM, _LOWER_ROW_MM),
    }
    for marker, (x, y) in places.items():
        _draw_marker(axes, marker, x, y)
    _draw_check_line(axes)
    return figure


def _draw_marker(axes: Axes, marker: int, left: float, bottom: float) -> None:
    rim = MARKER_MM + 2 * _QUIET_MM
    axes.add_patch(
        Rectangle((left - _QUIET_MM, bottom - _QUIET_MM), rim, rim, fill=False, lw=0.3, ec="0.6")
    )
    axes.add_patch(Rectangle((left, bottom), MARKER_MM, MARKER_MM, fc="black", ec="none"))
    cell = MARKER_MM / CELLS_ACROSS
    for row, cells in enumerate(MARKER_CELLS[marker]):
        for column, sign in enumerate(cells):
            if sign == "1":
                corner = (left + (column + 1) * cell, bottom + MARKER_MM - (row + 2) * cell)
                axes.add_patch(Rectangle(corner, cell, cell, fc="white", ec="none"))
    axes.text(
        left + MARKER_MM / 2,
        bottom - _QUIET_MM + 2.5,
        f"{marker}: {_CORNERS[marker]}",
        ha="center",
        fontsize=7,
    )


def _draw_check_line(axes: Axes) -> None:
    left, height = 55.0, 75.0
    right = left + _CHECK_LINE_MM
    axes.plot([left, right], [height, height], color="black", lw=0.8, solid_capstyle="butt")
    for end in (left, right):
        axes.plot([end, end], [height - 3, height + 3], color="black", lw=0.8)
    axes.text(
        left + _CHECK_LINE_MM / 2,
        height - 10,
        "This line is 100 mm long. If it is not, give the measured marker size to the library,\n"
        "or print again without scaling.",
        ha="center",
        fontsize=9,
    )
