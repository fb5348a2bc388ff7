"""What a practitioner's afternoon gives: outlines by a plain scikit-image script, kept as the
honest alternative, and how near the true silhouettes it and the library come.

The script: blue-yellow of CIE Lab, Otsu's threshold (Otsu 1979), a closing, one sub-pixel contour
around each region of a fruit's size and roundness.
"""

from __future__ import annotations

import json
import subprocess
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from skimage import color, io, measure, morphology, transform
from skimage.filters import threshold_otsu

_SHRINK = 2
_LEAST_AREA, _MOST_AREA = 4_000, 200_000  # px of the small picture
_LEAST_SOLIDITY = 0.9


@dataclass
class Outcome:
    """Of all whole fruit of a season: how many were found, and how far off."""

    fruit: int
    found: int
    distance_px: float
    seconds: float


def plain_outlines(path: Path) -> list[np.ndarray]:
    """Outlines of what may be fruit, (N, 2) x and y in px of the photo."""
    rgb = io.imread(path)
    small = transform.rescale(rgb, 1 / _SHRINK, channel_axis=2, anti_aliasing=True)
    yellow = color.rgb2lab(small)[..., 2]
    mask = morphology.binary_closing(yellow > threshold_otsu(yellow), morphology.disk(3))
    outlines = []
    for region in measure.regionprops(measure.label(mask)):
        if _LEAST_AREA < region.area < _MOST_AREA and region.solidity > _LEAST_SOLIDITY:
            filled = np.pad(region.image_filled, 2).astype(float)
            line = max(measure.find_contours(filled, 0.5), key=len)
            rows, columns = (line - 2 + np.array(region.bbox[:2])).T
            outlines.append((np.column_stack([columns, rows]) + 0.5) * _SHRINK - 0.5)
    return outlines


def compare(season: Path, build: Path) -> tuple[Outcome, Outcome]:
    """The library and the plain script on the photos of a season with truth beside it."""
    photos = sorted((season / "photos").rglob("*.jpg"))
    program = build / "tools" / "measure" / "maturity-measure"
    with tempfile.TemporaryDirectory() as folder:
        out = Path(folder) / "photos.json"
        start = time.perf_counter()
        subprocess.run(
            [program, season / "photos", "--threads", "1", "--json", out],
            check=True,
            stdout=subprocess.DEVNULL,
        )
        ours_seconds = time.perf_counter() - start
        results = json.loads(out.read_text())["photos"]
    ours = {
        Path(path).name: [np.array(fruit["outline_px"]) for fruit in photo["fruits"]]
        for path, photo in results.items()
    }
    start = time.perf_counter()
    theirs = {path.name: plain_outlines(path) for path in photos}
    theirs_seconds = time.perf_counter() - start
    truth = true_outlines(season.parent / "truth")
    return (
        Outcome(*against(truth, ours), ours_seconds),
        Outcome(*against(truth, theirs), theirs_seconds),
    )


def true_outlines(folder: Path) -> dict[str, list[np.ndarray]]:
    """Silhouettes of the fruit that lie whole and unhidden on each photo."""
    outlines = {}
    for path in sorted(folder.rglob("*.json")):
        truth = json.loads(path.read_text())
        if "photo" in truth:
            outlines[Path(truth["photo"]).name] = [
                np.array(fruit["silhouette_px"])
                for fruit in truth["fruits"]
                if fruit["fraction_in_frame"] > 0.999 and fruit["occluded_fraction"] < 0.02
            ]
    return outlines


def against(
    truth: dict[str, list[np.ndarray]], found: dict[str, list[np.ndarray]]
) -> tuple[int, int, float]:
    """Fruit, fruit found, and the mean over them of the mean distance to the silhouette, px.

    An outline is a fruit's when it covers the fruit's middle and its area is within a third.
    """
    distances = []
    count = 0
    for name, silhouettes in truth.items():
        for silhouette in silhouettes:
            count += 1
            middle = silhouette.mean(axis=0)
            for outline in found.get(name, []):
                same = measure.points_in_poly([middle], outline)[0]
                if same and 0.75 < area(outline) / area(silhouette) < 1.33:
                    distances.append(mean_distance(outline, silhouette))
                    break
    return count, len(distances), float(np.mean(distances)) if distances else float("nan")


def area(polygon: np.ndarray) -> float:
    """By the shoelace formula."""
    x, y = polygon.T
    return float(abs(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))) / 2)


def mean_distance(outline: np.ndarray, silhouette: np.ndarray) -> float:
    """Mean over the outline's points of the distance to the silhouette's sides."""
    a = silhouette
    along = np.roll(a, -1, axis=0) - a
    length2 = np.maximum((along**2).sum(axis=1), 1e-12)
    off = outline[:, None, :] - a[None, :, :]
    t = np.clip((off * along).sum(axis=2) / length2, 0, 1)
    return float(np.linalg.norm(off - t[..., None] * along, axis=2).min(axis=1).mean())
