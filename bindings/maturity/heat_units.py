"""Heat units from daily temperatures."""

from __future__ import annotations

from typing import Any

import numpy

from maturity import _core


def degree_days(
    tmin_c: Any,
    tmax_c: Any,
    *,
    lower: float,
    upper: float | None = None,
    method: str,
    cutoff: str = "horizontal",
) -> Any:
    """Degree days of one day or of many.

    Parameters
    ----------
    tmin_c, tmax_c : float or (n,) numbers
        Lowest and highest temperature of the day, degrees C.
    lower, upper : float
        Thresholds, degrees C; no upper one by default.
    method : {"simple_average", "clamped", "reflected", "four_case", "single_triangle", \
"single_sine"}
        Each gives other numbers: a target holds only with the method it was found with.
    cutoff : {"horizontal", "intermediate", "vertical"}
        What an upper threshold does.

    Returns
    -------
    float or (n,) array
        Degree days, degrees C x days.

    Raises
    ------
    ValueError
        tmin above tmax, temperatures that look like Fahrenheit, unknown names.

    Examples
    --------
    >>> degree_days(18, 30, lower=12, method="simple_average")
    12.0
    >>> degree_days([18, 20], [30, 34], lower=12, upper=32, method="single_sine").round(2)
    array([12.  , 14.67])
    """
    low, high = numpy.broadcast_arrays(
        numpy.asarray(tmin_c, dtype=float), numpy.asarray(tmax_c, dtype=float)
    )
    days = [
        _core.degree_days(
            float(one), float(other), lower=lower, upper=upper, method=method, cutoff=cutoff
        )
        for one, other in zip(low.ravel(), high.ravel())
    ]
    return days[0] if low.ndim == 0 else numpy.array(days).reshape(low.shape)
