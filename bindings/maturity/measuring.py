"""Measure the photos that the store does not know yet, and keep each as soon as it is done."""

from __future__ import annotations

import queue
import threading
from collections.abc import Callable, Iterator, Mapping
from pathlib import Path

from maturity import _core
from maturity.store import Measurement, Store, sha256_of_file

#: Called with the number of photos done and the number of all.
Progress = Callable[[int, int], None]


def settings_with_thickness(
    thickness_mm: Mapping[int, float], threads: int
) -> _core.MeasureSettings:
    """Settings of the library, with the known thickness of fruit by their number on the board."""
    settings = _core.MeasureSettings()
    settings.threads = threads
    settings.thickness_mm = dict(thickness_mm)
    return settings


def measure_missing(
    photos: Mapping[str, Path],
    store: Store,
    *,
    thickness_mm: Mapping[str, Mapping[int, float]] | None = None,
    threads: int = 0,
    progress: Progress | None = None,
) -> dict[str, Measurement]:
    """Measurements of all photos: from the store where it has them, else measured and kept.

    Parameters
    ----------
    photos : mapping of name to file
    store : Store
    thickness_mm : mapping, optional
        Known thickness by photo name and fruit number.
    threads : int
        0: one for each core.
    progress : callable, optional

    Returns
    -------
    dict
        JSON fields by name, in the order of `photos`. A batch that is stopped keeps what it
        finished.
    """
    known = thickness_mm or {}
    results: dict[str, Measurement] = {}
    todo: dict[tuple[tuple[int, float], ...], dict[str, str]] = {}
    for name, path in photos.items():
        thickness = tuple(sorted(known.get(name, {}).items()))
        key = settings_with_thickness(dict(thickness), 0).key()
        try:
            sha256 = sha256_of_file(path)
        except OSError as error:
            results[name] = _unreadable(error)
            continue
        found = store.get(sha256, key)
        if found is not None:
            results[name] = found
        else:
            todo.setdefault(thickness, {})[name] = str(path)
    done = len(results)
    for thickness, batch in todo.items():
        settings = settings_with_thickness(dict(thickness), threads)
        key = settings.key()
        for name, photo in finished_photos(batch, settings):
            measurement = photo.to_dict()
            results[name] = (
                store.put(name, key, measurement) if measurement.get("sha256") else measurement
            )
            done += 1
            if progress is not None:
                progress(done, len(photos))
    return {name: results[name] for name in photos}


def _unreadable(error: OSError) -> Measurement:
    text = f"the file cannot be read: {error.strerror}"
    return {"sha256": None, "error": text, "flags": [], "fruits": [], "taken_at": None}


def finished_photos(
    batch: Mapping[str, str], settings: _core.MeasureSettings
) -> Iterator[tuple[str, _core.PhotoMeasurement]]:
    """Yield (name, photo) as the library finishes them, in any order.

    The library works in a thread of its own, so that the caller can store each result, show
    progress, and be stopped by the keyboard at once.
    """
    names, paths = list(batch), list(batch.values())
    finished: queue.Queue[tuple[str, _core.PhotoMeasurement] | BaseException | None]
    finished = queue.Queue()
    stopped = threading.Event()

    def done(index: int, photo: _core.PhotoMeasurement) -> bool:
        finished.put((names[index], photo))
        return not stopped.is_set()

    def work() -> None:
        try:
            _core.measure_photos(paths, settings, done)
            finished.put(None)
        except BaseException as error:  # handed to the caller's thread
            finished.put(error)

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
