"""Plain numpy: every shape descriptor of a framed outline, without errors."""

from __future__ import annotations

import numpy as np
from numpy_outline import POINTS, Framed, area_between, bends, cross, frame, rises


ELLIPSE_FILL = 2 * (np.pi / 6 - np.sqrt(3) / 8)


def _slice(f: Framed, start: float, end: float, side: int) -> float:
    return area_between(f, f.low + start * f.length, f.low + end * f.length, side)


def _half_ellipse(start: float, end: float) -> np.ndarray:
    """Area of the slice of half an ellipse of length 1, and its moment about the middle."""
    u = np.array([2 * start - 1, 2 * end - 1])
    area = (u * np.sqrt(1 - u**2) + np.arcsin(u)) / 4
    moment = -((1 - u**2) ** 1.5) / 12
    return np.array([area[1] - area[0], moment[1] - moment[0]])


def _fills(f: Framed) -> dict[str, float]:
    shoulder, flanks = (0.10, 0.25), ((0.32, 0.46), (0.46, 0.60))
    shares = np.linalg.solve(
        np.column_stack([_half_ellipse(*one) for one in flanks]), _half_ellipse(*shoulder)
    )
    sides = {}
    for side in (+1, -1):
        egg = shares @ [_slice(f, *one, side) for one in flanks]
        sides[side] = ELLIPSE_FILL * _slice(f, *shoulder, side) / egg
    tip, behind, stem_half, nose_half = (
        sum(_slice(f, a, b, side) for side in (+1, -1))
        for a, b in ((0.925, 1.0), (0.60, 0.70), (0.2, 0.5), (0.5, 0.8))
    )
    of_ellipse = _half_ellipse(0.925, 1.0)[0] / _half_ellipse(0.60, 0.70)[0]
    return {
        "shoulder_fill_ventral": sides[+1],
        "shoulder_fill_dorsal": sides[-1],
        "shoulder_fill": (sides[+1] + sides[-1]) / 2,
        "nose_fill": ELLIPSE_FILL * tip / (of_ellipse * behind),
        "end_balance": (stem_half - nose_half) / f.area,
    }


def _circle_curvature(f: Framed, at: int, reach: float) -> tuple[float, np.ndarray]:
    """Curvature of the fitted circle and the normal; between whole numbers of points both mixed."""
    whole = int(reach / f.step)
    mix = reach / f.step - whole
    near = f.around(at, np.arange(-whole - 1, whole + 2))
    chord = (1 - mix) * (near[-2] - near[1]) + mix * (near[-1] - near[0])
    normal = np.array([chord[1], -chord[0]]) / np.hypot(*chord)
    d = near - f.points[at]

    def fitted(d: np.ndarray) -> float:
        square, height = (d**2).sum(axis=1), d @ normal
        spread = len(d) * (square**2).sum() - square.sum() ** 2
        slope = (len(d) * (height * square).sum() - square.sum() * height.sum()) / spread
        return float(-2 * slope)

    return (1 - mix) * fitted(d[1:-1]) + mix * fitted(d), normal


def _touching(f: Framed, at: int, normal: np.ndarray, reach: float) -> float:
    """Curvature of the largest disc that touches there, by the points from twice the reach on."""
    gap = 2 * reach / f.step
    whole = int(gap)
    steps = np.arange(whole + 1, POINTS - whole)
    share = gap - whole
    ends = [
        (1 - share) * f.points[(at + sense * whole) % POINTS]
        + share * f.points[(at + sense * (whole + 1)) % POINTS]
        for sense in (1, -1)
    ]
    d = np.vstack([f.around(at, steps), ends]) - f.points[at]
    return float((-2 * (d @ normal) / (d**2).sum(axis=1)).max())


def _stem(f: Framed, shoulder_fill: float) -> dict[str, float]:
    at, share = f.stem
    beside = at + (-1 if share < 0 else 1)
    here, there = rises(f, np.array([at, beside % POINTS]), (0.11, 0.16, 0.31), hole=0.04)
    place = f.points[at] + abs(share) * (f.points[beside % POINTS] - f.points[at])
    x, y = f.points.T
    front = {
        side: (place[0] - min(place[0], x[side * (y - place[1]) > 0].min())) / f.length
        for side in (+1, -1)
    }
    return {
        "stem_hollow": -(here + abs(share) * (there - here))
        - 0.06 * (shoulder_fill - ELLIPSE_FILL),
        "shoulder_rise_ventral": front[+1],
        "shoulder_rise_dorsal": front[-1],
    }


