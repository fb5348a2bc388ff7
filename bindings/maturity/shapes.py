"""Shape of one outline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from maturity import _core


def describe_outline(
    outline: Any,
    *,
    stem: Sequence[float] | None = None,
    nose: Sequence[float] | None = None,
    ventral_side: int | None = None,
    edge_sd: float | None = None,
    edge_correlation_length: float | None = None,
    with_errors: bool = True,
) -> _core.ShapeDescription:
    """Pose and shape descriptors of one fruit from its outline.

    Parameters
    ----------
    outline : (N, 2) numbers
        Closed polygon without the stem, first point not repeated, mm or px, y down as in an upright
        photo; any start and direction.
    stem, nose : (2,) numbers, optional
        Known stem point and nose, in the frame of the outline.
    ventral_side : {-1, 0, 1}, optional
        Sign of the z component of (nose - stem) x (beak - stem), y down.
    edge_sd, edge_correlation_length : float, optional
        Standard error of the outline across its direction, and how far such errors go together
        along it, in the outline's unit. Default: the roughness of the outline itself.
    with_errors : bool
        False: no standard errors (None), about four times as fast.

    Returns
    -------
    ShapeDescription
        `descriptors`, `descriptor_se` (dict, free of scale, None where not defined), `stem`,
        `nose`, `ventral_side`, `axis_probability`, `side_probability`, `flags`, `state_names`.

    Raises
    ------
    ValueError
        Fewer than 16 different points, sides that cross, no area, coordinates that are not finite
        or beyond 1e7; the message names the point and its value. `edge_sd` below 0 or above 1e7,
        `edge_correlation_length` not above 0.

    Examples
    --------
    An ellipse 120 mm long and 90 mm wide, its stem at the left:

    >>> import numpy
    >>> turn = numpy.linspace(0, 2 * numpy.pi, 400, endpoint=False)
    >>> ellipse = numpy.column_stack([60 * numpy.cos(turn), 45 * numpy.sin(turn)])
    >>> shape = describe_outline(ellipse, stem=(-60, 0), nose=(60, 0), ventral_side=1)
    >>> round(shape.descriptors["elongation"], 2)
    1.33
    >>> shape.to_frame().columns.tolist()
    ['descriptor', 'value', 'se']
    """
    return _core.describe_outline(
        outline,
        stem=stem,
        nose=nose,
        ventral_side=ventral_side,
        edge_sd=edge_sd,
        edge_correlation_length=edge_correlation_length,
        with_errors=with_errors,
    )


def state_names(descriptors: Mapping[str, float | None]) -> list[dict[str, str]]:
    """Words of a published list for describing varieties, for the values of one fruit.

    Where one state ends and the next begins is this project's own choice (docs/method/shape.md),
    not the list's. The words describe varieties, not how mature a fruit is. No code digits are
    given: the printed list was not at hand.

    Parameters
    ----------
    descriptors : mapping of name to value
        As `describe_outline(...).descriptors`; None where not known.

    Returns
    -------
    list of dict
        `character` ("apex shape"), `state` ("obtuse"), `scheme`, `edition`, and `known`: "read" in
        use in a published abstract, or "from memory". Characters that cannot be told are left out.

    Raises
    ------
    ValueError
        A name that is no descriptor's.

    Examples
    --------
    >>> import numpy
    >>> turn = numpy.linspace(0, 2 * numpy.pi, 400, endpoint=False)
    >>> ellipse = numpy.column_stack([60 * numpy.cos(turn), 45 * numpy.sin(turn)])
    >>> shape = describe_outline(ellipse, stem=(-60, 0), nose=(60, 0), ventral_side=1)
    >>> sorted(state_names(shape.descriptors)[0])
    ['character', 'edition', 'known', 'scheme', 'state']
    """
    return _core.state_names(descriptors)
