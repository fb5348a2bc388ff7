"""Photos of the report: small pictures with numbered outlines drawn over them."""

from __future__ import annotations

import base64
from dataclasses import dataclass
from typing import Any

from maturity.overlay import jpeg_bytes, open_upright
from maturity.photo_places import PlacedPhoto
from maturity.scoring import SeasonScore
from maturity.store import Outline

#: Long side of a picture, px, and its JPEG quality: outlines can be judged on a phone.
_PICTURE_SIDE_PX, _PICTURE_QUALITY = 760, 62
#: From so many photos on pictures are small, and only so many of them are shown.
_MANY_PHOTOS, _SMALL_SIDE_PX = 150, 420
#: All pictures with their outlines, bytes; photos beyond it are listed in words only, so that a
#: report stays below 15 MB whatever the season.
_PICTURES_BYTES = 8_000_000
#: Points of an outline as drawn.
_OUTLINE_POINTS = 90


@dataclass(frozen=True)
class DrawnFruit:
    """An outline in px of the photo, as an SVG path, with the place of its number."""

    number: int
    points: str
    x: float
    y: float
    usable: bool
    flags: tuple[str, ...]


@dataclass(frozen=True)
class Plate:
    """One photo of the report.

    `source` is None where there is no picture; `why_no_picture` says why, and is None where there
    was no room for one.
    """

    name: str
    block: str | None
    date: str | None
    tree: str | None
    source: str | None
    why_no_picture: str | None
    width: int
    height: int
    fruit: tuple[DrawnFruit, ...]
    left_out: str | None
    doubts: tuple[str, ...]

    @property
    def text(self) -> str:
        """What the picture shows, for those who do not see it."""
        usable = sum(one.usable for one in self.fruit)
        return (
            f"Photo {self.name}: {len(self.fruit)} fruit with outlines numbered "
            f"{', '.join(str(one.number) for one in self.fruit) or 'none'}; {usable} usable."
        )


def photo_plates(score: SeasonScore) -> tuple[list[Plate], int]:
    """A plate for each photo, and the number of those without picture for want of room.

    Doubtful photos get their picture first.
    """
    room = _PICTURES_BYTES
    side = _PICTURE_SIDE_PX if len(score.photos) < _MANY_PHOTOS else _SMALL_SIDE_PX
    plates: dict[str, Plate] = {}
    for photo in sorted(score.photos, key=lambda one: (not _doubts(one), one.name)):
        if room <= 0:
            plates[photo.name] = _plate(photo, None, None)
            continue
        plate = _plate(photo, *_picture(score, photo, side))
        # An outline is written twice, over and under.
        room -= len(plate.source or "") + sum(2 * len(one.points) for one in plate.fruit)
        plates[photo.name] = plate
    listed = [plates[photo.name] for photo in score.photos]
    return listed, sum(not (one.source or one.why_no_picture) for one in listed)


def _picture(score: SeasonScore, photo: PlacedPhoto, side_px: int) -> tuple[str | None, str | None]:
    if not photo.measurement.get("width_px"):
        return None, "no picture: the photo cannot be read"
    try:
        picture = open_upright(score.season.photos[photo.name], side_px)
    except OSError as error:
        return None, f"no picture: {error}"
    encoded = base64.b64encode(jpeg_bytes(picture, _PICTURE_QUALITY)).decode("ascii")
    return f"data:image/jpeg;base64,{encoded}", None


def _doubts(photo: PlacedPhoto) -> tuple[str, ...]:
    doubts = list(photo.measurement["flags"]) + photo.notes
    for fruit in photo.measurement["fruits"]:
        if fruit["flags"]:
            doubts.append(f"fruit {photo.fruit_number(fruit)}: {', '.join(fruit['flags'])}")
    return tuple(doubts) if photo.left_out is None else (photo.left_out, *doubts)


def _plate(photo: PlacedPhoto, source: str | None, why_no_picture: str | None) -> Plate:
    return Plate(
        name=photo.name,
        block=photo.block,
        date=None if photo.date is None else photo.date.isoformat(),
        tree=photo.tree,
        source=source,
        why_no_picture=why_no_picture,
        width=photo.measurement.get("width_px") or 1,
        height=photo.measurement.get("height_px") or 1,
        # Without a picture there is nothing to draw an outline on.
        fruit=tuple(
            _drawn(photo, one, photo.outline(one) if source else [])
            for one in photo.measurement["fruits"]
        ),
        left_out=photo.left_out,
        doubts=_doubts(photo),
    )


def _drawn(photo: PlacedPhoto, fruit: dict[str, Any], outline: Outline) -> DrawnFruit:
    step = max(1, len(outline) // _OUTLINE_POINTS)
    # (0,0) is the centre of the top-left pixel; the drawing has its corner there.
    points = [(x + 0.5, y + 0.5) for x, y in outline[::step]]
    xs, ys = [x for x, _ in points] or [0.0], [y for _, y in points] or [0.0]
    return DrawnFruit(
        number=photo.fruit_number(fruit),
        points=" ".join(f"{x:.0f},{y:.0f}" for x, y in points),
        x=(min(xs) + max(xs)) / 2,
        y=(min(ys) + max(ys)) / 2,
        usable=fruit["usable"],
        flags=tuple(fruit["flags"]),
    )
