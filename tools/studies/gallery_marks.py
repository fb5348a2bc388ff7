"""What a shape descriptor looks at, marked on a drawn fruit: for tools/shape_gallery.

Outlines here are one long, most proximal point at x = 0, beak side up. The marks show where, not
how exactly: the definitions are in the headers of libmaturity/descriptors.
"""

from __future__ import annotations

from typing import Any

import numpy as np

#: What is measured, and what it is measured against.
MEASURED, AGAINST = "#c98a1b", "#8aa4c8"

Points = np.ndarray[Any, Any]


def closed(outline: Points) -> Points:
    """The line with its first point again at the end."""
    return np.vstack([outline, outline[:1]])


def _centre_height(outline: Points) -> float:
    """Height of the centre of area: the axis runs through it."""
    a, b = outline, np.roll(outline, -1, axis=0)
    cross = a[:, 0] * b[:, 1] - b[:, 0] * a[:, 1]
    return float(((a[:, 1] + b[:, 1]) * cross).sum() / (3 * cross.sum()))


def _heights(outline: Points, x: Points) -> tuple[Points, Points]:
    """Upper and lower edge at each x."""
    a, b = outline, np.roll(outline, -1, axis=0)
    crossed = (a[:, 0] < x[:, None]) != (b[:, 0] < x[:, None])
    with np.errstate(all="ignore"):
        share = (x[:, None] - a[:, 0]) / (b[:, 0] - a[:, 0])
    y = a[:, 1] + share * (b[:, 1] - a[:, 1])
    upper = np.where(crossed, y, -np.inf).max(axis=1)
    return upper, np.where(crossed, y, np.inf).min(axis=1)


class Marker:
    """Draws on one fruit."""

    def __init__(self, axes: Any, outline: Points, stem: Points, at: Points) -> None:
        self.axes, self.outline, self.stem, self.at = axes, outline, stem, at
        steps = np.hypot(*np.diff(closed(outline), axis=0).T)
        self.arc = np.append(0.0, np.cumsum(steps))[:-1]
        self.whole = float(steps.sum())
        self.middle = _centre_height(outline)

    def slice(self, start: float, end: float, colour: str, sides: str = "both") -> None:
        """Part of the area between two shares of the length."""
        x = np.linspace(max(start, 1e-3), min(end, 1 - 1e-3), 40)
        upper, lower = _heights(self.outline, x)
        axis = np.full_like(x, self.middle)
        low, high = {"both": (lower, upper), "up": (axis, upper), "down": (lower, axis)}[sides]
        self.axes.fill_between(x + self.at[0], low, high, color=colour, alpha=0.75, linewidth=0)

    def edge(self, keep: Points, colour: str) -> None:
        """The edge's points that are kept, as a broad line."""
        line = np.where(keep[:, None], self.outline + self.at, np.nan)
        line = closed(np.roll(line, -int(np.argmin(keep)), axis=0)).round(3)
        self.axes.plot(*line.T, color=colour, linewidth=4, alpha=0.85, solid_capstyle="butt")

    def beside(self, start: float, end: float, colour: str, place: Points) -> None:
        """Edge between two distances of arc on both sides of a place."""
        nearest = int(np.hypot(*(self.outline - place).T).argmin())
        away = np.abs((self.arc - self.arc[nearest] + self.whole / 2) % self.whole - self.whole / 2)
        self.edge((away >= start) & (away <= end), colour)

    def line(self, start: tuple[float, float], end: tuple[float, float], colour: str) -> None:
        """A straight line."""
        x, y = np.array([start, end]).T
        self.axes.plot(x + self.at[0], y, color=colour, linewidth=2)

    def beak_stretch(self) -> Points:
        """The distal 45 % on the beak side."""
        keep: Points = (self.outline[:, 0] > 0.55) & (self.outline[:, 1] > self.middle)
        return keep

    def disc(self, centre: Points, radius: float, colour: str) -> None:
        """A disc's rim."""
        turn = np.linspace(0, 2 * np.pi, 90)
        x, y = centre[0] + radius * np.cos(turn), centre[1] + radius * np.sin(turn)
        self.axes.plot((x + self.at[0]).round(3), y.round(3), color=colour, linewidth=1.8)


