"""The sheet of markers: true size on paper, the cells of the dictionary."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest
from PIL import Image

from maturity.marker_cells import MARKER_COUNT, marker_cells
from maturity.marker_sheet import marker_sheet, write_marker_sheet

_DPI = 254  # ten dots for each millimetre


def test_page_is_a4_and_written_the_same_each_time(tmp_path):
    write_marker_sheet(tmp_path / "a.pdf")
    write_marker_sheet(tmp_path / "b.pdf")
    data = (tmp_path / "a.pdf").read_bytes()
    assert data == (tmp_path / "b.pdf").read_bytes()
    (box,) = re.findall(rb"/MediaBox \[ 0 0 ([\d.]+) ([\d.]+) \]", data)
    # A4 is 210 x 297 mm (ISO 216), a point is 1/72 inch.
    assert [float(side) * 25.4 / 72 for side in box] == pytest.approx([210, 297], abs=0.05)


def test_check_line_and_markers_have_their_true_size(tmp_path):
    """Measured on the page rendered by another program where it is there, else by matplotlib."""
    if shutil.which("pdftoppm"):
        write_marker_sheet(tmp_path / "a.pdf")
        subprocess.run(
            ["pdftoppm", "-png", "-r", str(_DPI), "-singlefile", "a.pdf", "a"],
            cwd=tmp_path,
            check=True,
        )
    else:
        from matplotlib.backends.backend_agg import FigureCanvasAgg

        figure = marker_sheet()
        FigureCanvasAgg(figure)
        figure.savefig(tmp_path / "a.png", dpi=_DPI)
    page = Image.open(tmp_path / "a.png").convert("L")
    dark = page.point(lambda value: 255 if value < 100 else 0)
    # The check line lies 75 mm above the lower edge.
    line = dark.crop((0, 2970 - 755, 2100, 2970 - 745)).getbbox()
    assert (line[2] - line[0]) / 10 == pytest.approx(100, abs=0.5)
    # Marker 0: its corner 40 mm from the left and 200 mm from the lower edge, 40 mm wide.
    marker = dark.crop((320, 2970 - 2450, 880, 2970 - 1950)).getbbox()
    assert (marker[2] - marker[0]) / 10 == pytest.approx(40, abs=0.5)


def test_no_marker_is_another_one_turned():
    def turned(cells):
        return tuple("".join(row[i] for row in reversed(cells)) for i in range(4))

    seen = set()
    for cells in map(marker_cells, range(MARKER_COUNT)):
        for _ in range(4):
            assert cells not in seen
            seen.add(cells)
            cells = turned(cells)
