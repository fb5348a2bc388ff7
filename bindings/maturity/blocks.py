"""Dry matter and shape of a block's fruit to a decision."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

import numpy

from maturity import _core

#: Mean and standard deviation of the slope of meters on populations that they were not made on: a
#: planning guess between no fault (1) and 132 real groups (0.79 +/- 0.13, see the evidence in
#: docs/method/block-estimate-evidence.md).
METER_SLOPE = (_core.meter_slope_guess, _core.meter_slope_guess_sd)

#: Error of a meter that nobody checked, once bias and slope are out, %, and the number of fruit
#: that this guess counts for. `score_season` uses it; `estimate_block` by default 1.0 +/- 20 %.
METER_SEP = (_core.meter_sep_guess, _core.meter_sep_guess_fruit)


def estimate_block(
    tree: Sequence[Any],
    *,
    shape: Any = None,
    oven: Any = None,
    meter: Any = None,
    minimum_dm_pct: float,
    required_share: float = 0.9,
    rule: str = "share",
    confidence: float = 0.9,
    included: Any = None,
    picked_on_purpose: bool = False,
    calibration: _core.CalibrationSlopes | None = None,
    descriptor_names: Sequence[str] = (),
    use_shape: str = "auto",
    meter_sep_pct: float | Mapping[str, float] | None = None,
    meter_sep_n: int | Mapping[str, int] | None = None,
    meter_slope: float = 1.0,
    meter_slope_sd: float = 0.0,
    oven_sd_pct: float = 0.15,
) -> _core.BlockEstimate:
    """Estimate a block's dry matter, its share of mature fruit, and the chance that a rule is met.

    A normal linear mixed model of every fruit's true dry matter (trees, shape, oven and meter as
    two channels with error), integrated over a fixed grid; no random numbers.

    Parameters
    ----------
    tree : (n,) labels
        Tree of each sampled fruit.
    shape : (n, p) numbers, optional
        Shape descriptors, or a data frame with their names; a row of NaN: no photo.
    oven, meter : (n,) numbers, optional
        Dry matter, % of fresh weight; NaN or None: not read. At least one is needed for a result.
        Of several meters (or settings): a mapping of their names to (n,) numbers, at most 4; each
        has its own bias (`meter_bias`, then `further_meter_bias` in the order given), all share the
        slope, and their errors are wide or narrow together.
    minimum_dm_pct : float
        Your own minimum, %, 3 to 40. None is built in.
    required_share, confidence : float
        Within 0.5 to 0.999.
    rule : {"share", "mean"}
        `share`: the required share reaches the minimum; `mean`: the block's mean does.
    included : (n,) bool, optional
        False for fruit added on purpose, outside the random sample.
    picked_on_purpose : bool
        The oven fruit were chosen by a person, not drawn at random.
    calibration : CalibrationSlopes, optional
        What earlier blocks of the cultivar say about dry matter against shape.
    descriptor_names : sequence of str
        Names of the columns of `shape`; needed with a calibration unless `shape` is a data frame.
    use_shape : {"auto", "on", "off"}
    meter_sep_pct, meter_sep_n : float, int, optional
        Your own standard error of the meter after its bias, and the number of fruit behind it. Of
        several meters: mappings of names to them, where known. By default 1.0, give or take 20 %;
        `score_season` uses ``maturity.blocks.METER_SEP``, which leaves room for better meters.
    meter_slope, meter_slope_sd : float
        What a reading changes by when dry matter changes by 1 %, and how well that is known. By
        default 1, exactly, as the plain model has it; real meters come nearer to
        ``maturity.blocks.METER_SLOPE``, 0.85 give or take 0.12, which `score_season` uses: with the
        default a block with many meter readings looks more even, and more ready, than it is.
    oven_sd_pct : float
        Repeat error of one oven value, %.

    Returns
    -------
    BlockEstimate
        None where something cannot be told; `reasons` and `flags` say why. It knows nothing of
        withholding periods: `score_season` adds those.

    Raises
    ------
    ValueError
        No fruit, blank tree, lengths that differ, dry matter outside 3 to 40 %, rule out of range.

    Examples
    --------
    >>> estimate = estimate_block([1, 1, 2, 2, 3, 3], oven=[15.9, 16.8, 17.2, 15.1, 14.6, 16.3],
    ...                           minimum_dm_pct=15)
    >>> estimate.decision
    'sample_more'
    """
    return _core.estimate_block(
        block_question(
            tree,
            shape=shape,
            oven=oven,
            meter=meter,
            minimum_dm_pct=minimum_dm_pct,
            required_share=required_share,
            rule=rule,
            confidence=confidence,
            included=included,
            picked_on_purpose=picked_on_purpose,
            calibration=calibration,
            descriptor_names=descriptor_names,
            use_shape=use_shape,
            meter_sep_pct=meter_sep_pct,
            meter_sep_n=meter_sep_n,
            meter_slope=meter_slope,
            meter_slope_sd=meter_slope_sd,
            oven_sd_pct=oven_sd_pct,
        )
    )


def block_question(
    tree: Sequence[Any],
    *,
    shape: Any = None,
    oven: Any = None,
    meter: Any = None,
    minimum_dm_pct: float,
    required_share: float = 0.9,
    rule: str = "share",
    confidence: float = 0.9,
    included: Any = None,
    picked_on_purpose: bool = False,
    calibration: _core.CalibrationSlopes | None = None,
    descriptor_names: Sequence[str] = (),
    use_shape: str = "auto",
    meter_sep_pct: float | Mapping[str, float] | None = None,
    meter_sep_n: int | Mapping[str, int] | None = None,
    meter_slope: float = 1.0,
    meter_slope_sd: float = 0.0,
    oven_sd_pct: float = 0.15,
) -> _core.BlockQuestion:
    """What `estimate_block` takes, checked and in the library's own types."""
    labels = ["" if label is None else str(label) for label in tree]
    names = list(descriptor_names)
    if shape is None:
        matrix = numpy.empty((len(labels), 0))
    else:
        if not names and hasattr(shape, "columns"):
            names = [str(name) for name in shape.columns]
        matrix = numpy.asarray(shape, dtype=float)
        if matrix.ndim == 1:
            matrix = matrix[:, numpy.newaxis]
    meters = _meters(meter, meter_sep_pct, meter_sep_n)
    return _core.BlockQuestion(
        tree=labels,
        shape=matrix,
        oven=_readings("oven", oven),
        meter=meters[0][0],
        further_meters=meters[1:],
        included=[] if included is None else [bool(one) for one in included],
        minimum_dm_pct=minimum_dm_pct,
        required_share=required_share,
        rule=rule,
        confidence=confidence,
        picked_on_purpose=picked_on_purpose,
        calibration=calibration,
        descriptor_names=names,
        use_shape=use_shape,
        meter_sep_pct=meters[0][1],
        meter_sep_n=meters[0][2],
        meter_slope=meter_slope,
        meter_slope_sd=meter_slope_sd,
        oven_sd_pct=oven_sd_pct,
    )


