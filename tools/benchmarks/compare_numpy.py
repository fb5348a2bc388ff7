#!/usr/bin/env python3
"""All shape descriptors of outlines of 512 points: the library against plain numpy.

    .venv/bin/python tools/benchmarks/compare_numpy.py [--outlines 200] [--rounds 7]

First checks that both give the same values on outlines that differ; stops with what differs when
they do not. Then times both on one core, by turns, and prints outlines a second and the ratio.
The pose is stated to both. The library's time includes its Python call; no standard errors.
"""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Callable

os.environ.setdefault("OMP_NUM_THREADS", "1")
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import numpy as np  # noqa: E402
from numpy_descriptors import describe  # noqa: E402

import maturity  # noqa: E402

#: Largest difference allowed, over the value or 0.01. The nose's disc is bounded by every point in
#: numpy and by every second or fourth one far from the nose in the library; its centre is sought on
#: every fourth point first.
TOLERANCE = 1e-6
OF_DISCS = {"nose_roundness": 5e-3}


def invented_outlines(count: int) -> list[tuple[np.ndarray, np.ndarray, np.ndarray, int]]:
    """Eggs with beak, sinus, hollow and smooth edge waves: outline, stem, nose, side."""
    rng = np.random.default_rng(5)
    t = np.arange(512) * (2 * np.pi / 512)
    outlines = []
    for _ in range(count):
        radius = 1 + rng.uniform(0, 0.04) * np.exp(-(((t - 0.6) / 0.13) ** 2))
        radius -= rng.uniform(0, 0.02) * np.exp(-(((t - 1.05) / 0.2) ** 2))
        radius -= rng.uniform(0, 0.04) * np.exp(-(((t - np.pi) / 0.2) ** 2))
        for wave in range(2, 20):
            radius += rng.normal(0, 0.003 / wave) * np.cos(wave * t + rng.uniform(0, 7))
        x = 60 * radius * np.cos(t)
        y = 60 / rng.uniform(1.15, 1.6) * radius * np.sin(t) * (1 - rng.uniform(0, 0.2) * np.cos(t))
        side, turn = int(rng.choice([-1, 1])), rng.uniform(-np.pi, np.pi)
        basis = np.array([[np.cos(turn), np.sin(turn)], [-np.sin(turn), np.cos(turn)]])
        outline = np.column_stack([x, side * y]) @ basis + rng.uniform(-500, 500, 2)
        outlines.append((outline, outline[256], outline[0], side))
    return outlines


def of_library(outline: np.ndarray, stem: np.ndarray, nose: np.ndarray, side: int) -> object:
    """The library's answer."""
    return maturity.describe_outline(
        outline, stem=stem, nose=nose, ventral_side=side, with_errors=False
    )


def worst_differences(outlines: list[tuple[np.ndarray, np.ndarray, np.ndarray, int]]) -> None:
    """Print the largest difference of each descriptor; SystemExit when one is too large."""
    worst: dict[str, float] = {}
    for one in outlines:
        ours, plain = of_library(*one).descriptors, describe(*one)  # type: ignore[attr-defined]
        if set(ours) != set(plain):
            raise SystemExit(f"not the same descriptors: {sorted(set(ours) ^ set(plain))}")
        for name, value in plain.items():
            off = abs(ours[name] - value) / max(abs(value), 0.01)
            worst[name] = max(worst.get(name, 0.0), off)
    for name, off in sorted(worst.items(), key=lambda item: -item[1]):
        print(f"  {name:24} {off:.1e}")
    wrong = [name for name, off in worst.items() if not off <= OF_DISCS.get(name, TOLERANCE)]
    if wrong:
        raise SystemExit(f"library and numpy do not agree: {', '.join(wrong)}")


def seconds(work: Callable[..., object], outlines: list[tuple[np.ndarray, ...]]) -> float:
    """CPU time of this process for one outline."""
    start = time.process_time()
    for one in outlines:
        work(*one)
    return (time.process_time() - start) / len(outlines)


def main() -> None:
    """Check, then time."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--outlines", type=int, default=200)
    parser.add_argument("--rounds", type=int, default=7)
    options = parser.parse_args()
    outlines = invented_outlines(options.outlines)
    print(f"Largest difference over {len(outlines)} outlines, over the value or 0.01:")
    worst_differences(outlines)
    rounds = range(options.rounds)
    times = np.array([(seconds(describe, outlines), seconds(of_library, outlines)) for _ in rounds])
    plain, ours = np.median(times, axis=0)
    ratios = times[:, 0] / times[:, 1]
    print(f"numpy    {1 / plain:10.0f} outlines a second ({1e6 * plain:.0f} us)")
    print(f"library  {1 / ours:10.0f} outlines a second ({1e6 * ours:.0f} us)")
    print(f"ratio    {np.median(ratios):10.1f} ({ratios.min():.1f} to {ratios.max():.1f})")


if __name__ == "__main__":
    main()
