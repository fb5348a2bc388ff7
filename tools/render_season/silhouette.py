"""Camera and true silhouette: what a pinhole sees of a solid, from the surface itself, not a mask.

World frame: millimetres, origin in the middle of the board's surface, x right, y away from the
marker row 3-2, z up. Pixels: upright image, x right, y down, (0, 0) the centre of the first pixel.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np

from fruit_shape import Solid


@dataclass(frozen=True)
class Camera:
    """A pinhole; `rotation` rows are the camera's right, down and forward axes in the world."""

    width: int
    height: int
    focal_px: float
    position: np.ndarray
    rotation: np.ndarray

    @classmethod
    def looking_down(
        cls,
        width: int,
        height: int,
        focal_px: float,
        position: np.ndarray,
        tilt_deg: float,
        tilt_towards_deg: float,
        roll_deg: float,
    ) -> Camera:
        """A camera above the board whose view leans by `tilt_deg` towards a compass direction."""
        roll, tilt, towards = np.radians([roll_deg, tilt_deg, tilt_towards_deg])
        right = np.array([np.cos(roll), np.sin(roll), 0.0])
        down = np.array([np.sin(roll), -np.cos(roll), 0.0])
        level = np.stack([right, down, np.array([0.0, 0.0, -1.0])])
        axis = np.array([np.sin(towards), -np.cos(towards), 0.0])
        cross = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
        lean = np.eye(3) + np.sin(tilt) * cross + (1 - np.cos(tilt)) * cross @ cross
        return cls(width, height, focal_px, np.asarray(position, float), level @ lean.T)

    @classmethod
    def from_dict(cls, values: dict[str, Any]) -> Camera:
        """From what `to_dict` wrote."""
        return cls(
            values["width"],
            values["height"],
            values["focal_px"],
            np.array(values["position"]),
            np.array(values["rotation"]),
        )

    def to_dict(self) -> dict[str, Any]:
        """Plain values."""
        return {
            "width": self.width,
            "height": self.height,
            "focal_px": self.focal_px,
            "position": self.position.tolist(),
            "rotation": self.rotation.tolist(),
        }

    @property
    def centre(self) -> np.ndarray:
        """Principal point in pixels."""
        return np.array([(self.width - 1) / 2, (self.height - 1) / 2])

    def project(self, world: np.ndarray) -> np.ndarray:
        """World points (..., 3) to pixels (..., 2)."""
        seen = (world - self.position) @ self.rotation.T
        return self.focal_px * seen[..., :2] / seen[..., 2:3] + self.centre


def pose_matrix(
    yaw_deg: float, rock_deg: float, nod_deg: float, ventral_up_side: int
) -> np.ndarray:
    """Rotation from fruit to world for a fruit on one cheek.

    `ventral_up_side` +1: seen from above, +y (ventral) is 90 degrees counter-clockwise from +x; -1:
    the fruit lies on its other cheek.
    """
    yaw, rock, nod = np.radians([yaw_deg, rock_deg, nod_deg])
    about_z = np.array([[np.cos(yaw), -np.sin(yaw), 0], [np.sin(yaw), np.cos(yaw), 0], [0, 0, 1]])
    about_x = np.array(
        [[1, 0, 0], [0, np.cos(rock), -np.sin(rock)], [0, np.sin(rock), np.cos(rock)]]
    )
    about_y = np.array([[np.cos(nod), 0, np.sin(nod)], [0, 1, 0], [-np.sin(nod), 0, np.cos(nod)]])
    side = np.diag([1.0, 1.0, 1.0]) if ventral_up_side > 0 else np.diag([1.0, -1.0, -1.0])
    return about_z @ about_y @ about_x @ side


def rest_height(solid: Solid, rotation: np.ndarray) -> float:
    """Height of the fruit's origin above the board when its lowest point touches it."""
    vertices, _ = solid.mesh(240, 61)
    return float(-(vertices @ rotation[2]).min())


def contour_generator(
    solid: Solid, rotation: np.ndarray, origin: np.ndarray, camera: Camera, samples: int = 2880
) -> np.ndarray:
    """World points (n, 3) where the line of sight just touches the surface, one for each angle.

    On every meridian the sign of normal . (point - camera) changes once between the side that is
    seen and the side that is not; bisection finds it to 1e-9 rad.
    """
    angle = np.arange(samples) * (2 * np.pi / samples)
    eye = (camera.position - origin) @ rotation

    def facing(latitude: np.ndarray) -> np.ndarray:
        points = solid.points(angle, latitude)
        return np.einsum("ij,ij->i", solid.normals(angle, latitude), eye - points)

    low = np.full(samples, -1.4)
    high = np.full(samples, 1.4)
    sign_high = np.sign(facing(high))
    for _ in range(34):
        middle = 0.5 * (low + high)
        upper = np.sign(facing(middle)) == sign_high
        high = np.where(upper, middle, high)
        low = np.where(upper, low, middle)
    return solid.points(angle, 0.5 * (low + high)) @ rotation.T + origin


def outer_boundary(points: np.ndarray, samples: int) -> np.ndarray:
    """Outer boundary, evenly spaced by arc, of a closed curve about its middle (may have folds)."""
    middle = 0.5 * (points.min(axis=0) + points.max(axis=0))
    start = points - middle
    end = np.roll(start, -1, axis=0)
    directions = np.arange(8 * samples) * (2 * np.pi / (8 * samples))
    ray = np.column_stack([np.cos(directions), np.sin(directions)])
    radius = np.zeros(directions.size)
    first = np.arctan2(start[:, 1], start[:, 0]) % (2 * np.pi)
    turn = (np.arctan2(end[:, 1], end[:, 0]) - first + np.pi) % (2 * np.pi) - np.pi
    step = directions[1]
    for k in range(len(start)):
        lowest, highest = sorted((first[k], first[k] + turn[k]))
        hit = np.arange(np.ceil(lowest / step), np.floor(highest / step) + 1).astype(int)
        if hit.size == 0:
            continue
        hit %= directions.size
        edge = end[k] - start[k]
        denominator = ray[hit, 0] * edge[1] - ray[hit, 1] * edge[0]
        distance = (start[k, 0] * edge[1] - start[k, 1] * edge[0]) / denominator
        radius[hit] = np.maximum(radius[hit], distance)
    curve = middle + radius[:, None] * ray
    closed = np.vstack([curve, curve[:1]])
    arc = np.append(0, np.cumsum(np.hypot(*np.diff(closed, axis=0).T)))
    wanted = np.arange(samples) * arc[-1] / samples
    return np.column_stack([np.interp(wanted, arc, closed[:, axis]) for axis in (0, 1)])
