"""Where each photo of a season belongs: block, tree, date, and the number of its first fruit."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Protocol

from maturity.season.photo_files import place_from_folders
from maturity.season.season import Season
from maturity.season.table import Row
from maturity.store import Outline


@dataclass(slots=True)
class PlacedPhoto:
    """A photo, what was measured on it, where it belongs, and why it is left out (None: it is not).

    `sources` says for block, tree and date where each was taken from.
    """

    name: str
    measurement: Mapping[str, Any]
    block: str | None = None
    tree: str | None = None
    date: datetime.date | None = None
    sources: dict[str, str] = field(default_factory=dict)
    first_fruit: int = 1
    fruit_count: int | None = None
    left_out: str | None = None
    notes: list[str] = field(default_factory=list)

    @property
    def fruit(self) -> list[dict[str, Any]]:
        """The fruit that count.

        Where tiles number as many as were laid, and all else is not like a fruit, those with tiles.
        """
        found: list[dict[str, Any]] = self.measurement["fruits"]
        by_tile = [one for one in found if one.get("numbered_by_tile")]
        others = [one for one in found if not one.get("numbered_by_tile")]
        if len(by_tile) == self.fruit_count and not any(one["usable"] for one in others):
            return by_tile
        return found

    def outline(self, fruit: dict[str, Any]) -> Outline:
        """Outline of one of the fruit, (x, y) in px; empty where there is none."""
        if "outline_px" in fruit or "outlines" not in self.measurement:
            return fruit.get("outline_px") or []
        found: Outline = self.measurement["outlines"](fruit["fruit"])
        return found

    @property
    def usable_fruit(self) -> int:
        """How many of the fruit that count may be scored by shape."""
        return sum(bool(one["usable"]) for one in self.fruit)

    def fruit_number(self, fruit: dict[str, Any]) -> int:
        """Number of a fruit in the season: its tile's, or counted on from `first_fruit`."""
        number: int = fruit["fruit"]
        return number if fruit.get("numbered_by_tile") else number + self.first_fruit - 1


class Photos(Protocol):
    """A list of photos, or one that is put away."""

    def append(self, photo: PlacedPhoto, /) -> None:
        """Add a photo."""

    def __getitem__(self, index: int, /) -> PlacedPhoto:
        ...

    def __setitem__(self, index: int, photo: PlacedPhoto, /) -> None:
        ...

    def __len__(self) -> int:
        ...


def place_photos(
    season: Season, measurements: Mapping[str, Mapping[str, Any]]
) -> list[PlacedPhoto]:
    """Place every measured photo; those that belong nowhere, or cannot be trusted, say why."""
    placed: list[PlacedPhoto] = []
    place_into(placed, season, measurements)
    return placed


def place_into(
    placed: Photos, season: Season, measurements: Mapping[str, Mapping[str, Any]]
) -> None:
    """`place_photos` into a list that need not hold them."""
    rows = {row["photo"]: row for row in season.tables["photos"].rows}
    first: dict[str, int] = {}
    copies: dict[int, list[int]] = {}
    for name, measurement in measurements.items():
        photo = _place(season, name, measurement, rows.get(name))
        sha256 = measurement.get("sha256")
        before = len(placed)
        if sha256 is not None and photo.left_out is None:
            before = first.setdefault(sha256, len(placed))
        if before != len(placed):
            copies.setdefault(before, [before]).append(len(placed))
        placed.append(photo)
    for places in copies.values():
        group = [placed[place] for place in places]
        _leave_out_copies(group)
        for place, photo in zip(places, group):
            placed[place] = photo


def _leave_out_copies(group: list[PlacedPhoto]) -> None:
    """One file under several names: the first counts, or none where they stand at two places."""
    first = group[0]
    other = next((one for one in group if _place_of(one) != _place_of(first)), None)
    for photo in group if other is not None else group[1:]:
        photo.left_out = f"the same file as {first.name}"
        if other is not None:
            twin = first if _place_of(photo) != _place_of(first) else other
            photo.left_out = (
                f"the same file as {twin.name}, which stands under {twin.block}, tree {twin.tree}, "
                f"{twin.date}: which of them is right cannot be told; delete the wrong copy"
            )


def _place_of(photo: PlacedPhoto) -> tuple[str | None, str | None, datetime.date | None]:
    return photo.block, photo.tree, photo.date


def _place(
    season: Season, name: str, measurement: Mapping[str, Any], row: Row | None
) -> PlacedPhoto:
    photo = PlacedPhoto(name, measurement)
    if measurement.get("error"):
        photo.left_out = str(measurement["error"])
    if row is not None:
        photo.first_fruit = row["first_fruit"] or 1
        photo.fruit_count = row["fruit_count"]
    for source, place in _sources(season, name, measurement, row):
        for what, value in place.items():
            if value is None:
                continue
            if getattr(photo, what) is None:
                setattr(photo, what, value)
                photo.sources[what] = source
            elif getattr(photo, what) != value and what != "date":
                photo.notes.append(
                    f"{source} says {what} {value}, {photo.sources[what]} says "
                    f"{getattr(photo, what)}: the latter is used"
                )
    if photo.left_out is None:
        photo.left_out = _reason_to_leave_out(season, photo)
    return photo


def _sources(
    season: Season, name: str, measurement: Mapping[str, Any], row: Row | None
) -> list[tuple[str, dict[str, Any]]]:
    """What each source says, the one that counts most first."""
    table = {} if row is None else {what: row[what] for what in ("block", "tree", "date")}
    exif: dict[str, Any] = {}
    if measurement.get("taken_at"):
        exif["date"] = _date(str(measurement["taken_at"])[:10])
    return [
        ("photos.csv", table),
        ("the code on the board", place_from_code(measurement.get("code_text"))),
        ("the folder name", dict(place_from_folders(name, set(season.blocks)))),
        ("the photo's own date", exif),
    ]


def place_from_code(text: str | None) -> dict[str, Any]:
    """A code is `block/tree` or `block/tree/date`; anything else says nothing."""
    parts = [] if text is None else [part.strip() for part in text.split("/")]
    if len(parts) not in (2, 3) or not all(parts):
        return {}
    place: dict[str, Any] = {"block": parts[0], "tree": parts[1]}
    if len(parts) == 3:
        place["date"] = _date(parts[2])
    return place


def _date(text: str) -> datetime.date | None:
    try:
        return datetime.date.fromisoformat(text)
    except ValueError:
        return None


def _reason_to_leave_out(season: Season, photo: PlacedPhoto) -> str | None:
    for what in ("block", "tree", "date"):
        if getattr(photo, what) is None:
            advice = f"its {what} is not known: add it to photos.csv"
            folder = f", or put it into photos/{photo.block or 'BLOCK'}/TREE/"
            return advice if what == "date" else advice + folder
    if photo.block not in season.blocks:
        return f"its block {photo.block!r} ({photo.sources['block']}) is not in blocks.csv"
    found = len(photo.fruit)
    if found < len(photo.measurement["fruits"]):
        more = len(photo.measurement["fruits"]) - found
        photo.notes.append(
            f"{more} found without a tile, beyond the {found} fruit laid: not counted"
        )
    if photo.fruit_count is not None and found != photo.fruit_count:
        return (
            f"{found} fruit found, photos.csv says {photo.fruit_count}: numbers may have shifted, "
            "so neither readings nor shape are used until a person has looked"
        )
    if "same_board" in photo.measurement["flags"]:
        return "another shot of a board that is already counted"
    return None
