"""The photos of a season measured on a Dask cluster that sees the season's folder."""

from __future__ import annotations

import itertools
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from maturity.cluster.dask_cluster import TaskLost, run_tasks
from maturity.measuring import AnyMeasurement, Measure, measure_here
from maturity.photo_limits import PhotoLimits

#: Photos of one piece of work: what a lost worker costs. Their outlines travel over the network.
_PHOTOS = 16


@dataclass(frozen=True)
class _Piece:
    photos: tuple[tuple[str, bytes], ...]
    thickness_mm: tuple[tuple[int, float], ...]
    limits: PhotoLimits


def measure_on(client: Any, threads: int, limits: PhotoLimits) -> Measure:
    """What measures a batch on the workers of a client.

    Photos that they cannot measure, since they do not see the file or were lost, are measured here.
    """

    def measure(
        batch: Mapping[str, str | bytes], thickness: dict[int, float]
    ) -> Iterator[tuple[str, AnyMeasurement, bool]]:
        left = dict(batch)
        files = ((name, os.path.abspath(os.fsencode(file))) for name, file in batch.items())
        pieces = iter(lambda: tuple(itertools.islice(files, _PHOTOS)), ())
        known = tuple(thickness.items())
        tasks = (_Piece(photos, known, limits) for photos in pieces)
        for _, measured in run_tasks(client, _measure_piece, tasks):
            for name, fields in () if isinstance(measured, TaskLost) else measured:
                del left[name]
                yield name, fields, False
        if left:
            yield from measure_here(threads, limits)(left, thickness)

    return measure


def _measure_piece(piece: _Piece) -> list[tuple[str, AnyMeasurement]]:
    """On a worker: what could be measured, with whatever was wrong with the photo itself."""
    batch: dict[str, str | bytes] = dict(piece.photos)
    return [
        (name, fields)
        for name, fields, may_pass in measure_here(1, piece.limits)(batch, dict(piece.thickness_mm))
        if not may_pass and fields["sha256"]
    ]
