"""Shares, limits and agreement, without anything about fruit."""

from __future__ import annotations

from typing import Any

import numpy

from maturity import _core


def proportion_interval(
    count: float, n: float, *, level: float = 0.95, method: str = "wilson"
) -> tuple[float, float]:
    """Two-sided interval for a share.

    Parameters
    ----------
    count, n : float
        `count` of `n` independent units, 0 <= count <= n; not whole where units were drawn in
        clusters and divided by their design effect.
    level : float
        Within 0 to 1.
    method : {"wilson", "clopper-pearson"}
        Score interval, or the exact one (wider).

    Returns
    -------
    (low, high) : tuple of float

    Raises
    ------
    ValueError
        A number out of range, an unknown method.

    Examples
    --------
    >>> [round(end, 4) for end in proportion_interval(4, 20)]
    [0.0807, 0.416]
    """
    return _core.proportion_interval(count, n, level=level, method=method)


def tolerance_factor(n: int, *, share: float, confidence: float) -> float:
    """One-sided normal tolerance factor k.

    With this confidence, at least this share of the fruit lies above mean - k * SD, from `n`
    independent values without measuring error (noncentral t).

    Parameters
    ----------
    n : int
        At least 2.
    share, confidence : float
        Within 0 to 1.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        A number out of range.

    Examples
    --------
    >>> round(tolerance_factor(43, share=0.9, confidence=0.99), 4)
    1.874
    """
    return _core.tolerance_factor(n, share=share, confidence=confidence)


def acceptance_probability(n: int, accept: int, share: float, *, lot: int | None = None) -> float:
    """Chance that a sample of `n` holds at most `accept` units of a kind.

    Parameters
    ----------
    n, accept : int
        Size of the sample, and the acceptance number.
    share : float
        True share of that kind, 0 to 1.
    lot : int, optional
        Size of the lot: drawn without putting back. None: the lot is large.

    Returns
    -------
    float

    Raises
    ------
    ValueError
        A number out of range.

    Examples
    --------
    >>> round(acceptance_probability(50, 2, 0.05), 4)
    0.5405
    """
    return _core.acceptance_probability(n, accept, share, lot=lot)


def agreement(reference: Any, predicted: Any) -> _core.Agreement:
    """How well predicted values agree with a reference.

    Parameters
    ----------
    reference, predicted : (n,) numbers
        In one unit, pairwise; pairs with NaN are left out and counted.

    Returns
    -------
    Agreement
        `bias`, `rmsep`, `sep`, `slope`, `intercept`, `r_squared`, `bias_limit` and more.

    Raises
    ------
    ValueError
        Lengths that differ, infinite values, fewer than 3 pairs, values that are all equal.

    Examples
    --------
    >>> oven, meter = [14.0, 15.0, 16.5, 17.0, 18.0, 15.5], [14.6, 15.2, 17.3, 17.9, 18.2, 16.1]
    >>> result = agreement(oven, meter)
    >>> round(result.bias, 2), round(result.sep, 2), round(result.rmsep, 2)
    (0.55, 0.29, 0.61)
    """
    return _core.agreement(
        [float(value) for value in numpy.asarray(reference, dtype=float)],
        [float(value) for value in numpy.asarray(predicted, dtype=float)],
    )
