"""A parametric mango of the project's own: outline in the equator plane, and the solid around it.

Fruit frame of this file: millimetres, origin in the middle of the body, +x from the stem end to the
nose, +y to the ventral (beak) side, z across the cheeks. Polar angle 0 is the nose, +90 degrees the
ventral side, 180 degrees the stem.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

import numpy as np

#: Polar samples of the outline; the solid uses every fourth.
OUTLINE_SAMPLES = 1440


@dataclass(frozen=True)
class ShapeParameters:
    """What makes one fruit: sizes in mm, the rest free of scale (fractions of length L or 1)."""

    length_mm: float
    width_mm: float
    thickness_mm: float
    shoulder_ventral: float  # exponent of that quarter: 2 = ellipse, more = fuller
    shoulder_dorsal: float
    nose_ventral: float
    nose_dorsal: float
    stem_hollow: float  # depth of the notch at the stem / L
    beak_prominence: float  # height of the bump / L
    beak_angle_deg: float  # where it sits, from the nose towards the ventral side
    sinus_depth: float  # depth of the dip on the stem side of the beak / L
    end_balance: float  # > 0: stem end broader than nose end
    bend: float  # how far the nose half leans to the ventral side / L
    fullness: float = 0.10  # how much fuller than an ellipse the cross-section is

    def outline(self) -> Outline:
        """The equator section."""
        return superellipse_outline(self)


def _smooth_periodic(values: np.ndarray, sd_deg: float) -> np.ndarray:
    """Gaussian smoothing of a closed curve's samples, by its Fourier coefficients."""
    orders = np.fft.rfftfreq(values.size, 1.0 / values.size)
    damping = np.exp(-0.5 * (orders * np.radians(sd_deg)) ** 2)
    return np.fft.irfft(np.fft.rfft(values) * damping, values.size)


def _bump(angle: np.ndarray, centre_deg: float, sd_deg: float) -> np.ndarray:
    off = (angle - np.radians(centre_deg) + np.pi) % (2 * np.pi) - np.pi
    return np.exp(-0.5 * (off / np.radians(sd_deg)) ** 2)


def polar_radius(x: np.ndarray, y: np.ndarray, angle: np.ndarray) -> np.ndarray:
    """Radius at given polar angles of a closed curve that is star-shaped about the origin.

    The curve runs counter-clockwise. Raises ValueError where it is not star-shaped.
    """
    curve_angle = np.unwrap(np.arctan2(y, x))
    if np.any(np.diff(curve_angle) <= 0):
        raise ValueError("the outline is not star-shaped about its middle")
    start = curve_angle[0]
    wanted = (angle - start) % (2 * np.pi) + start
    closed_angle = np.append(curve_angle, curve_angle[0] + 2 * np.pi)
    radius = np.hypot(x, y)
    return np.interp(wanted, closed_angle, np.append(radius, radius[0]))


@dataclass(frozen=True)
class Outline:
    """The section in the equator plane: counter-clockwise with y up, mm, and its landmarks."""

    angle: np.ndarray
    radius: np.ndarray
    stem: np.ndarray
    nose: np.ndarray
    beak: np.ndarray

    @property
    def points(self) -> np.ndarray:
        """Points (N, 2) in mm."""
        return np.column_stack([self.radius * np.cos(self.angle), self.radius * np.sin(self.angle)])


class Shape(Protocol):
    """What a solid asks of whatever draws its outline."""

    @property
    def length_mm(self) -> float:
        ...

    @property
    def width_mm(self) -> float:
        ...

    @property
    def thickness_mm(self) -> float:
        ...

    @property
    def fullness(self) -> float:
        ...

    def outline(self) -> Outline:
        """The equator section."""
        ...


