"""A photo with the outlines that were found on it, numbered."""

from __future__ import annotations

import io
import os
import warnings
from collections import Counter
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from PIL import Image, ImageDraw, ImageFont, ImageOps

from maturity.tables import write_bytes

#: Long side of a stored overlay, px: enough to judge an outline, small enough to mail.
OVERLAY_SIDE_PX = 1600
_JPEG_QUALITY = 82
#: Most bytes of a photo's name in its overlay's.
_STEM_BYTES = 230


def open_upright(path: Path, long_side_px: int) -> Image.Image:
    """The photo turned upright and made no longer than this, in RGB.

    Raises
    ------
    OSError
        The file cannot be decoded by the imaging library for pictures (Pillow): HEIC, or damaged.
    """
    try:
        with warnings.catch_warnings():
            # A large photo: it was within the limit of pixels when it was measured.
            warnings.simplefilter("ignore", Image.DecompressionBombWarning)
            with Image.open(path) as photo:
                photo.draft("RGB", (long_side_px, long_side_px))
                upright = ImageOps.exif_transpose(photo).convert("RGB")
        upright.thumbnail((long_side_px, long_side_px), Image.Resampling.LANCZOS)
    except OSError:
        raise
    except Exception as error:  # Pillow raises nearly every kind for damaged files
        raise OSError(f"cannot draw this photo ({error})") from error
    return upright


def jpeg_bytes(picture: Image.Image, quality: int) -> bytes:
    """The picture as JPEG without any of the photo's own data (no position, no serial number)."""
    buffer = io.BytesIO()
    picture.save(buffer, "JPEG", quality=quality, optimize=True)
    return buffer.getvalue()


def write_overlay(picture: Image.Image, measurement: dict[str, Any], target: Path) -> None:
    """Draw the numbered outlines on the upright photo and write it as JPEG; dashed: not usable."""
    scale = picture.width / measurement["width_px"]
    draw = ImageDraw.Draw(picture)
    font = ImageFont.load_default()
    for fruit in measurement["fruits"]:
        points = [((x + 0.5) * scale, (y + 0.5) * scale) for x, y in fruit["outline_px"]]
        if not points:
            continue
        _draw_outline(draw, points, dashed=not fruit["usable"])
        x, y = (sum(values) / len(points) for values in zip(*points))
        _draw_number(picture, draw, str(fruit["fruit"]), (x, y), font)
    write_bytes(target, jpeg_bytes(picture, _JPEG_QUALITY))


def overlay_names(files: Iterable[str]) -> dict[str, str]:
    """A file name for each photo's overlay; of photos of one name it begins with their folder's."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    files = list(files)
    alike = Counter(Path(file).stem.lower() for file in files)
    for file in files:
        path = Path(file)
        shared = alike[path.stem.lower()] > 1 and path.parent.name
        plain = f"{path.parent.name}-{path.stem}" if shared else path.stem
        # Room for a number within the 255 bytes of a file name.
        stem, number = os.fsdecode(os.fsencode(plain)[-_STEM_BYTES:]), 2
        name = f"{stem}.jpg"
        while name.lower() in taken:
            name, number = f"{stem}-{number}.jpg", number + 1
        taken.add(name.lower())
        names[file] = name
    return names


def _draw_outline(
    draw: ImageDraw.ImageDraw, points: list[tuple[float, float]], *, dashed: bool
) -> None:
    """White under black, so that it shows on light and on dark."""
    closed = [*points, points[0]]
    pairs = list(zip(closed, closed[1:]))
    for colour, width in (("white", 5), ("black", 2)):
        for index, pair in enumerate(pairs):
            if not dashed or index // 8 % 2 == 0:
                draw.line(pair, fill=colour, width=width)


def _draw_number(
    picture: Image.Image,
    draw: ImageDraw.ImageDraw,
    text: str,
    centre: tuple[float, float],
    font: ImageFont.ImageFont,
) -> None:
    """The number, large, on a white disc."""
    left, top, right, bottom = font.getbbox(text)
    small = Image.new("L", (right - left + 2, bottom - top + 2), 255)
    ImageDraw.Draw(small).text((1 - left, 1 - top), text, fill=0, font=font)
    large = small.resize((small.width * 3, small.height * 3), Image.Resampling.LANCZOS)
    radius = max(large.size) * 0.75
    x, y = centre
    draw.ellipse((x - radius, y - radius, x + radius, y + radius), fill="white", outline="black")
    picture.paste(large, (round(x - large.width / 2), round(y - large.height / 2)))
