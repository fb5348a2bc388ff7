"""Printed pages as another program (poppler) draws and reads them."""

from __future__ import annotations

import subprocess
from pathlib import Path

import numpy
from PIL import Image

#: Five dots for each millimetre.
DPI = 127
DOTS_PER_MM = 5


def page_pictures(pdf: Path, *, only: int | None = None) -> list[Image.Image]:
    """Each page (or only one, from 1) drawn in grey by pdftoppm."""
    stem = pdf.with_suffix("")
    pages = [] if only is None else ["-f", str(only), "-l", str(only)]
    draw = ["pdftoppm", "-gray", "-r", str(DPI), *pages, str(pdf), f"{stem}-page"]
    subprocess.run(draw, check=True)
    found = sorted(stem.parent.glob(f"{stem.name}-page-*.pgm"))
    pictures = [Image.open(path).convert("L") for path in found]
    for path in found:
        path.unlink()
    return pictures


def page_texts(pdf: Path) -> list[str]:
    """The text of each page, as pdftotext reads it."""
    done = subprocess.run(
        ["pdftotext", "-layout", str(pdf), "-"], check=True, capture_output=True, text=True
    )
    return [" ".join(page.split()) for page in done.stdout.split("\f")[:-1]]


def longest_line_mm(page: Image.Image, bottom_mm: float, height_mm: float) -> float:
    """The longest unbroken dark horizontal run in a strip above the lower edge of a page."""
    dark = numpy.asarray(page.convert("L")) < 110
    low = dark.shape[0] - int(bottom_mm * DOTS_PER_MM)
    longest = 0
    for row in dark[low - int(height_mm * DOTS_PER_MM) : low]:
        edges = numpy.flatnonzero(numpy.diff(numpy.concatenate(([0], row.astype(int), [0]))))
        runs = edges[1::2] - edges[::2]
        longest = max(longest, int(runs.max(initial=0)))
    return longest / DOTS_PER_MM


def ink_box_mm(page: Image.Image, box: tuple[float, float, float, float]) -> tuple[float, float]:
    """Width and height of what is drawn within a box (left, top, right, bottom), mm."""
    cut = page.convert("L").crop(tuple(round(side * DOTS_PER_MM) for side in box))
    inked = cut.point(lambda value: 255 if value < 235 else 0).getbbox()
    return (inked[2] - inked[0]) / DOTS_PER_MM, (inked[3] - inked[1]) / DOTS_PER_MM