def superellipse_outline(shape: ShapeParameters) -> Outline:
    """Outline of the equator section.

    A superellipse whose exponent changes smoothly round the fruit, made egg-like and bent, with
    bumps and dips along the radius for beak, sinus and stem hollow; then scaled to the stated
    length and width exactly.
    """
    angle = np.arange(OUTLINE_SAMPLES) * (2 * np.pi / OUTLINE_SAMPLES)
    cos, sin = np.cos(angle), np.sin(angle)
    ventral = 0.5 * (1 + np.tanh(2.5 * sin))
    stem_half = 0.5 * (1 - np.tanh(2.5 * cos))
    exponent = stem_half * (
        ventral * shape.shoulder_ventral + (1 - ventral) * shape.shoulder_dorsal
    ) + (1 - stem_half) * (ventral * shape.nose_ventral + (1 - ventral) * shape.nose_dorsal)
    aspect = shape.width_mm / shape.length_mm
    radius = (np.abs(cos) ** exponent + np.abs(sin / aspect) ** exponent) ** (-1 / exponent)
    radius = _smooth_periodic(radius, 3.0)
    radius += 2 * shape.beak_prominence * _bump(angle, shape.beak_angle_deg, 8.0)
    radius -= 2 * shape.sinus_depth * _bump(angle, shape.beak_angle_deg + 24, 10.0)
    radius -= 2 * shape.stem_hollow * _bump(angle, 180, 10.0)
    radius += 0.7 * shape.stem_hollow * (_bump(angle, 148, 12.0) + _bump(angle, 212, 12.0))

    x, y = radius * cos, radius * sin
    y = y * (1 - shape.end_balance * x)
    y = y + 2 * shape.bend * np.maximum(x, 0) ** 2
    centre_x = 0.5 * (x.max() + x.min())
    centre_y = 0.5 * (y.max() + y.min())
    x = (x - centre_x) * shape.length_mm / np.ptp(x)
    y = (y - centre_y) * shape.width_mm / np.ptp(y)
    stem_y, beak = y[OUTLINE_SAMPLES // 2], np.argmin(
        np.abs(angle - np.radians(shape.beak_angle_deg))
    )
    stem = np.array([x[OUTLINE_SAMPLES // 2], stem_y])
    beak_point = np.array([x[beak], y[beak]])
    nose = int(np.argmax(x))
    return Outline(angle, polar_radius(x, y, angle), stem, np.array([x[nose], y[nose]]), beak_point)


class Solid:
    """The surface round an outline: point at polar angle and latitude (0 the equator plane).

    Away from the equator the radius fades to a smoothed one, so that beak and stem hollow live near
    the equator plane as on a real fruit; the cheeks' tops lie a little towards the stem.
    """

    def __init__(self, shape: Shape) -> None:
        self.shape = shape
        self.outline = shape.outline()
        self._orders = np.fft.rfftfreq(OUTLINE_SAMPLES, 1.0 / OUTLINE_SAMPLES)
        self._smooth = _smooth_periodic(self.outline.radius, 22.0)

    def _radii(self, angle: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        position = (angle % (2 * np.pi)) * OUTLINE_SAMPLES / (2 * np.pi)
        grid = np.arange(OUTLINE_SAMPLES + 1)
        sharp = np.append(self.outline.radius, self.outline.radius[0])
        smooth = np.append(self._smooth, self._smooth[0])
        return np.interp(position, grid, sharp), np.interp(position, grid, smooth)

    def points(self, angle: np.ndarray, latitude: np.ndarray) -> np.ndarray:
        """Surface points (..., 3) in mm."""
        sharp, smooth = self._radii(angle)
        cos, sin = np.cos(latitude), np.sin(latitude)
        radius = smooth + (sharp - smooth) * cos**4
        across = radius * cos * (1 + self.shape.fullness * sin**2)
        shift = -0.05 * self.shape.length_mm * sin**2
        return np.stack(
            [
                across * np.cos(angle) + shift,
                across * np.sin(angle),
                0.5 * self.shape.thickness_mm * sin,
            ],
            axis=-1,
        )

    def normals(self, angle: np.ndarray, latitude: np.ndarray) -> np.ndarray:
        """Outward normals (..., 3), not of unit length; by central differences of the surface."""
        step_angle, step_latitude = 2 * np.pi / OUTLINE_SAMPLES, 1e-4
        along = self.points(angle + step_angle, latitude) - self.points(
            angle - step_angle, latitude
        )
        up = self.points(angle, latitude + step_latitude) - self.points(
            angle, latitude - step_latitude
        )
        return np.cross(along, up)

    def mesh(self, around: int = 480, across: int = 121) -> tuple[np.ndarray, np.ndarray]:
        """Vertices (n, 3) and quads (m, 4); the poles are rings of tiny radius, closed enough."""
        angle = np.arange(around) * (2 * np.pi / around)
        latitude = np.linspace(-np.pi / 2 + 1e-3, np.pi / 2 - 1e-3, across)
        grid_angle, grid_latitude = np.meshgrid(angle, latitude)
        vertices = self.points(grid_angle, grid_latitude).reshape(-1, 3)
        row, column = np.meshgrid(np.arange(across - 1), np.arange(around), indexing="ij")
        right = (column + 1) % around
        quads = np.stack(
            [
                row * around + column,
                row * around + right,
                (row + 1) * around + right,
                (row + 1) * around + column,
            ],
            axis=-1,
        )
        return vertices, quads.reshape(-1, 4)

    def volume_mm3(self) -> float:
        """Volume inside the surface, by the divergence theorem on the mesh."""
        vertices, quads = self.mesh(240, 91)
        a, b, c, d = (vertices[quads[:, k]] for k in range(4))
        first = np.einsum("ij,ij->i", a, np.cross(b, c))
        second = np.einsum("ij,ij->i", a, np.cross(c, d))
        return float(np.sum(first + second) / 6)
