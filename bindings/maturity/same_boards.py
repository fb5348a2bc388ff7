"""Several shots of one board: the best is kept, or each fruit would count several times."""

from __future__ import annotations

from statistics import fmean
from typing import Any

import numpy

from maturity import _core
from maturity.kept import with_flag
from maturity.photo_places import PlacedPhoto


def leave_out_repeated_boards(photos: list[PlacedPhoto]) -> None:
    """Leave out, with the flag `same_board`, all but the best shot of each board.

    Only photos of one block, tree and date are compared, by the outlines of their fruit.
    """
    by_visit: dict[tuple[object, ...], list[PlacedPhoto]] = {}
    for photo in photos:
        if photo.left_out is None:
            by_visit.setdefault((photo.block, photo.tree, photo.date), []).append(photo)
    for shots in by_visit.values():
        if len(shots) == 1:
            continue
        kept: list[PlacedPhoto] = []
        for photo in sorted(shots, key=_worse_last):
            twin = next((one for one in kept if _same_board(one, photo)), None)
            if twin is None:
                kept.append(photo)
            else:
                _leave_out(photo, twin)


def _worse_last(photo: PlacedPhoto) -> tuple[int, int, float, str]:
    """Most usable fruit first, then fewest flags, sharpest outlines, first name."""
    errors = [one.get("outline_se_px") or 0.0 for one in photo.fruit] or [0.0]
    return -photo.usable_fruit, len(photo.measurement["flags"]), fmean(errors), photo.name


def _same_board(one: PlacedPhoto, other: PlacedPhoto) -> bool:
    return bool(_core.compare_boards(_outlines(one), _outlines(other)).same)


def _outlines(photo: PlacedPhoto) -> list[numpy.ndarray[Any, numpy.dtype[numpy.float64]]]:
    outlines = [photo.outline(one) for one in photo.fruit]
    return [numpy.asarray(outline, dtype=float) for outline in outlines if len(outline) >= 3]


def _leave_out(photo: PlacedPhoto, twin: PlacedPhoto) -> None:
    photo.measurement = with_flag(photo.measurement, "same_board")
    photo.left_out = (
        f"same_board: another shot of the board in {twin.name}, which is the better one and counts"
    )
