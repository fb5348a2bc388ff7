"""What one worker does with a batch of photos. Runs on any machine that has this package."""

from __future__ import annotations

import contextlib
import hashlib
import os
import shutil
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from maturity.about import library_version
from maturity.cluster.dataset import Row, write_rows
from maturity.cluster.listing import is_url, place_of, said_of
from maturity.cluster.needs import need
from maturity.measuring import finished_photos
from maturity.photo_limits import PhotoLimits
from maturity.store import sha256_of_file


@dataclass(frozen=True)
class Batch:
    """Photos with their SHA-256 that are measured and written as one piece of work."""

    photos: tuple[tuple[str, str], ...]
    dataset: str
    version: str
    limits: PhotoLimits
    threads: int = 1


@dataclass
class BatchDone:
    """Files written, photos kept, and photos not kept with the reason: another run tries again."""

    files: list[str]
    kept: int
    not_kept: dict[str, str] = field(default_factory=dict)


def sha256_of_photos(paths: tuple[str, ...]) -> list[tuple[str | None, str]]:
    """(SHA-256, "") of each photo, or (None, why it cannot be read)."""
    return [_sha256(path) for path in paths]


def _sha256(path: str) -> tuple[str | None, str]:
    try:
        if not is_url(path):
            return sha256_of_file(path), ""
        with need("fsspec").open(path, "rb") as file:
            digest = hashlib.sha256()
            while piece := file.read(1 << 20):
                digest.update(piece)
            return digest.hexdigest(), ""
    except Exception as error:  # noqa: BLE001 object stores raise their own
        return None, f"the file cannot be read: {said_of(error)}"


def measure_batch(batch: Batch) -> BatchDone:
    """Measure a batch and write it; done twice, it leaves what done once leaves.

    Raises
    ------
    RuntimeError
        This worker has another version of the library: its numbers may differ.
    OSError
        The dataset cannot be written.
    """
    if library_version() != batch.version:
        raise RuntimeError(
            f"a worker has maturity {library_version()}, the results need {batch.version}: "
            "install the same version on all machines"
        )
    settings = batch.limits.settings(batch.threads)
    not_kept: dict[str, str] = {}
    rows: dict[str, Row] = {}
    with _local_files([path for path, _ in batch.photos], not_kept) as files:
        for path, photo in finished_photos(files.items(), settings):
            measurement = photo.to_dict()
            if photo.error_may_pass or not measurement["sha256"]:
                not_kept[path] = str(measurement["error"])
                continue
            # How long it took depends on the machine; results must not.
            del measurement["seconds"]
            rows[path] = Row(path, place_of(path, measurement), measurement)
    ordered = [rows[path] for path, _ in batch.photos if path in rows]
    name = _name(batch, settings.key())
    written = write_rows(batch.dataset, ordered, batch.version, settings.key(), name)
    return BatchDone(written, len(ordered), not_kept)


def _name(batch: Batch, key: str) -> str:
    """Name of the batch by what was asked for, so that a second try replaces the first."""
    asked = "\n".join([batch.version, key, *(f"{sha} {path!r}" for path, sha in batch.photos)])
    return hashlib.sha256(asked.encode()).hexdigest()[:32]


_FETCHED = "maturity-photos-"  # folders for photos behind URLs, in the one for temporary files
_FETCHED_SECONDS = 86400.0  # no batch takes a day


def _sweep_fetched() -> None:
    """Remove what killed workers had fetched."""
    for folder in Path(tempfile.gettempdir()).glob(f"{_FETCHED}*"):
        with contextlib.suppress(OSError):
            if time.time() - folder.stat().st_mtime > _FETCHED_SECONDS:
                shutil.rmtree(folder)


@contextlib.contextmanager
def _local_files(paths: list[str], failed: dict[str, str]) -> Iterator[dict[str, str | bytes]]:
    """Files that the library can open; what lies behind a URL is fetched for a batch's time."""
    if any(map(is_url, paths)):
        _sweep_fetched()
    with tempfile.TemporaryDirectory(prefix=_FETCHED) as folder:
        files: dict[str, str | bytes] = {}
        for number, path in enumerate(paths):
            if not is_url(path):
                files[path] = os.fsencode(path)
                continue
            copy = Path(folder) / f"{number}{Path(path).suffix[:10]}"
            try:
                with need("fsspec").open(path, "rb") as source, open(copy, "wb") as target:
                    while piece := source.read(1 << 20):
                        target.write(piece)
            except Exception as error:  # noqa: BLE001 object stores raise their own
                failed[path] = f"the file cannot be read: {said_of(error)}"
            else:
                files[path] = str(copy)
        yield files
