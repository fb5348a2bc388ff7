"""Truth of each photo, from the solids and the camera; and of the season."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

import cv2
import numpy as np

from develop import FOCAL_35MM
from layout import MARKER_MM, TILE_CODE_MM, TILE_MM, Placed, rectangle
from orchard import CULTIVAR, DM_SD, ORCHARD, SEED, TREE_SHARE, VERSION, BlockVisit, Fruit
from plan import PhotoPlan
from silhouette import Camera, contour_generator, outer_boundary
from things import leaf_rim

#: Points of a silhouette and of a section.
SILHOUETTE_POINTS, SECTION_POINTS = 300, 240


def _rounded(points: np.ndarray, digits: int) -> list[Any]:
    rounded: list[Any] = np.round(np.asarray(points, float), digits).tolist()
    return rounded


def polygon_area(points: np.ndarray) -> float:
    """Area of a closed polygon, without sign."""
    following = np.roll(points, -1, axis=0)
    return abs(float(np.sum(points[:, 0] * following[:, 1] - following[:, 0] * points[:, 1]))) / 2


def fraction_in_frame(points: np.ndarray, width: int, height: int) -> float:
    """Share of a polygon's area inside the image (pixel centres at whole numbers)."""
    clipped = points
    for axis, sign, limit in (
        (0, 1, -0.5),
        (0, -1, width - 0.5),
        (1, 1, -0.5),
        (1, -1, height - 0.5),
    ):
        inside = sign * (clipped[:, axis] - limit) >= 0
        kept: list[np.ndarray] = []
        for k, point in enumerate(clipped):
            before = clipped[k - 1]
            if inside[k] != inside[k - 1]:
                share = (limit - before[axis]) / (point[axis] - before[axis])
                kept.append(before + share * (point - before))
            if inside[k]:
                kept.append(point)
        if not kept:
            return 0.0
        clipped = np.array(kept)
    return polygon_area(clipped) / polygon_area(points)


def _mask(points: np.ndarray, camera: Camera) -> np.ndarray:
    pad = 400
    mask = np.zeros((camera.height + 2 * pad, camera.width + 2 * pad), np.uint8)
    cv2.fillPoly(mask, [np.round((points + pad) * 16).astype(np.int32)], 1, shift=4)
    return mask.astype(bool)


def _silhouette(placed: Placed, camera: Camera) -> np.ndarray:
    """Counter-clockwise on screen (y down)."""
    generator = contour_generator(placed.solid, placed.rotation, placed.origin, camera)
    return outer_boundary(camera.project(generator), SILHOUETTE_POINTS)[::-1]


def _landmark(placed: Placed, camera: Camera, point: np.ndarray) -> np.ndarray:
    return camera.project(placed.rotation @ np.array([*point, 0.0]) + placed.origin)


def _section(placed: Placed) -> np.ndarray:
    """The widest section in the fruit frame: origin at the stem point, +x to the nose."""
    outline = placed.solid.outline
    points = outline.points
    closed = np.vstack([points, points[:1]])
    arc = np.append(0, np.cumsum(np.hypot(*np.diff(closed, axis=0).T)))
    wanted = np.arange(SECTION_POINTS) * arc[-1] / SECTION_POINTS
    even = np.column_stack([np.interp(wanted, arc, closed[:, axis]) for axis in (0, 1)])
    return even - outline.stem


def _hidden(
    index: int, masks: list[np.ndarray], plan: PhotoPlan, middles: list[np.ndarray]
) -> np.ndarray:
    """What a leaf, or a touching neighbour nearer to the middle of the view, hides of a fruit."""
    hidden = np.zeros_like(masks[index])
    for thing in plan.objects:
        if thing["kind"] == "leaf":
            hidden |= _mask(plan.camera.project(leaf_rim(thing)), plan.camera)
    below = plan.camera.project(np.array([*plan.camera.position[:2], 0.0]))
    mine = np.hypot(*(middles[index] - below))
    for other, mask in enumerate(masks):
        if other != index and np.hypot(*(middles[other] - below)) < mine:
            hidden |= mask
    return hidden & masks[index]


def _fruit_truth(
    fruit: Fruit, placed: Placed, silhouette: np.ndarray, plan: PhotoPlan
) -> dict[str, Any]:
    camera, outline = plan.camera, placed.solid.outline
    stem, nose, beak = (
        _landmark(placed, camera, point) for point in (outline.stem, outline.nose, outline.beak)
    )
    along, aside = nose - stem, beak - stem
    return {
        "fruit": fruit.number,
        "dm_pct": round(fruit.dm_pct, 3),
        "length_mm": round(fruit.shape.length_mm, 3),
        "width_mm": round(fruit.shape.width_mm, 3),
        "thickness_mm": round(fruit.shape.thickness_mm, 3),
        "mass_g": round(fruit.mass_g, 1),
        "ventral_side": int(np.sign(along[0] * aside[1] - along[1] * aside[0])),
        "stem_px": _rounded(stem, 2),
        "nose_px": _rounded(nose, 2),
        "beak_px": _rounded(beak, 2),
        "stem_length_mm": round(placed.stem_length_mm, 1),
        "fraction_in_frame": round(fraction_in_frame(silhouette, camera.width, camera.height), 4),
        "centre_board_mm": _rounded(placed.origin, 2),
        "shape_signal": round(fruit.signal, 4),
        "shape": {name: round(value, 5) for name, value in asdict(fruit.shape).items()},
        "silhouette_px": _rounded(silhouette, 2),
        "section_mm": _rounded(_section(placed), 2),
    }