def _largest_disc(f: Framed) -> float:
    """Radius of the largest inscribed disc, golden section along the line amid both arcs."""
    x = f.points[:, 0]
    distal = np.roll(f.points, -int(x.argmax()), axis=0)
    cut = int(distal[:, 0].argmin())
    arcs = (distal[: cut + 1], np.vstack([distal[cut:], distal[:1]]))

    def at(place: float, height: float) -> tuple[float, float]:
        centre = np.array([place, height])
        near = [0.0, 0.0]
        for _ in range(4):
            near = [float(np.sqrt(((arc - centre) ** 2).sum(axis=1).min())) for arc in arcs]
            centre[1] += 0.5 * (near[0] - near[1])
        return 0.5 * (near[0] + near[1]), float(centre[1])

    golden = 0.6180339887498949
    a, b = f.low + 0.2 * f.length, f.low + 0.8 * f.length
    x1, x2 = b - golden * (b - a), a + golden * (b - a)
    first = at(x1, 0.0)
    second = at(x2, first[1])
    while b - a > 0.004 * f.length:
        if first[0] > second[0]:
            b, x2, second = x2, x1, first
            x1 = b - golden * (b - a)
            first = at(x1, second[1])
        else:
            a, x1, first = x1, x2, second
            x2 = a + golden * (b - a)
            second = at(x2, first[1])
    return max(first[0], second[0])


def _nose_roundness(f: Framed) -> float:
    at, share = f.nose
    reach = 0.09 * f.length
    bends_at = []
    for place in (at, (at + (-1 if share < 0 else 1)) % POINTS):
        own, normal = _circle_curvature(f, place, reach)
        bends_at.append((own, max(0.0, _touching(f, place, normal, reach))))
    here, beside = np.array(bends_at)
    own, bounded = here + abs(share) * (beside - here)
    return 1.0 / ((0.25 * max(own, 0.0) + 0.75 * max(own, bounded)) * _largest_disc(f))


def _inside(f: Framed, i: int) -> float:
    """How far inside the stretch of a beak a point lies, over L."""
    y = f.points[i % POINTS, 1] / f.length
    return float(min(y - 0.03, f.along[i % POINTS] - 0.55, 0.97 - f.along[i % POINTS]))


def _beak_ends(f: Framed, run: np.ndarray, highest: int, last: int) -> list[float]:
    """Heights at the ends of the stretch, between points, if the highest place is next to one."""
    heights = []
    for is_end, i, sense in ((highest == 0, run[0], -1), (highest == last, run[-1], 1)):
        if is_end:
            here, there = _inside(f, i), _inside(f, i + sense)
            way = min(1.0, here / (here - there))
            pair = rises(f, np.array([i, i + sense]) % POINTS, (0.04, 0.08, 0.24))
            heights.append(float(pair[0] + way * (pair[1] - pair[0])))
    return heights


def _depth_behind(f: Framed, beak: int) -> float:
    """Lowest rise from 0.13 to 0.20 L behind the beak, both ends between points."""
    nearest, farthest = (share * f.length / f.step for share in (0.13, 0.20))
    steps = np.arange(int(nearest), int(np.ceil(farthest)) + 1)
    height = rises(f, (beak + steps) % POINTS, (0.05, 0.10, 0.35), (beak, 0.08))
    ends = np.interp([nearest, farthest], steps, height)
    return float(min(height[1:-1].min(), ends.min()))


def _beak(f: Framed, curvature: np.ndarray) -> dict[str, float]:
    stretch = (f.points[:, 1] > 0) & (f.along > 0.55)
    seek = stretch & (f.along < 0.97) & (f.points[:, 1] > 0.03 * f.length)
    order = (int(f.points[:, 0].argmax()) + np.arange(POINTS)) % POINTS
    first = int(np.flatnonzero(seek[order])[0])
    run = order[first : first + int(np.argmin(seek[order][first:]))]
    places = run[::2]
    height = rises(f, places, (0.04, 0.08, 0.24))
    highest = int(height.argmax())
    top = float(height[highest])
    chance = np.exp((height - top) / 0.002)
    mean = float((chance * np.arange(len(places)) * 2).sum() / chance.sum())
    whole = int(mean)
    depth = [_depth_behind(f, (int(places[0]) + whole + k) % POINTS) for k in (0, 1)]
    share = mean - whole
    ends = _beak_ends(f, run, highest, len(places) - 1)
    return {
        "beak_prominence": max([top, *ends]),
        "beak_curvature": float(curvature[stretch].max() * f.length),
        "sinus_depth": float(-(1 - share) * depth[0] - share * depth[1]),
    }


def _heights_at(f: Framed, at: float) -> tuple[np.ndarray, np.ndarray]:
    """Sides of the polygon that cross x = at, and the share of the way along them."""
    x, following = f.points[:, 0], f.following[:, 0]
    crossing = np.flatnonzero((x <= at) != (following <= at))
    return crossing, (at - x[crossing]) / (following[crossing] - x[crossing])


