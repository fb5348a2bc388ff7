"""Pictures on paper: board markers, number tiles, tree code cards, a paper tag."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np

from layout import MARKER_MM, MARKER_PAPER_MM, TILE_CODE_MM, TILE_MM, TREE_CARD_MM

_PX_PER_MM = 12
_DICTIONARY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_4X4_50)


def _code(marker: int, size_mm: float) -> np.ndarray:
    """The code blown up without blur: 6 x 6 squares of a whole number of pixels."""
    cell = round(size_mm * _PX_PER_MM / 6)
    small = cv2.aruco.drawMarker(_DICTIONARY, marker, 6, borderBits=1)
    return np.kron(small, np.ones((cell, cell), np.uint8))


def marker_paper(marker: int) -> np.ndarray:
    """A board marker on its paper square with a white rim."""
    side = round(MARKER_PAPER_MM * _PX_PER_MM)
    paper = np.full((side, side), 255, np.uint8)
    code = _code(marker, MARKER_MM)
    rim = (side - len(code)) // 2
    paper[rim : rim + len(code), rim : rim + len(code)] = code
    return paper


def tile(number: int) -> np.ndarray:
    """A number tile: fruit n has code 9 + n, and n printed beside it."""
    width, height = (round(v * _PX_PER_MM) for v in TILE_MM)
    paper = np.full((height, width), 255, np.uint8)
    code = _code(9 + number, TILE_CODE_MM)
    rim = (height - len(code)) // 2
    paper[rim : rim + len(code), rim : rim + len(code)] = code
    free = rim + len(code)
    text, font, scale, weight = str(number), cv2.FONT_HERSHEY_SIMPLEX, 7.0, 22
    (text_width, text_height), _ = cv2.getTextSize(text, font, scale, weight)
    at = (free + (width - free - text_width) // 2, (height + text_height) // 2)
    cv2.putText(paper, text, at, font, scale, 0, weight, cv2.LINE_AA)
    return paper


def tree_card(text: str) -> np.ndarray:
    """A square printed code (ISO/IEC 18004) that says block/tree/date."""
    side = round(TREE_CARD_MM[0] * _PX_PER_MM)
    code = cv2.QRCodeEncoder_create().encode(text)
    while np.all(code[0] == 255):
        code = code[1:-1, 1:-1]
    cell = side // (len(code) + 8)
    code = np.kron(code, np.ones((cell, cell), np.uint8))
    paper = np.full((side, side), 255, np.uint8)
    rim = (side - len(code)) // 2
    paper[rim : rim + len(code), rim : rim + len(code)] = code
    return paper


def paper_tag() -> np.ndarray:
    """A tag with lines of handwriting nobody can read, and a punched hole."""
    rng = np.random.default_rng(7)
    paper = np.full((432, 840, 3), (196, 222, 235), np.uint8)
    for row in range(3):
        x = np.arange(150, 780 - 120 * (row == 2))
        wave = 18 * np.sin(x / rng.uniform(7, 9)) * np.sin(x / 31 + row) + 110 + 105 * row
        points = np.column_stack([x, wave + rng.normal(0, 1, x.size)]).astype(np.int32)
        cv2.polylines(paper, [points], False, (90, 50, 40), 6, cv2.LINE_AA)
    cv2.circle(paper, (70, 216), 26, (60, 60, 60), -1, cv2.LINE_AA)
    return paper


def write_pictures(folder: Path, texts: set[str]) -> None:
    """All pictures that the scenes refer to, as PNG files named after their content."""
    folder.mkdir(parents=True, exist_ok=True)
    for marker in range(4):
        cv2.imwrite(str(folder / f"marker_{marker}.png"), marker_paper(marker))
    for number in range(1, 13):
        cv2.imwrite(str(folder / f"tile_{number}.png"), tile(number))
    for text in texts:
        name = "tree_" + text.replace("/", "_")
        cv2.imwrite(str(folder / f"{name}.png"), tree_card(text))
    cv2.imwrite(str(folder / "tag.png"), paper_tag())