def _meters(
    meter: Any, sep_pct: Any, sep_n: Any
) -> list[tuple[list[float], float | None, int | None]]:
    """Readings of each meter with its error and the fruit behind that; one without readings."""
    if not isinstance(meter, Mapping):
        if isinstance(sep_pct, Mapping) or isinstance(sep_n, Mapping):
            raise ValueError("meter_sep_pct, meter_sep_n: by name only where meter is")
        return [(_readings("meter", meter), sep_pct, sep_n)]
    errors = [{} if one is None else one for one in (sep_pct, sep_n)]
    for name, one in zip(("meter_sep_pct", "meter_sep_n"), errors):
        if not isinstance(one, Mapping):
            raise ValueError(f"{name}: expected a mapping of names to numbers, as meter is")
        unknown = sorted(set(one) - set(meter))
        if unknown:
            raise ValueError(f"{name}: {unknown[0]!r} is not a name in meter")
    return [
        (_readings(f"meter {name}", values), errors[0].get(name), errors[1].get(name))
        for name, values in meter.items()
    ] or [([], None, None)]


def _readings(name: str, values: Any) -> list[float]:
    if values is None:
        return []
    try:
        array = numpy.asarray(values, dtype=float)
    except (TypeError, ValueError):
        where = _first_odd(values)
        raise ValueError(f"{name}{where}: expected numbers, NaN or None where not read") from None
    if array.ndim != 1:
        raise ValueError(f"{name}: expected one number for each fruit, not shape {array.shape}")
    return [float(value) for value in array]


def _first_odd(values: Any) -> str:
    """Where the first entry stands that is no number, and what it is."""
    for number, value in enumerate(values if isinstance(values, Iterable) else (), start=1):
        try:
            numpy.asarray(value, dtype=float)
        except (TypeError, ValueError):
            return f", fruit {number}: {value!r}"
    return ""
