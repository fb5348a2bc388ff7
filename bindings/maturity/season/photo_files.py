"""The photo files of a season folder, and what their place in it says about them."""

from __future__ import annotations

import datetime
from pathlib import Path, PurePosixPath

#: Endings that are tried as photos, in lower case.
PHOTO_ENDINGS = frozenset({".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"})


def is_photo(path: Path) -> bool:
    """True when the name looks like a photo; hidden files (of a phone or a Mac) do not."""
    return path.suffix.lower() in PHOTO_ENDINGS and not path.name.startswith(".")


def find_photos(folder: Path) -> dict[str, Path]:
    """Photo files by the name used in photos.csv: the path under photos/, with forward slashes.

    Sorted by name, so that the order does not depend on the file system.
    """
    root = folder / "photos"
    found = [path for path in root.rglob("*") if is_photo(path) and path.is_file()]
    return {path.relative_to(root).as_posix(): path for path in sorted(found)}


def place_from_folders(photo: str, blocks: set[str]) -> dict[str, str | datetime.date]:
    """Block, tree and date as far as the folders above a photo name them.

    `photos/<block>/<tree>/...` and `photos/<block>/<date>/<tree>/...` are understood; a folder that
    is neither a known block nor a date, below a block, is a tree.
    """
    place: dict[str, str | datetime.date] = {}
    for part in PurePosixPath(photo).parts[:-1]:
        try:
            place.setdefault("date", datetime.date.fromisoformat(part))
        except ValueError:
            if part in blocks:
                place.setdefault("block", part)
            elif "block" in place:
                place.setdefault("tree", part)
    return place
