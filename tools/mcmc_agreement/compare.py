#!/usr/bin/env python3
"""The block estimate against a general-purpose MCMC sampler, on worked cases; prints Markdown.

    pip install emcee            # PyPI; numpy and the installed maturity package are needed too
    python compare.py --steps 4000

The model is written anew here, with dense covariances and continuous priors: level, log spread, the
share between trees, the meter's error, bias and slope are sampled by emcee's affine-invariant
ensemble (Goodman and Weare 2010, from memory); the slopes of shape, whose prior has a spike at 0,
are summed out for each draw and then drawn exactly. Nothing is shared with the library but the
priors.
"""

from __future__ import annotations

import argparse
import math

import emcee
import numpy
from cases import Case, worked_cases

import maturity

MINIMUM, SHARE_Z, OVEN_SD = 15.0, 1.2815515655446004, 0.15
EXPLAINED = ((0.0, 0.3), (0.15, 0.2), (0.35, 0.2), (0.55, 0.2), (0.75, 0.1))


class Model:
    """Log posterior of one case, and exact draws of what was summed out."""

    def __init__(self, case: Case) -> None:
        self.case = case
        shape = case.shape
        self.n1, self.p = shape.shape
        self.trees = numpy.unique(case.tree)
        self.x = (shape - shape.mean(0)) / shape.std(0, ddof=1) if self.p else shape
        in_oven, metered = ~numpy.isnan(case.oven), ~numpy.isnan(case.meter)
        self.fruit = numpy.concatenate([numpy.flatnonzero(in_oven), numpy.flatnonzero(metered)])
        self.is_meter = numpy.repeat([False, True], [in_oven.sum(), metered.sum()])
        self.value = numpy.concatenate([case.oven[in_oven], case.meter[metered]])
        self.centre = case.oven[in_oven].mean() if in_oven.any() else case.meter[metered].mean()
        tree = case.tree[self.fruit]
        self.same_tree = (tree[:, None] == tree[None, :]).astype(float)
        self.same_fruit = (self.fruit[:, None] == self.fruit[None, :]).astype(float)
        self.names = ["level", "log_sigma", "tree_share"]
        if metered.any():
            self.names += ["log_meter_sd", "bias"]
            if case.slope_sd:
                self.names += ["slope"]

    def start(self, walkers: int, random: numpy.random.Generator) -> numpy.ndarray:
        middle = {
            "level": self.centre,
            "log_sigma": math.log(1.2),
            "tree_share": 0.3,
            "log_meter_sd": 0.0,
            "bias": 0.3,
            "slope": 0.85,
        }
        at = numpy.array([middle[name] for name in self.names])
        return at + 0.05 * random.standard_normal((walkers, len(at)))

    def _parts(self, draw: numpy.ndarray):
        """Prior, residual, covariance and design of the slopes at a draw; None where it is 0."""
        at = dict(zip(self.names, draw))
        sigma, rho = math.exp(at["log_sigma"]), at["tree_share"]
        if not (0.3 <= sigma <= 4.8 and 0.0 < rho < 0.8):
            return None
        prior = -0.5 * ((at["log_sigma"] - math.log(1.3)) / 0.5) ** 2
        prior += 0.5 * math.log(rho) + 3.0 * math.log(1.0 - rho)
        prior -= 0.5 * ((at["level"] - 16.0) / 5.0) ** 2
        slope, bias, meter_sd = at.get("slope", self.case.slope_mean), at.get("bias", 0.0), 1.0
        if "bias" in at:
            meter_sd = math.exp(at["log_meter_sd"])
            prior -= 0.5 * (at["log_meter_sd"] / 0.2) ** 2 + 0.5 * (bias / 1.5) ** 2
        if "slope" in at:
            if slope <= 0.0:
                return None
            prior -= 0.5 * ((slope - self.case.slope_mean) / self.case.slope_sd) ** 2
        factor = numpy.where(self.is_meter, slope, 1.0)
        cover = self.same_tree * rho + self.same_fruit * (1.0 - rho)
        cover = sigma**2 * cover * numpy.outer(factor, factor)
        cover += numpy.diag(numpy.where(self.is_meter, meter_sd**2, OVEN_SD**2))
        expected = numpy.where(
            self.is_meter,
            self.centre + slope * (at["level"] - self.centre) + bias,
            at["level"],
        )
        design = factor[:, None] * self.x[self.fruit] if self.p else None
        return prior, self.value - expected, cover, design, sigma

    def _slope_terms(self, draw: numpy.ndarray):
        """Log weight of each part of the slopes' prior, and the slopes' posterior there."""
        parts = self._parts(draw)
        if parts is None:
            return None
        prior, residual, cover, design, sigma = parts
        factor = numpy.linalg.cholesky(cover)
        white = numpy.linalg.solve(factor, residual)
        fit = prior - numpy.log(numpy.diag(factor)).sum() - 0.5 * white @ white
        if not self.p:
            return [(fit, None, None)]
        turned = numpy.linalg.solve(factor, design)
        information, score = turned.T @ turned, turned.T @ white
        terms = []
        for explained, weight in EXPLAINED:
            tau2 = max(1e-8, explained / ((1.0 - explained) * self.p)) * sigma**2
            precision = information + numpy.eye(self.p) / tau2
            mean = numpy.linalg.solve(precision, score)
            log = math.log(weight) + fit + 0.5 * score @ mean
            log -= 0.5 * (numpy.linalg.slogdet(precision)[1] + self.p * math.log(tau2))
            terms.append((log, mean, precision))
        return terms

    def log_posterior(self, draw: numpy.ndarray) -> float:
        terms = self._slope_terms(draw)
        if terms is None:
            return -math.inf
        logs = [log for log, _, _ in terms]
        return max(logs) + math.log(sum(math.exp(log - max(logs)) for log in logs))

    def block(self, draw: numpy.ndarray, random: numpy.random.Generator) -> tuple[float, float]:
        """Mean of the block and spread between its fruit, at a draw."""
        at = dict(zip(self.names, draw))
        sigma2 = math.exp(2.0 * at["log_sigma"])
        if not self.p:
            return at["level"], math.sqrt(sigma2)
        terms = self._slope_terms(draw)
        logs = numpy.array([log for log, _, _ in terms])
        weights = numpy.exp(logs - logs.max())
        _, mean, precision = terms[random.choice(len(terms), p=weights / weights.sum())]
        slopes = random.multivariate_normal(mean, numpy.linalg.inv(precision))
        by_tree = numpy.array([self.x[self.case.tree == tree].sum(0) for tree in self.trees])
        k = len(self.trees)
        factor = k / (k - 1.0) * ((k - 1.0) / (k - 3.0) if k >= 5 else 2.0)
        of_the_mean = factor * by_tree.T @ by_tree / self.n1**2
        by_shape = slopes @ numpy.cov(self.x.T).reshape(self.p, self.p) @ slopes
        by_shape *= random.chisquare(self.n1 - 1) / (self.n1 - 1)
        level = at["level"] + random.multivariate_normal(numpy.zeros(self.p), of_the_mean) @ slopes
        return level, math.sqrt(sigma2 + by_shape)