def _corners(camera: Camera, centre: Any, size: tuple[float, float], turn_deg: float) -> list[Any]:
    flat = rectangle(centre, size, turn_deg)
    return _rounded(camera.project(np.column_stack([flat, np.full(4, 0.2)])), 2)


def _tile_truth(plan: PhotoPlan) -> list[dict[str, Any]]:
    tiles = []
    for card in plan.board.cards:
        if card.kind != "tile":
            continue
        turn = np.radians(card.turn_deg)
        shift = -(TILE_MM[0] - TILE_MM[1]) / 2
        centre = (
            card.centre[0] + shift * np.cos(turn),
            card.centre[1] + shift * np.sin(turn),
        )
        corners = _corners(plan.camera, centre, (TILE_CODE_MM,) * 2, card.turn_deg)
        tiles.append({"fruit": int(card.text), "id": 9 + int(card.text), "corners_px": corners})
    return sorted(tiles, key=lambda one: one["fruit"])


def photo_truth(plan: PhotoPlan) -> dict[str, Any]:
    """Everything true of one photo, in upright pixel coordinates."""
    camera = plan.camera
    silhouettes = [_silhouette(one, camera) for one in plan.board.fruit]
    masks = [_mask(one, camera) for one in silhouettes]
    middles = [one.mean(axis=0) for one in silhouettes]
    fruits = []
    for k, (fruit, placed) in enumerate(zip(plan.fruit, plan.board.fruit)):
        values = _fruit_truth(fruit, placed, silhouettes[k], plan)
        hidden = _hidden(k, masks, plan, middles)
        values["occluded_fraction"] = round(float(hidden.sum() / masks[k].sum()), 4)
        near = cv2.dilate(masks[k].astype(np.uint8), np.ones((5, 5), np.uint8)).astype(bool)
        values["touching"] = any(np.any(near & m) for j, m in enumerate(masks) if j != k)
        fruits.append(values)
    axis_height = camera.position[2] / -camera.rotation[2, 2]
    return {
        "photo": plan.name,
        "made_by": f"tools/render_season version {VERSION}, seed {SEED}",
        "coordinates": "upright image, x right, y down, (0, 0) the centre of the first pixel",
        "width_px": camera.width,
        "height_px": camera.height,
        "block": plan.block,
        "tree": str(plan.tree),
        "date": plan.taken_at.date().isoformat(),
        "taken_at": plan.taken_at.isoformat(sep=" "),
        "camera": {
            "fx": camera.focal_px,
            "fy": camera.focal_px,
            "cx": camera.centre[0],
            "cy": camera.centre[1],
            "focal_35mm": FOCAL_35MM,
            "height_mm": round(float(camera.position[2]), 3),
            "tilt_deg": round(plan.tilt_deg, 4),
            "mm_per_px": round(float(axis_height / camera.focal_px), 6),
            "position_mm": _rounded(camera.position, 4),
            "rotation_right_down_forward": _rounded(camera.rotation, 9),
        },
        "light": plan.light,
        "board": plan.board_kind,
        "ground": plan.ground,
        "problem": plan.problem,
        "number_tiles": plan.tiles,
        "tree_card": next((c.text for c in plan.board.cards if c.kind == "tree_card"), None),
        "other_objects": [
            {"kind": one["kind"], "centre_board_mm": _rounded(np.array(one["centre"]), 1)}
            for one in plan.objects
        ],
        "markers": [
            {
                "id": one["id"],
                "centre_board_mm": _rounded(np.array(one["centre"]), 3),
                "corners_px": _corners(camera, one["centre"], (MARKER_MM,) * 2, one["turn_deg"]),
            }
            for one in plan.markers
        ],
        "tiles": _tile_truth(plan),
        "fruits": fruits,
    }


def season_truth(visits: list[BlockVisit], minimum_dm_pct: float) -> dict[str, Any]:
    """True dry matter of each block and visit, and how shape followed it in what was sampled."""
    rows = []
    for visit in visits:
        mean = visit.block.mean_dm_pct[visit.visit]
        seen = [fruit for group in visit.photographed for fruit in group]
        dm_pct = np.array([fruit.dm_pct for fruit in seen])
        signal = np.array([fruit.signal for fruit in seen])
        rows.append(
            {
                "block": visit.block.name,
                "date": visit.date.isoformat(),
                "mean_dm_pct": mean,
                "between_fruit_sd_pct": DM_SD,
                "share_of_variance_between_trees": TREE_SHARE,
                "share_at_or_above_minimum": round(_normal_cdf((mean - minimum_dm_pct) / DM_SD), 4),
                "photographed_fruit": len(seen),
                "photographed_mean_dm_pct": round(float(dm_pct.mean()), 3),
                "photographed_sd_dm_pct": round(float(dm_pct.std(ddof=1)), 3),
                "r_squared_signal_dm": round(float(np.corrcoef(dm_pct, signal)[0, 1] ** 2), 3),
            }
        )
    return {
        "made_by": f"tools/render_season version {VERSION}, seed {SEED}",
        "orchard": f"{ORCHARD} (invented)",
        "cultivar": f"{CULTIVAR} (invented)",
        "minimum_dm_pct": minimum_dm_pct,
        "block_visits": rows,
    }


def _normal_cdf(z: float) -> float:
    from math import erf, sqrt

    return 0.5 * (1 + erf(z / sqrt(2)))
