"""A few photos of the sample season, and pictures made here, for tests of measuring."""

from __future__ import annotations

from pathlib import Path

import numpy
import pytest
from PIL import Image

SAMPLE_SEASON = Path(__file__).parents[2] / "sample-images" / "season"


def sample_photos(count: int) -> list[Path]:
    """The first photos of the sample season by name."""
    photos = sorted((SAMPLE_SEASON / "photos").rglob("*.jpg"))
    if len(photos) < count:
        pytest.fail(f"{SAMPLE_SEASON} holds {len(photos)} photos, {count} are needed")
    return photos[:count]


def board_picture(mm_per_px: float, *, markers: bool = True) -> Image.Image:
    """A white board of 600 x 450 mm seen from straight above, with its markers and no fruit."""
    from maturity.marker_cells import CELLS_ACROSS, marker_cells
    from maturity.marker_sheet import MARKER_MM

    width, height = round(600 / mm_per_px), round(450 / mm_per_px)
    pixels = numpy.full((height, width), 225, dtype=numpy.uint8)
    centres = {0: (100, 75), 1: (500, 75), 2: (500, 375), 3: (100, 375)}
    cell = MARKER_MM / CELLS_ACROSS
    y_mm, x_mm = numpy.mgrid[0:height, 0:width] * mm_per_px + mm_per_px / 2
    for marker, (x, y) in centres.items() if markers else ():
        column = numpy.floor((x_mm - x + MARKER_MM / 2) / cell).astype(int)
        row = numpy.floor((y_mm - y + MARKER_MM / 2) / cell).astype(int)
        inside = (column >= 0) & (column < CELLS_ACROSS) & (row >= 0) & (row < CELLS_ACROSS)
        pixels[inside] = 15
        for r, cells in enumerate(marker_cells(marker), start=1):
            for c, sign in enumerate(cells, start=1):
                if sign == "1":
                    pixels[inside & (column == c) & (row == r)] = 240
    return Image.fromarray(pixels).convert("RGB")
