"""Photos on disk or behind a URL, and what the folders above them say of their place."""

from __future__ import annotations

import datetime
import os
from collections.abc import Iterable
from dataclasses import dataclass, field
from pathlib import Path, PurePosixPath
from typing import Any

from maturity.cluster.needs import OptionalPackageMissing, need
from maturity.photo_places import place_from_code
from maturity.plain_text import plain_text
from maturity.season.photo_files import is_photo, photos_below

#: Folder of a season in which the folders of the blocks lie.
_PHOTOS_FOLDER = "photos"


@dataclass(frozen=True)
class Place:
    """Where a photo belongs; None: not known."""

    block: str | None = None
    tree: str | None = None
    date: str | None = None


@dataclass
class Listed:
    """Paths and URLs of photos, each once and sorted, and folders not looked into with why."""

    photos: list[str] = field(default_factory=list)
    skipped: list[str] = field(default_factory=list)


def is_url(path: str) -> bool:
    """True for what fsspec opens; a path of this machine has no ``://``."""
    return "://" in path


def list_photos(paths: Iterable[str]) -> Listed:
    """Photos as given, and those inside folders or below the prefix of an object store.

    Raises
    ------
    FileNotFoundError
        A path that does not exist, or no photo at all. A URL where nothing is found is skipped.
    """
    given = list(paths)
    found: set[str] = set()
    listed = Listed()
    for text in given:
        if is_url(text):
            try:
                found.update(_photos_of_url(text))
            except OptionalPackageMissing:
                raise
            except Exception as error:  # noqa: BLE001 object stores raise their own
                # What lies behind a network may come and go: it costs itself only.
                listed.skipped.append(f"not found: {plain_text(text)}: {said_of(error)}")
        elif os.path.isdir(text):
            inside = photos_below(Path(text))
            found.update(str(one) for one in inside.photos.values())
            listed.skipped += [
                f"not looked into: {plain_text(os.path.join(text, name))}: {reason}"
                for name, reason in inside.skipped.items()
            ]
        elif os.path.lexists(text):
            found.add(text)
        else:
            raise FileNotFoundError(f"no photo or folder {text!r}: check the spelling of the path")
    if not found:
        raise FileNotFoundError(
            f"no photo in {', '.join(given)}: give photos or a folder of them"
            + "".join(f"; {line}" for line in listed.skipped)
        )
    listed.photos = sorted(found)
    return listed


def said_of(error: Exception) -> str:
    """What an error says, without its file; its kind where it says nothing."""
    return plain_text(getattr(error, "strerror", None) or str(error) or type(error).__name__)


def _photos_of_url(url: str) -> list[str]:
    core = need("fsspec").core
    system, root = core.url_to_fs(url)
    if system.isfile(root):
        return [url]
    # Stores without folders do not say of a prefix that it exists.
    found = system.find(root)
    if not found:
        raise FileNotFoundError("there is nothing there, or it may not be seen from here")
    return [system.unstrip_protocol(name) for name in found if is_photo(PurePosixPath(name))]


def place_from_path(path: str) -> Place:
    """Block, tree and date from ``.../BLOCK/DATE/TREE/photo`` or ``.../photos/BLOCK/TREE/photo``.

    The folder above one that is named like a date is the block; without such a folder, the one
    below ``photos``.
    """
    folders = list(PurePosixPath(path).parts[:-1])
    for i, folder in enumerate(folders):
        if _date(folder) is not None and i > 0 and folders[i - 1] != _PHOTOS_FOLDER:
            return Place(folders[i - 1], _at(folders, i + 1), folder)
    if _PHOTOS_FOLDER in folders:
        i = len(folders) - 1 - folders[::-1].index(_PHOTOS_FOLDER)
        return Place(_at(folders, i + 1), _at(folders, i + 2))
    return Place()


def place_of(path: str, measurement: dict[str, Any]) -> Place:
    """As in a season: the code on the board first, then the folders, then the photo's own date."""
    code = place_from_code(measurement.get("code_text"))
    folders = place_from_path(path)
    day = code.get("date") or folders.date or _date(str(measurement.get("taken_at") or "")[:10])
    return Place(
        code.get("block") or folders.block,
        code.get("tree") or folders.tree,
        None if day is None else str(day),
    )


def _at(folders: list[str], index: int) -> str | None:
    return folders[index] if index < len(folders) else None


def _date(text: str) -> str | None:
    try:
        return datetime.date.fromisoformat(text).isoformat()
    except ValueError:
        return None
