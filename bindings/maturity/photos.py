"""Photos to outlines and shape descriptors."""

from __future__ import annotations

import os
from collections.abc import Iterable

from maturity import _core
from maturity.photo_limits import PhotoLimits


def measure_photos(
    paths: Iterable[str | os.PathLike[str]], *, threads: int = 0, limits: PhotoLimits | None = None
) -> list[_core.PhotoMeasurement]:
    """Measure photos of fruit on the sample board.

    Parameters
    ----------
    paths : iterable of paths
        JPEG, HEIC, PNG, TIFF or WebP files.
    threads : int
        Photos measured at the same time; 0: one for each core. The results do not depend on it.
    limits : PhotoLimits, optional
        How large a photo may be and how long it may take.

    Returns
    -------
    list of PhotoMeasurement
        In the order of the paths. A photo that cannot be read has its `error` set and no fruit; the
        others are measured all the same. ``.to_dict()`` has the fields of the JSON results: lengths
        in mm, pixels upright with (0,0) the centre of the top-left pixel, None for unknown.

    Raises
    ------
    ValueError
        A single path instead of a list, or a negative number of threads.

    Examples
    --------
    >>> photo = measure_photos(["nowhere.jpg"])[0]
    >>> photo.error is None, len(photo.fruits)
    (False, 0)
    """
    if isinstance(paths, (str, os.PathLike)):
        raise ValueError(f"paths: {os.fspath(paths)!r} is one path; give a list of paths")
    if threads < 0:
        raise ValueError(f"threads: {threads} is not 0 or more")
    settings = (limits or PhotoLimits()).settings(threads)
    return _core.measure_photos([os.fsencode(path) for path in paths], settings)


def flag_sentences() -> dict[str, str]:
    """What each flag of a photo or a fruit means, and what to do about it.

    Returns
    -------
    dict of str to str
        By flag, as in `PhotoMeasurement.flags` and `FruitMeasurement.flags`.

    Examples
    --------
    >>> flag_sentences()["blurred"]
    'The photo is not sharp: hold the phone still, tap to focus, and take it again.'
    """
    return {**_core.photo_flag_sentences(), **_core.fruit_flag_sentences()}
