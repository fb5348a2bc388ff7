"""Descriptors of photos against those of the same fruit's true widest sections."""

from __future__ import annotations

from typing import Any

import numpy as np
from unseen_photos import match

import maturity


def section_values(true: dict[str, Any]) -> dict[str, float | None]:
    """Descriptors of a truth file's fruit: its section, pose stated."""
    section = np.array(true["section_mm"], float)
    nose = section[section[:, 0].argmax()]  # the stem is at the origin, the nose along x
    values: dict[str, float | None] = maturity.describe_outline(
        section, stem=(0.0, 0.0), nose=nose, ventral_side=1, with_errors=False
    ).descriptors
    return values


def print_errors(photos: list[dict[str, Any]], truths: list[dict[str, Any]]) -> None:
    """One line for each descriptor: errors against the true section, all usable fruit."""
    errors: dict[str, list[tuple[float, float]]] = {}
    for photo, truth in zip(photos, truths):
        for found, true in zip(match(photo, truth), truth["fruits"]):
            if not found or not found["usable"]:
                continue
            known = section_values(true)
            for name, value in found["descriptors"].items():
                if value is not None and known[name] is not None:
                    stated = found["descriptor_se"][name]
                    errors.setdefault(name, []).append((value - known[name], stated))
    print("| descriptor | fruit | RMS error | mean error | over stated |")
    print("|---|---|---|---|---|")
    for name, rows in errors.items():
        error, stated = np.array(rows).T
        print(
            f"| {name} | {len(error)} | {np.sqrt(np.mean(error**2)):.3g} | {np.mean(error):.3g} "
            f"| {np.sqrt(np.mean((error / stated) ** 2)):.2f} |"
        )
