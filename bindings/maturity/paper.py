"""Pages whose unit is the millimetre, and what is drawn on all of them."""

from __future__ import annotations

import io
import os
from collections.abc import Iterable, Sequence

from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch, Rectangle
from matplotlib.path import Path as Outline

from maturity.marker_cells import CELLS_ACROSS, marker_cells
from maturity.tables import write_bytes

#: Width and height of pages, mm (ISO 216).
PAPERS = {"a4": (210.0, 297.0), "a3": (297.0, 420.0), "a4 across": (297.0, 210.0)}
CHECK_LINE_MM = 100.0
_MM_PER_INCH = 25.4


def blank_page(paper: str) -> tuple[Figure, Axes]:
    """A page whose data unit is the millimetre, origin at the lower left."""
    width, height = PAPERS[paper]
    figure = Figure(figsize=(width / _MM_PER_INCH, height / _MM_PER_INCH))
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, width)
    axes.set_ylim(0, height)
    axes.axis("off")
    return figure, axes


def write_pages(path: str | os.PathLike[str], pages: Iterable[Figure], title: str) -> None:
    """Write pages as one PDF, the same bytes each time, whole or not at all."""
    draft = io.BytesIO()
    with PdfPages(draft, metadata={"CreationDate": None, "Title": title}) as file:
        for page in pages:
            file.savefig(page)
    write_bytes(path, draft.getvalue())


def draw_check_line(axes: Axes, left: float, height: float) -> None:
    """A line of 100 mm with its ends marked."""
    right = left + CHECK_LINE_MM
    axes.plot([left, right], [height, height], color="black", lw=0.8, solid_capstyle="butt")
    for end in (left, right):
        axes.plot([end, end], [height - 3, height + 3], color="black", lw=0.8)


def draw_frame(axes: Axes, left: float, bottom: float, width: float, height: float) -> None:
    """A thin line to cut along."""
    axes.add_patch(Rectangle((left, bottom), width, height, fill=False, lw=0.3, ec="0.6"))


def draw_marker(axes: Axes, marker: int, left: float, bottom: float, size: float) -> None:
    """A marker of this size over its black border."""
    axes.add_patch(Rectangle((left, bottom), size, size, fc="black", ec="none"))
    cell = size / CELLS_ACROSS
    inside = (left + cell, bottom + cell)
    draw_cells(axes, marker_cells(marker), *inside, 4 * cell, colour="white")


def draw_cells(
    axes: Axes, rows: Sequence[str], left: float, bottom: float, size: float, *, colour: str
) -> None:
    """The cells that are 1, as one filled shape; a run in a row is one rectangle."""
    cell = size / len(rows)
    points: list[tuple[float, float]] = []
    for index, row in enumerate(rows):
        top = bottom + size - index * cell
        start = row.find("1")
        while start >= 0:
            end = row.find("0", start)
            end = len(row) if end < 0 else end
            x0, x1 = left + start * cell, left + end * cell
            points += [(x0, top - cell), (x1, top - cell), (x1, top), (x0, top), (x0, top)]
            start = row.find("1", end)
    codes = [Outline.MOVETO, *[Outline.LINETO] * 3, Outline.CLOSEPOLY] * (len(points) // 5)
    axes.add_patch(PathPatch(Outline(points, codes), fc=colour, ec="none", lw=0))