def _largest_disc(outline: Points) -> tuple[Points, float]:
    grid = np.stack(np.meshgrid(np.linspace(0.25, 0.75, 51), np.linspace(-0.15, 0.15, 31)), axis=-1)
    near = np.hypot(*(grid[:, :, None] - outline[::3]).transpose(3, 0, 1, 2)).min(axis=2)
    best = np.unravel_index(int(near.argmax()), near.shape)
    return grid[best], float(near[best])


def _nose_disc(marker: Marker) -> None:
    outline = marker.outline
    centre, radius = _largest_disc(outline)
    marker.disc(centre, radius, AGAINST)
    nose = outline[int(outline[:, 0].argmax())]
    near = outline[np.hypot(*(outline - nose).T) < 0.09]
    # x = x0 - c (y - y0) - y^2 / (2 r)
    bend = -2 * np.polyfit(near[:, 1] - nose[1], near[:, 0], 2)[0]
    small = min(radius, 1 / max(bend, 1 / radius))
    marker.disc(nose - [small, 0.0], small, MEASURED)


def _asymmetry(name: str, marker: Marker) -> None:
    x = np.linspace(0.01, 0.99, 80)
    upper, lower = _heights(marker.outline, x)
    if name == "axis_asymmetry":
        for edge in (2 * marker.middle - upper, 2 * marker.middle - lower):
            marker.axes.plot(x + marker.at[0], edge, color=MEASURED, linewidth=1.6, linestyle="--")
        return
    marker.line((0.0, marker.middle), (1.0, marker.middle), AGAINST)
    if name == "cheek_asymmetry":
        for edge, at in ((upper, int(upper.argmax())), (lower, int(lower.argmin()))):
            marker.line((x[at], marker.middle), (x[at], edge[at]), MEASURED)
        return
    for edge, sign in ((upper, 1), (lower, -1)):
        height = marker.middle + 0.5 * (np.max(sign * (edge - marker.middle))) * sign
        first = x[int(np.argmax(sign * (edge - height) >= 0))]
        marker.line((0.0, height), (float(first), height), MEASURED)


def mark(axes: Any, name: str, outline: Points, stem: Points, at: Points) -> None:
    """Mark on the fruit drawn at `at` what the descriptor of that name looks at."""
    marker = Marker(axes, outline, stem, at)
    x = np.linspace(0.01, 0.99, 80)
    upper, lower = _heights(outline, x)
    side = {"shoulder_fill_ventral": "up", "shoulder_fill_dorsal": "down"}.get(name, "both")
    if name == "elongation":
        widest = float(x[int((upper - lower).argmax())])
        marker.line((0.0, marker.middle), (1.0, marker.middle), MEASURED)
        marker.line((widest, float(lower.min())), (widest, float(upper.max())), AGAINST)
    elif name.startswith("shoulder_fill"):
        marker.slice(0.32, 0.60, AGAINST, side)
        marker.slice(0.10, 0.25, MEASURED, side)
    elif name == "nose_fill":
        marker.slice(0.60, 0.70, AGAINST)
        marker.slice(0.925, 1.0, MEASURED)
    elif name == "end_balance":
        marker.slice(0.5, 0.8, AGAINST)
        marker.slice(0.2, 0.5, MEASURED)
    elif name == "stem_hollow":
        marker.beside(0.16, 0.31, AGAINST, stem)
        marker.beside(0.04, 0.11, MEASURED, stem)
    elif name.startswith("shoulder_rise"):
        sign = 1 if name.endswith("ventral") else -1
        own = outline[sign * (outline[:, 1] - stem[1]) > 0]
        front = own[int(own[:, 0].argmin())]
        marker.line((stem[0], stem[1]), (stem[0], float(front[1])), AGAINST)
        marker.line((stem[0], float(front[1])), (float(front[0]), float(front[1])), MEASURED)
    elif name == "nose_roundness":
        _nose_disc(marker)
    elif name in ("beak_prominence", "beak_curvature", "sinus_depth"):
        marker.edge(marker.beak_stretch(), MEASURED)
    elif name.endswith("_asymmetry") and not name.startswith("fourier"):
        _asymmetry(name, marker)
    elif name == "turning_nose":
        marker.edge(outline[:, 0] > 0.75, MEASURED)
    else:
        marker.edge(np.ones(len(outline), bool), MEASURED)
