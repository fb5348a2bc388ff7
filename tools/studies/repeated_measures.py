"""How well two measurements of the same things agree."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

_DRAWS = 2000


@dataclass(frozen=True)
class PairAgreement:
    """Agreement of two shots; sizes in the unit of the values."""

    fruit: int
    icc: float
    icc_interval: tuple[float, float]
    smallest_difference: float
    sd_shot: float
    sd_fruit: float
    error_over_stated: float


def intraclass_correlation(values: np.ndarray) -> float:
    """Two-way, absolute agreement, of a single measurement.

    ICC(2,1) of Shrout P.E., Fleiss J.L. (1979) Psychol. Bull. 86:420-428; ICC(A,1) of McGraw K.O.,
    Wong S.P. (1996) Psychol. Methods 1:30-46 (formula from memory, checked on the worked example of
    Shrout and Fleiss). `values`: (things, repeats).
    """
    n, k = values.shape
    mean = values.mean()
    rows = k * ((values.mean(axis=1) - mean) ** 2).sum() / (n - 1)
    columns = n * ((values.mean(axis=0) - mean) ** 2).sum() / (k - 1)
    rest = values - values.mean(axis=1, keepdims=True) - values.mean(axis=0) + mean
    error = (rest**2).sum() / ((n - 1) * (k - 1))
    return float((rows - error) / (rows + (k - 1) * error + k * (columns - error) / n))


def agreement_of_pairs(values: np.ndarray, errors: np.ndarray) -> PairAgreement:
    """Agreement of values (fruit, 2) with their stated standard errors; rows with NaN left out.

    The smallest difference that can be told between two single measurements, at 95 %: 1.96 times
    the root mean square of the differences between shots (which is the square root of 2 times the
    standard error of measurement). Interval of the ICC: bootstrap over fruit, percentiles.
    """
    known = np.isfinite(values).all(axis=1) & np.isfinite(errors).all(axis=1)
    values, errors = values[known], errors[known]
    rng = np.random.default_rng(1)
    drawn = [
        intraclass_correlation(values[rng.integers(0, len(values), len(values))])
        for _ in range(_DRAWS)
    ]
    off = values[:, 1] - values[:, 0]
    low, high = np.quantile(drawn, [0.025, 0.975])
    return PairAgreement(
        fruit=len(values),
        icc=intraclass_correlation(values),
        icc_interval=(float(low), float(high)),
        smallest_difference=float(1.96 * np.sqrt((off**2).mean())),
        sd_shot=float(np.sqrt((off**2).mean() / 2)),
        sd_fruit=float(values.mean(axis=1).std(ddof=1)),
        error_over_stated=float(np.sqrt((off**2 / (errors**2).sum(axis=1)).mean())),
    )
