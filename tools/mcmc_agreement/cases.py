"""The worked cases of tests/readiness/block_cases.h, and what their model holds."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy

NAN = float("nan")

OVEN_ONLY = [15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18.0, 16.9, 15.7, 16.4]
TWO_SHAPES = """1 0.62 0.73 18.36; 1 -0.32 0.72 -; 2 1.29 0.29 18.27; 2 0.41 0.54 -;
3 -0.91 -1.83 15.98; 3 0.22 -0.61 17.93; 4 -1.46 -1.38 16.71; 4 -0.16 -1.03 -;
5 -1.00 -1.19 18.21; 5 1.14 -0.33 19.32; 6 0.04 0.28 17.67; 6 1.34 0.40 -"""
SHAPE_OVEN_METER = """1 -0.56 - 19.1; 1 -1.18 16.10 15.9; 1 -0.10 - 17.9; 2 1.36 17.07 18.8;
2 0.45 - 18.3; 2 0.91 - 18.5; 3 -1.38 17.05 17.8; 3 0.46 - 19.8; 3 -0.48 - 18.9;
4 1.91 20.79 23.0; 4 1.12 - 20.1; 4 1.17 - 18.8; 5 0.67 - 20.3; 5 1.27 - 18.2; 5 1.31 19.97 20.9;
6 -0.85 - 18.3; 6 -0.98 - 17.3; 6 -0.64 14.46 16.7"""
METER_ONLY = [17.1, 18.0, 18.4, 16.6, 15.5, 17.7, 19.3, 17.8, 16.9, 17.2]


@dataclass
class Case:
    """A block; numbers that are missing are NaN."""

    name: str
    tree: numpy.ndarray
    oven: numpy.ndarray
    meter: numpy.ndarray
    shape: numpy.ndarray = field(default_factory=lambda: numpy.empty((0, 0)))
    slope_mean: float = 1.0
    slope_sd: float = 0.0


def _rows(text: str) -> numpy.ndarray:
    rows = [part.split() for part in text.replace("\n", " ").split(";")]
    return numpy.array([[NAN if cell == "-" else float(cell) for cell in row] for row in rows])


def worked_cases() -> list[Case]:
    """Oven only; two shapes; shape, oven and meter; meter only; three oven fruit; and the third
    with the meter's slope unknown."""
    pairs = numpy.repeat(numpy.arange(1, 6), 2)
    none = numpy.full(10, NAN)
    two = _rows(TWO_SHAPES)
    three = _rows(SHAPE_OVEN_METER)
    metered = (three[:, 0], three[:, 2], three[:, 3], three[:, 1:2])
    return [
        Case("oven only", pairs, numpy.array(OVEN_ONLY), none, numpy.empty((10, 0))),
        Case("two shapes", two[:, 0], two[:, 3], numpy.full(12, NAN), two[:, 1:3]),
        Case("shape, oven and meter", *metered),
        Case("meter only", pairs, none, numpy.array(METER_ONLY), numpy.empty((10, 0))),
        Case(
            "three oven fruit",
            numpy.arange(1, 4),
            numpy.array([17.0, 18.2, 16.1]),
            numpy.full(3, NAN),
            numpy.empty((3, 0)),
        ),
        Case("the third, meter slope unknown", *metered, slope_mean=0.85, slope_sd=0.12),
    ]
