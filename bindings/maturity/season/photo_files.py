"""The photo files of a season folder, and what their place in it says about them."""

from __future__ import annotations

import datetime
import os
from dataclasses import dataclass, field
from pathlib import Path, PurePath, PurePosixPath

from maturity.plain_text import plain_text

#: Endings that are tried as photos, in lower case.
PHOTO_ENDINGS = frozenset({".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"})


@dataclass
class FoundPhotos:
    """Photo files below a folder by name, and folders not looked into with the reason.

    A name is the path below the folder, with forward slashes; a control character or a byte that is
    not UTF-8 stands in it as ``%XX``.
    """

    photos: dict[str, Path] = field(default_factory=dict)
    skipped: dict[str, str] = field(default_factory=dict)


def is_photo(path: PurePath) -> bool:
    """True when the name looks like a photo; hidden files (of a phone or a Mac) do not."""
    return path.suffix.lower() in PHOTO_ENDINGS and not path.name.startswith(".")


def find_photos(folder: Path) -> FoundPhotos:
    """Photo files of a season: those below ``photos/``."""
    root = folder / "photos"
    return photos_below(root) if root.is_dir() else FoundPhotos()


def photos_below(root: Path) -> FoundPhotos:
    """All photo files below a folder, sorted by name.

    Links are followed, except to a folder above the link; each folder is visited once. What has the
    name of a photo and is no file (a broken link, a device) is listed too: measuring says why not.
    """
    files: list[Path] = []
    skipped: dict[str, str] = {}
    visited: set[tuple[int, int]] = set()
    waiting = [root]
    while waiting:
        folder = waiting.pop()
        try:
            here = folder.stat()
            if (here.st_dev, here.st_ino) in visited:
                continue
            visited.add((here.st_dev, here.st_ino))
            with os.scandir(folder) as entries:
                for entry in entries:
                    path = Path(entry.path)
                    if not _is_folder(entry):
                        if is_photo(path):
                            files.append(path)
                    elif entry.is_symlink() and _leads_up(path):
                        skipped[_name(path, root)] = "it is a link to a folder above it"
                    else:
                        waiting.append(path)
        except OSError as error:
            skipped[_name(folder, root)] = error.strerror or str(error)
    found = FoundPhotos(skipped=dict(sorted(skipped.items())))
    for path in sorted(files):
        name = _name(path, root)
        while name in found.photos:  # another file's own name may hold the %XX
            name += "~"
        found.photos[name] = path
    return found


def _name(path: Path, root: Path) -> str:
    return plain_text(path.relative_to(root).as_posix())


def _is_folder(entry: os.DirEntry[str]) -> bool:
    try:
        return entry.is_dir()
    except OSError:  # a link that leads to itself
        return False


def _leads_up(link: Path) -> bool:
    target = link.resolve()
    place = link.parent.resolve()
    return target == place or target in place.parents


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
