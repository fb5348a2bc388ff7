"""Plain numpy: an outline made even and laid into the fruit frame, and what descriptors share.

A twin of the library written from the definitions in its headers, to check it and to compare speed
(compare_numpy.py): vectorised over points, as somebody who knows numpy would write it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

POINTS = 256


def cross(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """z component of the cross product of vectors (..., 2)."""
    product: np.ndarray = a[..., 0] * b[..., 1] - a[..., 1] * b[..., 0]
    return product


def area_and_centre(points: np.ndarray) -> tuple[float, np.ndarray]:
    """Area with sign, and centre of area."""
    a = points - points[0]
    b = np.roll(a, -1, axis=0)
    c = cross(a, b)
    twice = c.sum()
    return float(twice / 2), points[0] + ((a + b) * c[:, None]).sum(axis=0) / (3 * twice)


def perimeter(points: np.ndarray) -> float:
    """Length of the closed line."""
    sides = np.roll(points, -1, axis=0) - points
    return float(np.hypot(sides[:, 0], sides[:, 1]).sum())


def even_outline(points: np.ndarray) -> np.ndarray:
    """Points at equal steps of arc, each the mean of the line over its step."""
    area, centre = area_and_centre(points)
    start = int(((points - centre) ** 2).sum(axis=1).argmax())
    line = np.roll(points, -start, axis=0)
    if area < 0:
        line = np.roll(line[::-1], 1, axis=0)
    closed = np.vstack([line, line[:1]])
    sides = np.diff(closed, axis=0)
    lengths = np.hypot(sides[:, 0], sides[:, 1])
    arc = np.append(0.0, np.cumsum(lengths))
    # Integral of the position over arc, at the corners and then at the ends of the steps.
    parts = lengths[:, None] * (closed[:-1] + closed[1:]) / 2
    integral = np.vstack([np.zeros(2), np.cumsum(parts, axis=0)])
    step = arc[-1] / POINTS
    ends = (np.arange(POINTS) + 0.5) * step
    side = np.searchsorted(arc, ends, side="right") - 1
    beyond = (ends - arc[side])[:, None]
    direction = sides[side] / lengths[side][:, None]
    at_ends = integral[side] + beyond * closed[side] + beyond**2 / 2 * direction
    before = np.vstack([at_ends[-1] - integral[-1], at_ends[:-1]])
    even: np.ndarray = (at_ends - before) / step
    return even


@dataclass
class Framed:
    """An even outline in the fruit frame: +x to the nose, +y ventral, about the centre of area."""

    points: np.ndarray
    area: float
    perimeter: float
    stem: tuple[int, float]
    nose: tuple[int, float]

    def __post_init__(self) -> None:
        x, y = self.points.T
        self.low, self.high = float(x.min()), float(x.max())
        self.length = self.high - self.low
        self.half_width = {+1: float(y.max()), -1: float(-y.min())}
        self.width = self.half_width[+1] + self.half_width[-1]
        self.step = self.perimeter / POINTS
        self.along = (x - self.low) / self.length
        self.following = np.roll(self.points, -1, axis=0)

    def around(self, at: int, steps: np.ndarray) -> np.ndarray:
        """Points that many steps from one."""
        near: np.ndarray = self.points[(at + steps) % POINTS]
        return near


def _nearest(points: np.ndarray, target: np.ndarray) -> tuple[int, float]:
    """Nearest point, and the share of the way to its neighbour where the line comes nearest."""
    i = int(((points - target) ** 2).sum(axis=1).argmin())
    chord = points[(i + 1) % POINTS] - points[i - 1]
    share = 2 * (target - points[i]) @ chord / (chord @ chord)
    return i, float(np.clip(share, -0.5, 0.5))


def frame(outline: np.ndarray, stem: np.ndarray, nose: np.ndarray, side: int) -> Framed:
    """The outline in the frame of a stated pose (y down; side +1 or -1)."""
    even = even_outline(outline)
    area, centre = area_and_centre(even)
    axis = (nose - stem) / np.hypot(*(nose - stem))
    basis = np.column_stack([axis, side * np.array([-axis[1], axis[0]])])
    points = (even - centre) @ basis
    if side < 0:
        points = points[::-1]
    return Framed(
        points,
        abs(area),
        perimeter(even),
        _nearest(points, (stem - centre) @ basis),
        _nearest(points, (nose - centre) @ basis),
    )


def area_between(framed: Framed, low: float, high: float, side: int) -> float:
    """Area with low <= x <= high on one side of the axis: every side of the polygon clipped."""
    a = framed.points
    along = framed.following - a
    start, end = np.zeros(POINTS), np.ones(POINTS)
    with np.errstate(divide="ignore", invalid="ignore"):
        for value, change in (
            (a[:, 0] - low, along[:, 0]),
            (high - a[:, 0], -along[:, 0]),
            (side * a[:, 1], side * along[:, 1]),
        ):
            zero = -value / change
            start = np.where(change > 0, np.maximum(start, zero), start)
            end = np.where(change < 0, np.minimum(end, zero), end)
            end = np.where((change == 0) & (value < 0), start, end)
    share = np.maximum(end - start, 0.0)
    middle = (start + end) / 2
    return float(-(share * along[:, 0] * (a[:, 1] + middle * along[:, 1])).sum())


def bends(framed: Framed, window: float) -> np.ndarray:
    """Curvature at every point: angle between the chords that reach `window` to both sides."""
    wanted = min(max(window / framed.step, 1.0), POINTS / 3)
    whole = int(wanted)

    def with_steps(steps: int) -> np.ndarray:
        u = framed.points - np.roll(framed.points, steps, axis=0)
        v = np.roll(framed.points, -steps, axis=0) - framed.points
        length = np.sqrt(((u**2).sum(axis=1) + (v**2).sum(axis=1)) / 2)
        bend: np.ndarray = np.arctan2(cross(u, v), (u * v).sum(axis=1)) / length
        return bend

    mix = wanted - whole
    return (1 - mix) * with_steps(whole) + mix * with_steps(whole + 1)


def rises(
    framed: Framed,
    places: np.ndarray,
    window: tuple[float, float, float],
    left_out: tuple[int, float] | None = None,
    hole: float = 0.0,
) -> np.ndarray:
    """Mean height of the edge at places above the circle fitted to the edge beside them, over L."""
    core_reach, gap, reach = window
    soft, step = 0.02, framed.step / framed.length

    def beyond(distance: np.ndarray, limit: float) -> np.ndarray:
        part: np.ndarray = np.clip((distance - limit) / soft + 0.5, 0.0, 1.0)
        return part

    most = int((reach + soft) / step) + 1
    offset = np.arange(-most, most + 1)
    distance = np.abs(offset) * step
    beside = beyond(distance, gap) * (1 - beyond(distance, reach))
    core = 1 - beyond(distance, core_reach)
    if hole > 0:
        core = core * beyond(distance, hole)
    core = core / core.sum()
    index = (places[:, None] + offset) % POINTS
    weight = np.broadcast_to(beside, index.shape)
    if left_out is not None:
        away = (index - left_out[0] + POINTS // 2) % POINTS - POINTS // 2
        weight = weight * beyond(np.abs(away) * step, left_out[1])
    stretch = framed.points[index]
    chord = stretch[:, -1] - stretch[:, 0]
    along = chord / (np.hypot(chord[:, 0], chord[:, 1])[:, None] * framed.length)
    d = stretch - framed.points[places][:, None]
    x = d[..., 0] * along[:, :1] + d[..., 1] * along[:, 1:]
    height = d[..., 0] * along[:, 1:] - d[..., 1] * along[:, :1]
    square = (d**2).sum(axis=2) / framed.length**2
    terms = np.stack([np.ones_like(x), x, square], axis=2)
    weighted = terms * weight[..., None]
    normal = weighted.transpose(0, 2, 1) @ terms
    right = weighted.transpose(0, 2, 1) @ height[..., None]
    fitted = (terms @ np.linalg.solve(normal, right))[..., 0]
    above: np.ndarray = (height - fitted) @ core
    return above
