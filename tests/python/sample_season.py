"""The committed sample season as plain values, for the tests of it."""

from __future__ import annotations

import csv
import json
from pathlib import Path
from typing import Any

import numpy as np

SAMPLE_IMAGES = Path(__file__).resolve().parents[2] / "sample-images"
SEASON = SAMPLE_IMAGES / "season"
PHOTOS = SEASON / "photos"
TRUTH = {
    values["photo"]: values
    for path in sorted((SAMPLE_IMAGES / "truth").glob("*/*.json"))
    for values in [json.loads(path.read_text(encoding="utf-8"))]
}
SEASON_TRUTH = json.loads((SAMPLE_IMAGES / "truth" / "season.json").read_text(encoding="utf-8"))
FRUIT = [(photo, fruit) for photo, truth in TRUTH.items() for fruit in truth["fruits"]]


def rows(name: str) -> list[dict[str, str]]:
    """A table as strict CSV: every row as wide as the header."""
    with (SEASON / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        content = list(csv.reader(file, strict=True))
    assert all(len(row) == len(content[0]) for row in content), name
    return [dict(zip(content[0], row)) for row in content[1:]]


def place(row: dict[str, str]) -> tuple[str, str, str]:
    """Which tree on which day."""
    return row["block"], row["tree"], row["date"]


def true_fruit() -> dict[tuple[str, str, str, int], dict[str, Any]]:
    """Photographed fruit by block, tree, date and number."""
    return {
        (*place(truth), fruit["fruit"]): fruit
        for truth in TRUTH.values()
        for fruit in truth["fruits"]
    }


def polygon_area(points: np.ndarray) -> float:
    """Signed area; negative when counter-clockwise on a screen with y down."""
    following = np.roll(points, -1, axis=0)
    return float(np.sum(points[:, 0] * following[:, 1] - following[:, 0] * points[:, 1])) / 2
