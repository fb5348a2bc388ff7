"""Geometry of what lies about, as plain vertices and faces in world millimetres (numpy only).

The truth needs the same leaf that is rendered, to know what it hides.
"""

from __future__ import annotations

from typing import Any

import numpy as np

Mesh = tuple[np.ndarray, np.ndarray]


def _turned(points: np.ndarray, turn_deg: float, centre: tuple[float, float]) -> np.ndarray:
    turn = np.radians(turn_deg)
    out = points.copy()
    out[:, 0] = np.cos(turn) * points[:, 0] - np.sin(turn) * points[:, 1] + centre[0]
    out[:, 1] = np.sin(turn) * points[:, 0] + np.cos(turn) * points[:, 1] + centre[1]
    return out


def _sheet(rows: int, columns: int) -> np.ndarray:
    row, column = np.meshgrid(np.arange(rows - 1), np.arange(columns - 1), indexing="ij")
    first = row * columns + column
    quads = np.stack([first, first + 1, first + columns + 1, first + columns], axis=-1)
    return quads.reshape(-1, 4)


def leaf(thing: dict[str, Any]) -> Mesh:
    """A narrow pointed leaf, 95 x 34 mm, a little folded along its middle and curled."""
    along, across = np.meshgrid(np.linspace(0, 1, 41), np.linspace(-1, 1, 13), indexing="ij")
    half = 17 * np.sin(np.pi * along**0.9) ** 0.85
    base = float(thing.get("height_mm", 1.0))
    lift = 4 * np.abs(across) * np.sin(np.pi * along) + 3 * (2 * along - 1) ** 2
    points = np.stack([95 * (along - 0.5), half * across, base + lift], axis=-1)
    return _turned(points.reshape(-1, 3), thing["turn_deg"], thing["centre"]), _sheet(41, 13)


def leaf_rim(thing: dict[str, Any]) -> np.ndarray:
    """The leaf's rim (n, 3), in order."""
    points = leaf(thing)[0].reshape(41, 13, 3)
    return np.vstack([points[:, 0], points[::-1, -1]])


def tube(path: np.ndarray, radii: np.ndarray, around: int = 20) -> Mesh:
    """A tube of given radii along a path (n, 3), closed by its last ring's narrow end."""
    tangent = np.gradient(path, axis=0)
    tangent /= np.linalg.norm(tangent, axis=1, keepdims=True)
    side = np.cross(tangent, [0.0, 0.0, 1.0])
    side /= np.linalg.norm(side, axis=1, keepdims=True)
    up = np.cross(side, tangent)
    angle = np.arange(around + 1) * (2 * np.pi / around)
    ring = np.cos(angle)[:, None, None] * side + np.sin(angle)[:, None, None] * up
    points = path[None] + ring * radii[None, :, None]
    return points.reshape(-1, 3), _sheet(around + 1, len(path))


def stem(fruit: dict[str, Any], start: np.ndarray) -> Mesh:
    """The stalk from the stem point outwards; a long one droops to the board."""
    length = max(float(fruit["stem_mm"]), 1.2)
    rotation = np.array(fruit["rotation"])
    outwards, sideways = -rotation[:, 0], rotation[:, 1]
    step = np.linspace(-4.0, length, 40)
    beyond = np.maximum(step, 0)[:, None]
    bend = 0.35 * fruit["stem_bend"][0] * beyond**2 / max(length, 30.0)
    path = start + step[:, None] * outwards + bend * sideways
    path[:, 2] = np.maximum(path[:, 2] - 0.0016 * beyond[:, 0] ** 2, 3.2)
    radii = 2.1 + 2.2 * np.exp(-np.maximum(step, 0) / 3.5)
    cap = path[-1:] + 0.05 * outwards
    return tube(np.vstack([path, cap]), np.append(radii, 0.02))


def cylinder(thing: dict[str, Any], length: float, radius: float) -> Mesh:
    """A lying cylinder with closed ends (a pen)."""
    x = np.array([-0.5, -0.4999, 0.4, 0.5, 0.5001]) * length
    radii = np.array([0.01, radius, radius, 0.45 * radius, 0.01])
    path = np.column_stack([x, np.zeros(5), np.full(5, radius)])
    points, faces = tube(path, radii, 32)
    return _turned(points, thing["turn_deg"], thing["centre"]), faces


def disc(thing: dict[str, Any], radius: float, height: float) -> Mesh:
    """A coin lying flat."""
    angle = np.arange(65) * (2 * np.pi / 64)
    rings = [(0.0, height), (radius - 0.6, height), (radius, height - 0.4), (radius, 0.05)]
    points = np.stack(
        [[[r * np.cos(a), r * np.sin(a), z] for a in angle] for r, z in rings]
    ).reshape(-1, 3)
    return _turned(points, 0.0, thing["centre"]), _sheet(4, 65)


def plate(corners: np.ndarray, height: float) -> Mesh:
    """A flat card; its corners go top left, clockwise."""
    points = np.column_stack([corners, np.full(4, height)])
    return points[::-1].copy(), np.array([[0, 1, 2, 3]])
