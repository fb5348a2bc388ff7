"""The photo files of a season folder, and what their place in it says about them."""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path, PurePath, PurePosixPath

from maturity.plain_text import plain_text

#: Endings that are tried as photos, in lower case.
PHOTO_ENDINGS = frozenset({".jpg", ".jpeg", ".png", ".tif", ".tiff", ".webp", ".heic", ".heif"})


class PhotoFiles(Mapping[str, Path]):
    """Photo files below a folder by name: the path below it, with forward slashes.

    A control character or a byte that is not UTF-8 stands in a name as ``%XX``.
    """

    def __init__(self, root: Path) -> None:
        self._root = root
        # None: the name is the path. Of many photos a path each would be most of their memory.
        self._files: dict[str, Path | None] = {}

    def add(self, path: Path) -> None:
        """One more file, under a name that no other has."""
        below = path.relative_to(self._root).as_posix()
        name = plain_text(below)
        while name in self._files:  # another file's own name may hold the %XX
            name += "~"
        self._files[name] = None if name == below else path

    def __getitem__(self, name: str) -> Path:
        return self._files[name] or self._root / name

    def __iter__(self) -> Iterator[str]:
        return iter(self._files)

    def __len__(self) -> int:
        return len(self._files)


@dataclass
class FoundPhotos:
    """Photo files below a folder, and folders not looked into with the reason, by name."""

    photos: PhotoFiles
    skipped: dict[str, str] = field(default_factory=dict)


def is_photo(path: PurePath) -> bool:
    """True when the name looks like a photo; hidden files (of a phone or a Mac) do not."""
    return path.suffix.lower() in PHOTO_ENDINGS and not path.name.startswith(".")


def find_photos(folder: Path) -> FoundPhotos:
    """Photo files of a season: those below ``photos/``."""
    root = folder / "photos"
    return photos_below(root) if root.is_dir() else FoundPhotos(PhotoFiles(root))


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
    found = FoundPhotos(PhotoFiles(root), dict(sorted(skipped.items())))
    for path in sorted(files):
        found.photos.add(path)
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
