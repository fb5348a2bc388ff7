"""The markers of the sample board as a page to print at true size."""

from __future__ import annotations

import os

from matplotlib.figure import Figure

from maturity.paper import blank_page, draw_check_line, draw_frame, draw_marker, write_pages

MARKER_MM = 40.0
_QUIET_MM = 10.0
_CORNERS = {0: "top left", 1: "top right", 2: "bottom right", 3: "bottom left"}
_LEFT_COLUMN_MM, _RIGHT_COLUMN_MM = 40.0, 130.0
_UPPER_ROW_MM, _LOWER_ROW_MM = 200.0, 115.0
#: Lower left corner of each marker on the page.
MARKER_PLACES = {
    0: (_LEFT_COLUMN_MM, _UPPER_ROW_MM),
    1: (_RIGHT_COLUMN_MM, _UPPER_ROW_MM),
    2: (_RIGHT_COLUMN_MM, _LOWER_ROW_MM),
    3: (_LEFT_COLUMN_MM, _LOWER_ROW_MM),
}


def write_marker_sheet(path: str | os.PathLike[str]) -> None:
    """Write an A4 page with the four markers, a check line and what to do, at true size."""
    write_pages(path, [marker_sheet()], "Board markers")


def marker_sheet() -> Figure:
    """The page as a figure whose data unit is the millimetre, origin at the lower left."""
    figure, axes = blank_page("a4")
    axes.text(20, 278, "Markers of the sample board", fontsize=16, weight="bold")
    axes.text(
        20,
        257,
        "Print at 100 % (no fitting to the page). Cut along the thin lines, keep the white rim.\n"
        "Tape the markers flat on the board, numbers upright: their centres 400 mm apart across\n"
        "and 300 mm apart down. Check with a tape: both diagonals are then 500 mm.",
        fontsize=9.5,
    )
    rim = MARKER_MM + 2 * _QUIET_MM
    for marker, (left, bottom) in MARKER_PLACES.items():
        draw_frame(axes, left - _QUIET_MM, bottom - _QUIET_MM, rim, rim)
        draw_marker(axes, marker, left, bottom, MARKER_MM)
        name = f"{marker}: {_CORNERS[marker]}"
        axes.text(left + MARKER_MM / 2, bottom - _QUIET_MM + 2.5, name, ha="center", fontsize=7)
    draw_check_line(axes, 55.0, 75.0)
    axes.text(
        105.0,
        65.0,
        "This line is 100 mm long. If it is not, give the measured marker size to the library,\n"
        "or print again without scaling.",
        ha="center",
        fontsize=9,
    )
    return figure
