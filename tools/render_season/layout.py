"""Laying fruit, markers and number tiles on the board so that nothing covers what it must not."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np

from fruit_shape import Solid
from silhouette import Camera, pose_matrix, rest_height

BOARD_MM = (800.0, 600.0)
MARKER_MM, MARKER_PAPER_MM = 40.0, 60.0
MARKER_CENTRES = ((-200.0, 150.0), (200.0, 150.0), (200.0, -150.0), (-200.0, -150.0))
#: A tile is a card: the code on its left (with a white rim), the number on its right.
TILE_MM, TILE_CODE_MM = (50.0, 30.0), 24.0
TREE_CARD_MM = (56.0, 56.0)
_CELL = 2.0  # mm of the occupancy grid
_TWO_ROWS = [(x, y) for y in (78.0, -78.0) for x in (-315.0, -112.0, 0.0, 112.0, 315.0)]
_THREE_ROWS = [(x, y) for y in (205.0, 0.0, -205.0) for x in (-300.0, -110.0, 40.0, 110.0, 300.0)]


class NoRoom(RuntimeError):
    """This draw of positions does not work; draw again."""


@dataclass
class Placed:
    """A fruit on the board, and what it hides of the board (mm, seen from the camera)."""

    solid: Solid
    rotation: np.ndarray
    origin: np.ndarray
    side: int
    stem_length_mm: float
    hidden: np.ndarray
    stem_line: np.ndarray


@dataclass
class Card:
    """Something flat on the board: its kind, text, and where it lies."""

    kind: str
    text: str
    centre: tuple[float, float]
    size: tuple[float, float]
    turn_deg: float


def on_board(points: np.ndarray, camera: Camera) -> np.ndarray:
    """Where lines of sight through world points meet the board."""
    height = camera.position[2]
    scale = height / (height - points[:, 2:3])
    return camera.position[:2] + (points[:, :2] - camera.position[:2]) * scale


def rectangle(
    centre: tuple[float, float], size: tuple[float, float], turn_deg: float
) -> np.ndarray:
    """Corners of a turned rectangle: top left, then clockwise seen from above."""
    turn = np.radians(turn_deg)
    corner = 0.5 * np.array([[-1, 1], [1, 1], [1, -1], [-1, -1]]) * np.array(size)
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return corner @ rotation.T + np.array(centre)


def _grid(points: np.ndarray) -> np.ndarray:
    return np.round((points + np.array(BOARD_MM)) / _CELL).astype(np.int32)


def _filled(points: np.ndarray, margin_mm: float) -> np.ndarray:
    mask = np.zeros((int(2 * BOARD_MM[1] / _CELL), int(2 * BOARD_MM[0] / _CELL)), np.uint8)
    cv2.fillPoly(mask, [_grid(points)], 1)
    size = int(2 * margin_mm / _CELL) + 1
    return cv2.dilate(mask, np.ones((size, size), np.uint8)).astype(bool)


def place_fruit(
    solid: Solid,
    at: tuple[float, float],
    turn_deg: tuple[float, float, float],
    side: int,
    camera: Camera,
    stem_length_mm: float,
) -> Placed:
    """Put a fruit on its cheek; `turn_deg` is where its nose points, and how it rocks and nods."""
    rotation = pose_matrix(*turn_deg, side)
    origin = np.array([at[0], at[1], rest_height(solid, rotation)])
    vertices, _ = solid.mesh(120, 31)
    hull = cv2.convexHull(on_board(vertices @ rotation.T + origin, camera).astype(np.float32))
    stem_end = solid.outline.stem - np.array([stem_length_mm, 0])
    line = np.array([[*solid.outline.stem, 0.0], [*stem_end, 0.0]]) @ rotation.T + origin
    return Placed(solid, rotation, origin, side, stem_length_mm, hull[:, 0], on_board(line, camera))


def _fruit_mask(placed: Placed, margin_mm: float) -> np.ndarray:
    mask = _filled(placed.hidden, margin_mm).astype(np.uint8)
    if placed.stem_length_mm > 8:
        ends = _grid(placed.stem_line)
        width = max(1, int((2 * margin_mm + 8) / _CELL))
        cv2.line(mask, ends[0].tolist(), ends[1].tolist(), 1, width)
    return mask.astype(bool)


def _inside_board(points: np.ndarray, margin_mm: float) -> bool:
    half = np.array(BOARD_MM) / 2 - margin_mm
    return bool(np.all(np.abs(points) <= half))


class Board:
    """What lies on one board so far."""

    def __init__(self, camera: Camera, rng: np.random.Generator) -> None:
        self.camera = camera
        self.rng = rng
        self.fruit: list[Placed] = []
        self.cards: list[Card] = []
        self._taken = _filled(np.zeros((1, 2)), 0) & False
        for centre in MARKER_CENTRES:
            self._taken |= _filled(rectangle(centre, (MARKER_PAPER_MM,) * 2, 0), 6)

    def lay_fruit(self, solids: list[Solid], stems_mm: list[float], random_turn: bool) -> None:
        """Lay all fruit in rows, in reading order (rows from the top, left to right).

        Raises
        ------
        NoRoom
            These positions collide.
        """
        slots = _TWO_ROWS if len(solids) <= 8 and self.rng.random() < 0.5 else _THREE_ROWS
        chosen = sorted(self.rng.permutation(len(slots))[: len(solids)].tolist())
        for solid, stem, slot in zip(solids, stems_mm, chosen):
            jitter = self.rng.uniform(-9, 9, 2)
            at = (slots[slot][0] + float(jitter[0]), slots[slot][1] + float(jitter[1]))
            yaw = float(self.rng.uniform(-180, 180) if random_turn else self.rng.normal(-90, 16))
            turn = (yaw, float(self.rng.normal(0, 2.5)), float(self.rng.normal(0, 1.5)))
            side = int(self.rng.choice([-1, 1]))
            self._add(place_fruit(solid, at, turn, side, self.camera, stem), gap_mm=9)

    def lay_touching(self, first: int, second: int) -> None:
        """Slide one fruit along the line of centres until its section touches the other's."""
        fixed, moved = self.fruit[first], self.fruit[second]
        target = _section(fixed)
        direction = fixed.origin[:2] - moved.origin[:2]
        direction /= np.hypot(*direction)
        low, high = 0.0, float(np.hypot(*(fixed.origin[:2] - moved.origin[:2])))
        outline = _section(moved).astype(np.float32)
        for _ in range(40):
            middle = 0.5 * (low + high)
            shifted = (outline + direction * middle).astype(np.float32)
            apart = max(
                cv2.pointPolygonTest(shifted, (float(x), float(y)), True) for x, y in target
            )
            low, high = (middle, high) if apart < -0.05 else (low, middle)
        offset = np.array([*(direction * low), 0.0])
        moved.origin = moved.origin + offset
        moved.hidden = moved.hidden + offset[:2].astype(np.float32)
        moved.stem_line = moved.stem_line + offset[:2]
        self._retake()

    def lay_card(self, kind: str, text: str, size: tuple[float, float], near: int | None) -> None:
        """Lay a card in the free place nearest to a fruit (or anywhere, `near` None).

        Raises
        ------
        NoRoom
            There is no place that clearly belongs to that fruit.
        """
        for centre in self._candidates(near):
            turn = float(self.rng.normal(0, 7))
            corners = rectangle(centre, size, turn)
            if not _inside_board(corners, 4) or np.any(self._taken & _filled(corners, 4)):
                continue
            if near is not None and self._nearest(corners) != near:
                continue
            self.cards.append(Card(kind, text, centre, size, turn))
            self._taken |= _filled(corners, 4)
            return
        raise NoRoom(kind)

    def _candidates(self, near: int | None) -> list[tuple[float, float]]:
        if near is None:
            anywhere = self.rng.uniform([-360, -260], [360, 260], (300, 2))
            return [(float(x), float(y)) for x, y in anywhere]
        hull = self.fruit[near].hidden
        middle = hull.mean(axis=0)
        directions = self.rng.uniform(0, 2 * np.pi) + np.arange(24) * (2 * np.pi / 24)
        places = [
            middle + distance * np.array([np.cos(d), np.sin(d)])
            for distance in range(50, 125, 5)
            for d in directions
        ]
        return [(float(x), float(y)) for x, y in places]

    def _nearest(self, corners: np.ndarray) -> int | None:
        """Fruit nearest to a card, None when two are about equally near."""
        centre = corners.mean(axis=0)
        distance = [
            -cv2.pointPolygonTest(one.hidden, (float(centre[0]), float(centre[1])), True)
            for one in self.fruit
        ]
        order = np.argsort(distance)
        if len(order) > 1 and distance[order[1]] - distance[order[0]] < 14:
            return None
        return int(order[0])

    def _add(self, placed: Placed, gap_mm: float) -> None:
        if np.any(self._taken & _fruit_mask(placed, gap_mm)):
            raise NoRoom("fruit")
        if not _inside_board(placed.hidden, -25) or not _inside_board(placed.stem_line, 2):
            raise NoRoom("board")
        self.fruit.append(placed)
        self._taken |= _fruit_mask(placed, 2)

    def _retake(self) -> None:
        for one in self.fruit:
            self._taken |= _fruit_mask(one, 2)


def _section(placed: Placed) -> np.ndarray:
    """The equator section on the board's plane, mm."""
    points = placed.solid.outline.points[::8]
    return points @ placed.rotation[:2, :2].T + placed.origin[:2]