def sample(case: Case, walkers: int, steps: int, seed: int) -> dict[str, tuple[float, float]]:
    """Posterior figures with their Monte Carlo errors."""
    model = Model(case)
    random = numpy.random.default_rng(seed)
    numpy.random.seed(seed)  # noqa: NPY002 emcee draws from it
    sampler = emcee.EnsembleSampler(walkers, len(model.names), model.log_posterior)
    sampler.run_mcmc(model.start(walkers, random), steps)
    burn = steps // 5
    tau = float(numpy.max(sampler.get_autocorr_time(discard=burn, quiet=True)))
    thin = max(1, int(tau / 2))
    draws = sampler.get_chain(discard=burn, thin=thin, flat=True)
    blocks = numpy.array([model.block(draw, random) for draw in draws])
    level, spread = blocks[:, 0], blocks[:, 1]
    met = level - SHARE_Z * spread >= MINIMUM
    independent = walkers * (steps - burn) / tau
    readiness = float(met.mean())
    return {
        "mean": (float(level.mean()), float(level.std() / math.sqrt(independent))),
        "SD": (float(level.std()), float(level.std() / math.sqrt(2.0 * independent))),
        "spread": (float(spread.mean()), float(spread.std() / math.sqrt(independent))),
        "readiness": (readiness, math.sqrt(readiness * (1.0 - readiness) / independent)),
    }


def library(case: Case) -> dict[str, float]:
    """The same from the library, shape always used."""
    made = maturity.estimate_block(
        [str(tree) for tree in case.tree],
        shape=case.shape if case.shape.shape[1] else None,
        oven=case.oven,
        meter=case.meter,
        minimum_dm_pct=MINIMUM,
        use_shape="on",
        meter_slope=case.slope_mean,
        meter_slope_sd=case.slope_sd,
    )
    return {
        "mean": made.mean_dm_pct,
        "SD": made.mean_dm_sd,
        "spread": made.spread_sd,
        "readiness": made.readiness / 100.0,
    }


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--steps", type=int, default=4000)
    parser.add_argument("--walkers", type=int, default=24)
    parser.add_argument("--seed", type=int, default=20251125)
    given = parser.parse_args()
    print("| case | | library | MCMC (its error) | difference in errors |\n|---|---|---|---|---|")
    for case in worked_cases():
        drawn = sample(case, given.walkers, given.steps, given.seed)
        for name, ours in library(case).items():
            value, error = drawn[name]
            print(
                f"| {case.name} | {name} | {ours:.4f} | {value:.4f} ({error:.4f}) "
                f"| {(ours - value) / error:+.1f} |",
                flush=True,
            )


if __name__ == "__main__":
    main()
