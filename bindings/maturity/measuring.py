"""Measure the photos that the store does not know yet, and keep each as soon as it is done."""

from __future__ import annotations

import itertools
import os
import queue
import threading
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path
from typing import Any

from maturity import _core
from maturity.kept import KeptMeasurement, StoreReader
from maturity.photo_limits import PhotoLimits
from maturity.store import Store, sha256_of_file

#: Called with the number of photos done and the number of all.
Progress = Callable[[int, int], None]
#: The JSON fields of one photo, in memory or read from the store when asked for.
AnyMeasurement = Mapping[str, Any]

#: A batch of files by name, and their known thickness, to (name, JSON fields, error may pass).
Measure = Callable[
    [Mapping[str, str | bytes], dict[int, float]], Iterator[tuple[str, AnyMeasurement, bool]]
]

#: Finished photos that may wait to be kept: beyond, the library waits, and memory stays flat.
_WAITING = 8
#: Photos whose names the library holds at a time. At the end of a piece cores wait for one photo.
_AT_ONCE = 1000


def settings_with_thickness(
    thickness_mm: Mapping[int, float], threads: int, limits: PhotoLimits
) -> _core.MeasureSettings:
    """Settings of the library, with the known thickness of fruit by their number on the board."""
    settings = limits.settings(threads)
    settings.thickness_mm = dict(thickness_mm)
    return settings


def measure_missing(
    photos: Mapping[str, Path],
    store: Store,
    *,
    thickness_mm: Mapping[str, Mapping[int, float]] | None = None,
    threads: int = 0,
    limits: PhotoLimits | None = None,
    progress: Progress | None = None,
    measure: Measure | None = None,
) -> dict[str, AnyMeasurement]:
    """Measurements of all photos: from the store where it has them, else measured and kept.

    None is held in memory, neither while photos are measured nor afterwards.

    Parameters
    ----------
    photos : mapping of name to file
    store : Store
    thickness_mm : mapping, optional
        Known thickness by photo name and fruit number.
    threads : int
        0: one for each core.
    limits : PhotoLimits, optional
    progress : callable, optional
    measure : callable, optional
        What measures a batch; default: this machine.

    Returns
    -------
    dict
        JSON fields by name, in the order of `photos`, read from the store when asked for. A batch
        that is stopped keeps what it finished.
    """
    known = thickness_mm or {}
    limits = limits or PhotoLimits()
    reader = StoreReader(store.path, store.version)
    found: dict[str, AnyMeasurement] = {}
    todo: dict[tuple[tuple[int, float], ...], list[str]] = {}
    wanted: set[tuple[str, str]] = set()
    keys: dict[tuple[tuple[int, float], ...], str] = {}
    for name, path in photos.items():
        thickness = tuple(sorted(known.get(name, {}).items()))
        try:
            sha256 = sha256_of_file(path)
        except OSError as error:
            found[name] = _unreadable(error)
            continue
        if thickness not in keys:
            keys[thickness] = settings_with_thickness(dict(thickness), 0, limits).key()
        key = sha256, keys[thickness]
        found[name] = KeptMeasurement(reader, *key)
        if key not in wanted and not store.summarise(*key):
            todo.setdefault(thickness, []).append(name)
            wanted.add(key)
    del wanted
    done = len(photos) - sum(map(len, todo.values()))
    measure = measure or measure_here(threads, limits)
    for thickness, names in todo.items():
        for name, measurement, may_pass in measure(_Files(names, photos), dict(thickness)):
            if may_pass:
                found[name] = measurement
            elif measurement["sha256"]:
                store.put(name, keys[thickness], dict(measurement))
                # A photo that changed since it was looked at is kept as what it was when measured.
                found[name] = KeptMeasurement(reader, measurement["sha256"], keys[thickness])
            done += 1
            if progress is not None:
                progress(done, len(photos))
    for name, one in found.items():
        if isinstance(one, KeptMeasurement) and not store.has(*one.key):
            found[name] = _failed("another copy of this photo could not be measured; see there")
    return found


class _Files(Mapping[str, str | bytes]):
    """Files by name, made when asked for: a batch may be all photos of a season."""

    def __init__(self, names: list[str], photos: Mapping[str, Path]) -> None:
        self._names, self._photos = names, photos

    def __getitem__(self, name: str) -> bytes:
        return os.fsencode(self._photos[name])

    def __iter__(self) -> Iterator[str]:
        return iter(self._names)

    def __len__(self) -> int:
        return len(self._names)


def measure_here(threads: int, limits: PhotoLimits) -> Measure:
    """What measures a batch on this machine."""

    def measure(
        batch: Mapping[str, str | bytes], thickness: dict[int, float]
    ) -> Iterator[tuple[str, AnyMeasurement, bool]]:
        settings = settings_with_thickness(thickness, threads, limits)
        for name, photo in finished_photos(batch.items(), settings):
            yield name, photo.to_dict(), photo.error_may_pass

    return measure


def _unreadable(error: OSError) -> AnyMeasurement:
    return _failed(f"the file cannot be read: {error.strerror}")


def _failed(text: str) -> AnyMeasurement:
    return {"sha256": None, "error": text, "flags": [], "fruits": [], "taken_at": None}


def finished_photos(
    files: Iterable[tuple[str, str | bytes]], settings: _core.MeasureSettings
) -> Iterator[tuple[str, _core.PhotoMeasurement]]:
    """Yield (name, photo) of each (name, file) as the library finishes them, in any order.

    The library works in a thread of its own, so that the caller can store each result, show
    progress, and be stopped by the keyboard at once.
    """
    left = iter(files)
    while piece := list(itertools.islice(left, _AT_ONCE)):
        yield from _finished(piece, settings)


def _finished(
    piece: list[tuple[str, str | bytes]], settings: _core.MeasureSettings
) -> Iterator[tuple[str, _core.PhotoMeasurement]]:
    names, paths = [name for name, _ in piece], [path for _, path in piece]
    finished: queue.Queue[tuple[str, _core.PhotoMeasurement] | BaseException | None]
    finished = queue.Queue(maxsize=_WAITING)
    stopped = threading.Event()

    def hand_on(item: tuple[str, _core.PhotoMeasurement] | BaseException | None) -> None:
        while not stopped.is_set():
            try:
                finished.put(item, timeout=0.2)
            except queue.Full:
                continue
            return

    def taken(index: int, photo: _core.PhotoMeasurement) -> bool:
        hand_on((names[index], photo))
        return not stopped.is_set()

    def work() -> None:
        try:
            _core.measure_each_photo(paths, settings, taken)
            hand_on(None)
        except BaseException as error:  # noqa: BLE001 handed to the caller's thread
            hand_on(error)

    worker = threading.Thread(target=work, name="maturity-measure", daemon=True)
    worker.start()
    try:
        while True:
            item = finished.get()
            if item is None:
                return
            if isinstance(item, BaseException):
                raise item
            yield item
    finally:
        stopped.set()
        worker.join()
