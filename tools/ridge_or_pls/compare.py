#!/usr/bin/env python3
"""Ridge against partial least squares for slopes of dry matter on shape; prints Markdown.

    python compare.py --replicates 200      # numpy only

Invented cultivars: some blocks of fruit with ten correlated descriptors, slopes that differ between
blocks, each block with a level of its own. Both methods see descriptors and dry matter about block
means, in within-block standard deviations; both choose their one setting (shape's share a priori;
number of components) by leaving out a block within the others; both are judged on a block that
neither fit nor setting has seen (nested cross-validation): the share of the within-block variance
of dry matter that is predicted, 1 - sum (y - Xb)^2 / sum y^2.
"""

from __future__ import annotations

import argparse

import numpy

SHARES = (0.02, 0.1, 0.3, 0.5, 0.8)
COMPONENTS = (1, 2, 3, 4, 6)
DESCRIPTORS = 10


def ridge(xx: numpy.ndarray, xy: numpy.ndarray, variance: float, share: float) -> numpy.ndarray:
    """Slopes when shape explains `share` of the variance a priori."""
    p = len(xy)
    prior = share / ((1.0 - share) * p) * variance
    return numpy.linalg.solve(xx + variance / prior * numpy.eye(p), xy)


def partial_least_squares(xx: numpy.ndarray, xy: numpy.ndarray, components: int) -> numpy.ndarray:
    """Slopes with so many components: least squares within the Krylov space of (X'X, X'y)
    (Helland 1988, from memory)."""
    basis = [xy / numpy.linalg.norm(xy)]
    while len(basis) < components:
        following = xx @ basis[-1]
        for one in basis * 2:
            following = following - one * (one @ following)
        size = numpy.linalg.norm(following)
        if size < 1e-10 * numpy.linalg.norm(xx):
            break
        basis.append(following / size)
    within = numpy.array(basis).T
    return within @ numpy.linalg.solve(within.T @ xx @ within, within.T @ xy)


def blocks_of(random: numpy.random.Generator, blocks: int, fruit: int, explained: float, kind: str):
    """Centred descriptors and dry matter, by block."""
    index = numpy.arange(DESCRIPTORS)
    cover = 0.7 ** numpy.abs(index[:, None] - index[None, :])
    if kind == "one direction":
        common = numpy.linalg.eigh(cover)[1][:, -1]
    elif kind == "few descriptors":
        common = numpy.where(index < 2, 1.0, 0.0)
    else:
        common = random.standard_normal(DESCRIPTORS)
    common = common * numpy.sqrt(explained / max(1e-12, common @ cover @ common))
    factor = numpy.linalg.cholesky(cover)
    made = []
    for _ in range(blocks):
        x = random.standard_normal((fruit, DESCRIPTORS)) @ factor.T
        spread = 0.3 * numpy.sqrt(common @ common / DESCRIPTORS)
        slopes = common + spread * random.standard_normal(DESCRIPTORS)
        y = x @ slopes + numpy.sqrt(1.0 - explained) * random.standard_normal(fruit)
        made.append((x - x.mean(0), y - y.mean()))
    return made


def fitted(blocks, method: str, setting: float) -> numpy.ndarray:
    xx = sum(x.T @ x for x, _ in blocks)
    xy = sum(x.T @ y for x, y in blocks)
    if method == "ridge":
        count = sum(len(y) - 1 for _, y in blocks)
        return ridge(xx, xy, sum(y @ y for _, y in blocks) / count, setting)
    return partial_least_squares(xx, xy, int(setting))


def left_over(block, slopes: numpy.ndarray) -> float:
    x, y = block
    return float(((y - x @ slopes) ** 2).sum())


def predicted_share(blocks, method: str) -> float:
    """Share of the variance of left-out blocks that is predicted; settings chosen on the others."""
    settings = SHARES if method == "ridge" else COMPONENTS
    residual = total = 0.0
    for out, block in enumerate(blocks):
        others = blocks[:out] + blocks[out + 1 :]

        def inner(setting: float, others=others) -> float:
            return sum(
                left_over(one, fitted(others[:i] + others[i + 1 :], method, setting))
                for i, one in enumerate(others)
            )

        best = min(settings, key=inner)
        residual += left_over(block, fitted(others, method, best))
        total += float(block[1] @ block[1])
    return 1.0 - residual / total


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--replicates", type=int, default=200)
    parser.add_argument("--seed", type=int, default=20251125)
    given = parser.parse_args()
    print("| slopes lie along | blocks x fruit | explained | ridge | PLS | ridge less PLS (SE) |")
    print("|---|---|---|---|---|---|")
    for kind in ("one direction", "few descriptors", "any direction"):
        for blocks, fruit in ((4, 15), (8, 15), (8, 40)):
            for explained in (0.0, 0.3, 0.6):
                random = numpy.random.default_rng([given.seed, blocks, fruit, int(10 * explained)])
                pairs = []
                for _ in range(given.replicates):
                    drawn = blocks_of(random, blocks, fruit, explained, kind)
                    pairs.append([predicted_share(drawn, way) for way in ("ridge", "pls")])
                both = numpy.array(pairs)
                less = both[:, 0] - both[:, 1]
                error = less.std(ddof=1) / numpy.sqrt(len(less))
                print(
                    f"| {kind} | {blocks} x {fruit} | {explained} | {both[:, 0].mean():.3f} "
                    f"| {both[:, 1].mean():.3f} | {less.mean():+.3f} ({error:.3f}) |",
                    flush=True,
                )


if __name__ == "__main__":
    main()
