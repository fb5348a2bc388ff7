"""What photos that nothing was chosen on give, against their truth."""

from __future__ import annotations

from typing import Any

import cv2
import numpy as np

VISIBLE_BEAK = 0.02  # over the length


def _contour(points: Any) -> np.ndarray:
    contour: np.ndarray = np.asarray(points, np.float32).reshape(-1, 1, 2)
    return contour


def inside(point: Any, polygon: Any) -> bool:
    """Whether a point lies in a polygon."""
    x, y = (float(v) for v in point)
    return bool(cv2.pointPolygonTest(_contour(polygon), (x, y), False) >= 0)


def match(photo: dict[str, Any], truth: dict[str, Any]) -> list[dict[str, Any] | None]:
    """For each true fruit what was measured over its middle, or None."""
    found = []
    for true in truth["fruits"]:
        middle = np.mean(true["silhouette_px"], axis=0)
        over = [f for f in photo["fruits"] if inside(middle, f["outline_px"])]
        found.append(over[0] if over else None)
    return found


def distance_px(found: Any, true: Any) -> float:
    """Mean distance of an outline's points to the true silhouette."""
    contour = _contour(true)
    off = [cv2.pointPolygonTest(contour, (float(x), float(y)), True) for x, y in found]
    return float(np.abs(off).mean())


def _axis(stem: Any, nose: Any) -> np.ndarray:
    along = np.subtract(nose, stem)
    axis: np.ndarray = along / np.hypot(*along)
    return axis


def _share(right: list[bool]) -> str:
    return f"{sum(right)} of {len(right)}" + (f" ({100 * np.mean(right):.1f} %)" if right else "")


def describe_unseen(photos: list[dict[str, Any]], truths: list[dict[str, Any]]) -> str:
    """Lines of text: found and false fruit, outlines, sizes, ends, sides."""
    true_fruit = found_fruit = false_fruit = usable = 0
    off_px: dict[str, list[float]] = {}
    sizes: list[tuple[float, float]] = []
    ends: list[bool] = []
    sides: list[bool] = []
    all_sides: list[bool] = []
    axis_deg: list[float] = []
    wrong = []
    for photo, truth in zip(photos, truths):
        matched = match(photo, truth)
        true_fruit += len(matched)
        found_fruit += sum(one is not None for one in matched)
        false_fruit += sum(f["usable"] for f in photo["fruits"]) - sum(
            bool(one and one["usable"]) for one in matched
        )
        for true, one in zip(truth["fruits"], matched):
            if one is None or one["stem_px"] is None:
                continue
            distance = distance_px(one["outline_px"], true["silhouette_px"])
            off_px.setdefault(truth["light"], []).append(distance)
            if one["usable"]:
                usable += 1
                sizes.append(
                    (
                        one["length_mm"] / true["length_mm"] - 1,
                        one["width_mm"] / true["width_mm"] - 1,
                    )
                )
            beak = true["shape"]["beak_prominence"] >= VISIBLE_BEAK
            if beak:
                all_sides.append(one["ventral_side"] == true["ventral_side"])
            if "pose_uncertain" in one["flags"]:
                continue
            cosine = _axis(one["stem_px"], one["nose_px"]) @ _axis(true["stem_px"], true["nose_px"])
            ends.append(bool(cosine > 0))
            axis_deg.append(float(np.degrees(np.arccos(np.clip(cosine, -1, 1)))))
            if beak:
                sides.append(one["ventral_side"] == true["ventral_side"])
                if not sides[-1]:
                    wrong.append(f"{truth['photo']} fruit {true['fruit']}")
    size = np.abs(np.array(sizes))
    lines = [
        f"{len(photos)} photos, {true_fruit} fruit: {found_fruit} found, {usable} usable, "
        f"{false_fruit} false",
        "mean distance of outlines, px: "
        + ", ".join(f"{light} {np.mean(v):.2f}" for light, v in sorted(off_px.items())),
        f"length off by {100 * size[:, 0].mean():.2f} % in the mean "
        f"(95 in 100 below {100 * np.quantile(size[:, 0], 0.95):.2f} %), "
        f"width {100 * size[:, 1].mean():.2f} % ({100 * np.quantile(size[:, 1], 0.95):.2f} %)",
        f"ends right, where the pose is told: {_share(ends)}",
        f"beak side right, beak of {VISIBLE_BEAK} L or more: where told {_share(sides)}, "
        f"all such fruit {_share(all_sides)}",
        f"median error of the axis {np.median(axis_deg):.2f} degrees",
    ]
    if wrong:
        lines.append("wrong side: " + "; ".join(wrong))
    return "\n".join(lines)