def _heading(f: Framed, at: float, side: int) -> float:
    crossing, share = _heights_at(f, at)
    y = side * (f.points[crossing, 1] + share * (f.following - f.points)[crossing, 1])
    best = int(y.argmax())
    steps = max(1, int(np.floor(0.03 * f.length / f.step + 0.5)))
    ends = [
        (1 - share[best]) * f.points[(crossing[best] + k) % POINTS]
        + share[best] * f.points[(crossing[best] + k + 1) % POINTS]
        for k in (steps, -steps)
    ]
    chord = -side * (ends[0] - ends[1])
    return float(np.arctan2(chord[1], chord[0]))


def _turning_nose(f: Framed) -> float:
    at = f.low + 0.75 * f.length
    return 1 + (_heading(f, at, +1) - _heading(f, at, -1)) / np.pi


def _asymmetry(f: Framed) -> dict[str, float]:
    a, b = f.points, f.following
    fronts = {}
    for side in (+1, -1):
        at = side * 0.5 * f.half_width[side]
        crossing = (a[:, 1] <= at) != (b[:, 1] <= at)
        share = (at - a[crossing, 1]) / (b[crossing, 1] - a[crossing, 1])
        fronts[side] = (a[crossing, 0] + share * (b[crossing, 0] - a[crossing, 0])).min()
    strip = f.length / 128
    x = (f.low + (np.arange(128) + 0.5) * strip)[:, None]
    crossed = (a[:, 0] < x) != (b[:, 0] < x)
    with np.errstate(divide="ignore", invalid="ignore"):
        y = a[:, 1] + (x - a[:, 0]) / (b[:, 0] - a[:, 0]) * (b[:, 1] - a[:, 1])
    # Counter-clockwise the inside lies below sides that run towards -x.
    sense = np.where(b[:, 0] < a[:, 0], 1.0, -1.0)
    wider = np.where(crossed, sense * np.abs(y), 0.0).sum(axis=1)
    return {
        "cheek_asymmetry": (f.half_width[+1] - f.half_width[-1]) / f.width,
        "shoulder_asymmetry": float(fronts[-1] - fronts[+1]) / f.length,
        "axis_asymmetry": float(2 * strip * np.abs(wider).sum() / f.area),
    }


def _hull_area(points: np.ndarray) -> float:
    """Area of the convex hull: two chains over the points sorted by x."""
    ordered = points[np.lexsort((points[:, 1], points[:, 0]))].tolist()
    corners = []
    for chain in (ordered, ordered[::-1]):
        kept: list[list[float]] = []
        for x, y in chain:
            while len(kept) > 1:
                (ax, ay), (bx, by) = kept[-2:]
                if (bx - ax) * (y - ay) - (by - ay) * (x - ax) > 0:
                    break
                kept.pop()
            kept.append([x, y])
        corners += kept[:-1]
    hull = np.array(corners)
    return float(cross(hull, np.roll(hull, -1, axis=0)).sum() / 2)


def _fourier(f: Framed) -> dict[str, float]:
    turn = 2 * np.pi * np.arange(POINTS) / POINTS
    a1, b1 = f.points[:, 0] @ np.cos(turn), f.points[:, 0] @ np.sin(turn)
    angle = np.arange(1, 7)[:, None] * (turn - np.arctan2(-b1, -a1))
    cos, sin = np.cos(angle) * 2 / POINTS, np.sin(angle) * 2 / POINTS
    (a, c), (b, d) = (cos @ f.points).T, (sin @ f.points).T
    return {
        "fourier_taper": d[1] / a[0],
        "fourier_squareness": d[2] / a[0],
        "fourier_asymmetry": float(np.sqrt((b[1:] ** 2 + c[1:] ** 2).sum()) / -a[0]),
    }


def describe(
    outline: np.ndarray, stem: np.ndarray, nose: np.ndarray, side: int
) -> dict[str, float]:
    """Every descriptor by name, of an outline whose pose is stated."""
    f = frame(outline, stem, nose, side)
    curvature = bends(f, 0.08 * f.length)
    fills = _fills(f)
    return {
        "elongation": f.length / f.width,
        "circularity": 4 * np.pi * f.area / f.perimeter**2,
        "solidity": f.area / _hull_area(f.points),
        "nose_roundness": _nose_roundness(f),
        "turning_nose": _turning_nose(f),
        **fills,
        **_stem(f, fills["shoulder_fill"]),
        **_beak(f, curvature),
        **_asymmetry(f),
        **_fourier(f),
    }
