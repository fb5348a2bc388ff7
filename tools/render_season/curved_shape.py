"""A second outline maker, with nothing of the first in its body: four cubic curves.

The counterpart in Python of tests/shapes/curved_fruit, for boards that are not of the season: what
holds for both outlines does not hang on how one of them was made. Frame as in fruit_shape.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from fruit_shape import OUTLINE_SAMPLES, Outline, Shape, ShapeParameters, polar_radius

_STEPS = 400  # of each cubic curve
#: Slow random waves of the edge: heights fall with the number of waves round the fruit.
_WAVES, _WAVINESS = range(3, 9), 0.001


@dataclass(frozen=True)
class CurvedShape:
    """What makes one fruit: sizes in mm, the rest over the length of the body or free of scale.

    How full a quarter is: the handle of its curve at the end over the half-width there (0.5523 is
    an ellipse's, where the handle at the widest place is as long).
    """

    length_mm: float
    width_mm: float
    thickness_mm: float
    shoulder_ventral: float
    shoulder_dorsal: float
    nose: float
    widest: float  # where, from the stem end: less on egg-like fruit
    flank: float  # handle at the widest place, over the quarter's length
    bow: float  # how far the two ends bend to the ventral side
    stem_place: float  # arc beside the end
    stem_hollow: float  # depth
    hollow_width: float
    beak_prominence: float  # height
    beak_width: float
    beak_place: float  # share of the ventral side from stem end to nose
    sinus_depth: float
    sinus_width: float
    sinus_gap: float  # arc from beak to sinus
    wave_seed: int  # of the slow waves of the edge
    fullness: float = 0.10  # how much fuller than an ellipse the cross-section is

    def outline(self) -> Outline:
        """The equator section."""
        return curved_outline(self)


def shape_from_values(values: dict[str, Any]) -> Shape:
    """A shape from the plain values of a scene: only curved ones name their widest place."""
    return CurvedShape(**values) if "widest" in values else ShapeParameters(**values)


def _quarter(end: float, widest: float, half: float, handles: tuple[float, float]) -> np.ndarray:
    """From (end, 0), where the edge stands across the axis, to (widest, half), where it runs along.

    The last point is left out: it belongs to the quarter that starts there.
    """
    at_end, at_flank = handles
    corners = np.array(
        [(end, 0.0), (end, half * at_end), (widest - (widest - end) * at_flank, half)]
        + [(widest, half)]
    )
    t = (np.arange(_STEPS + 1) / _STEPS)[:, None]
    u = 1 - t
    curve: np.ndarray = (
        u**3 * corners[0]
        + 3 * t * u**2 * corners[1]
        + 3 * t**2 * u * corners[2]
        + t**3 * corners[3]
    )
    return curve


def _evenly(points: np.ndarray, count: int) -> np.ndarray:
    """A closed line's points at equal steps of arc, from the first."""
    closed = np.vstack([points, points[:1]])
    arc = np.append(0, np.cumsum(np.hypot(*np.diff(closed, axis=0).T)))
    wanted = np.arange(count) * arc[-1] / count
    return np.column_stack([np.interp(wanted, arc, closed[:, axis]) for axis in (0, 1)])


def body(shape: CurvedShape) -> np.ndarray:
    """Points (N, 2) of the outline without its features, the length being 1.

    From the stem end over the ventral side (y > 0) to the nose and back.
    """
    half = 0.5 * shape.width_mm / shape.length_mm
    quarters = [
        _quarter(0.0, shape.widest, half, (shape.shoulder_ventral, shape.flank))[:-1],
        _quarter(1.0, shape.widest, half, (shape.nose, shape.flank))[:0:-1],
        _quarter(1.0, shape.widest, -half, (shape.nose, shape.flank))[:-1],
        _quarter(0.0, shape.widest, -half, (shape.shoulder_dorsal, shape.flank))[:0:-1],
    ]
    line = np.vstack(quarters)
    line[:, 0] -= 0.5
    line[:, 1] += shape.bow * (4 * line[:, 0] ** 2 - 0.4)
    return _evenly(line, OUTLINE_SAMPLES)


def _outward(points: np.ndarray) -> np.ndarray:
    """Unit normals of a line that runs clockwise with y up."""
    chord = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    normals = np.column_stack([-chord[:, 1], chord[:, 0]])
    unit: np.ndarray = normals / np.hypot(*normals.T)[:, None]
    return unit


def curved_outline(shape: CurvedShape) -> Outline:
    """Outline of the equator section: the body with hollow, beak, sinus and waves across its edge.

    Then scaled to the stated length and width exactly, as the season's outline is.
    """
    bare = body(shape)
    step = np.hypot(*np.diff(np.vstack([bare, bare[:1]]), axis=0).T)
    arc = np.append(0, np.cumsum(step))
    whole, arc = arc[-1], arc[:-1]
    beak_place = arc[np.argmax(bare[:, 0])] * shape.beak_place

    def away(place: float) -> np.ndarray:
        off: np.ndarray = (arc - place + whole / 2) % whole - whole / 2
        return off

    def bump(place: float, width: float) -> np.ndarray:
        height: np.ndarray = np.exp(-0.5 * (away(place) / width) ** 2)
        return height

    out = -shape.stem_hollow * bump(shape.stem_place, shape.hollow_width)
    out += shape.beak_prominence * bump(beak_place, shape.beak_width)
    out -= shape.sinus_depth * bump(beak_place - shape.sinus_gap, shape.sinus_width)
    rng = np.random.default_rng(shape.wave_seed)
    for wave in _WAVES:
        height, phase = _WAVINESS / wave * rng.standard_normal(), rng.uniform(0, 2 * np.pi)
        out += height * np.cos(wave * 2 * np.pi * arc / whole + phase)
    points = bare + out[:, None] * _outward(bare)
    low, high = points.min(axis=0), points.max(axis=0)
    points = (points - (low + high) / 2) * (shape.length_mm, shape.width_mm) / (high - low)

    stem, beak = (points[np.argmin(np.abs(away(p)))] for p in (shape.stem_place, beak_place))
    nose = points[np.argmax(points[:, 0])]
    angle = np.arange(OUTLINE_SAMPLES) * (2 * np.pi / OUTLINE_SAMPLES)
    # Counter-clockwise from here on.
    radius = polar_radius(points[::-1, 0], points[::-1, 1], angle)
    return Outline(angle, radius, stem, nose, beak)
