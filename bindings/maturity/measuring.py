"""Measure the photos that the store does not know yet, and keep each as soon as it is done."""

from __future__ import annotations

import os
import queue
import threading
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from maturity import _core
from maturity.photo_limits import PhotoLimits
from maturity.store import Measurement, Outline, Store, sha256_of_file

#: Called with the number of photos done and the number of all.
Progress = Callable[[int, int], None]


#: Finished photos that may wait to be kept: beyond, the library waits, and memory stays flat.
_WAITING = 8
#: What of a fruit is read from the store again when it is drawn or compared, or not at all.
_LEFT_IN_STORE = frozenset({"outline_px", "outline_mm", "descriptor_se"})


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
) -> dict[str, Measurement]:
    """Measurements of all photos: from the store where it has them, else measured and kept.

    While photos are measured none is held in memory. Outlines stay in the store: see `lean`.

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

    Returns
    -------
    dict
        JSON fields by name, in the order of `photos`. A batch that is stopped keeps what it
        finished.
    """
    known = thickness_mm or {}
    limits = limits or PhotoLimits()
    failed: dict[str, Measurement] = {}
    stored: dict[str, tuple[str, str]] = {}
    todo: dict[tuple[tuple[int, float], ...], dict[str, str | bytes]] = {}
    wanted: set[tuple[str, str]] = set()
    for name, path in photos.items():
        thickness = tuple(sorted(known.get(name, {}).items()))
        try:
            sha256 = sha256_of_file(path)
        except OSError as error:
            failed[name] = _unreadable(error)
            continue
        stored[name] = sha256, settings_with_thickness(dict(thickness), 0, limits).key()
        if stored[name] not in wanted and not store.has(*stored[name]):
            todo.setdefault(thickness, {})[name] = os.fsencode(path)
        wanted.add(stored[name])
    done = len(photos) - sum(len(batch) for batch in todo.values())
    for thickness, batch in todo.items():
        settings = settings_with_thickness(dict(thickness), threads, limits)
        key = settings.key()
        for name, photo in finished_photos(batch, settings):
            measurement = photo.to_dict()
            if photo.error_may_pass:
                failed[name] = measurement
            elif measurement["sha256"]:
                store.put(name, key, measurement)
                # A photo that changed since it was looked at is kept as what it was when measured.
                stored[name] = measurement["sha256"], key
            done += 1
            if progress is not None:
                progress(done, len(photos))
    return {name: failed.get(name) or _from_store(store, *stored[name]) for name in photos}


def _from_store(store: Store, sha256: str, key: str) -> Measurement:
    found = store.get(sha256, key)
    if found is None:  # its twin under another name could not be measured
        return _failed("another copy of this photo could not be measured; see there")
    return lean(found, store.outlines(sha256, key))


def lean(measurement: Measurement, outlines: Callable[[int], Outline]) -> Measurement:
    """A measurement without its outlines, most of its size; `outlines` finds one by its fruit."""
    fruits = [
        {n: v for n, v in one.items() if n not in _LEFT_IN_STORE} for one in measurement["fruits"]
    ]
    return {**measurement, "fruits": fruits, "outlines": outlines}


def _unreadable(error: OSError) -> Measurement:
    return _failed(f"the file cannot be read: {error.strerror}")


def _failed(text: str) -> Measurement:
    return {"sha256": None, "error": text, "flags": [], "fruits": [], "taken_at": None}


def finished_photos(
    batch: Mapping[str, str | bytes], settings: _core.MeasureSettings
) -> Iterator[tuple[str, _core.PhotoMeasurement]]:
    """Yield (name, photo) as the library finishes them, in any order.

    The library works in a thread of its own, so that the caller can store each result, show
    progress, and be stopped by the keyboard at once.
    """
    names, paths = list(batch), list(batch.values())
    finished: queue.Queue[tuple[str, _core.PhotoMeasurement] | BaseException | None]
    finished = queue.Queue(maxsize=_WAITING)
    stopped = threading.Event()

    def hand_on(item: tuple[str, _core.PhotoMeasurement] | BaseException | None) -> None:
        while not stopped.is_set():
            try:
                return finished.put(item, timeout=0.2)
            except queue.Full:
                continue

    def taken(index: int, photo: _core.PhotoMeasurement) -> bool:
        hand_on((names[index], photo))
        return not stopped.is_set()

    def work() -> None:
        try:
            _core.measure_each_photo(paths, settings, taken)
            hand_on(None)
        except BaseException as error:  # handed to the caller's thread
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
