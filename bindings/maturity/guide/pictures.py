"""A fruit cut out of its photo, stem up, beak side right, at so many px for each mm."""

from __future__ import annotations

from dataclasses import dataclass

from PIL import Image, ImageDraw, ImageFilter

from maturity.guide.basis import GuideFruit
from maturity.overlay import open_upright

#: About 150 dots an inch: as sharp as phone photos of a whole board are.
PX_PER_MM = 6
#: Rim of the photo left around the outline, and the white around that, mm.
_RIM_MM, _WHITE_MM = 0.4, 1.5
_WHOLE_PHOTO_PX = 1_000_000


@dataclass(frozen=True)
class Picture:
    """A cut-out; `left` to `bottom` say where it lies in mm from the stem (y down)."""

    image: Image.Image
    left: float
    top: float
    right: float
    bottom: float


def fruit_picture(fruit: GuideFruit, px_per_mm: float = PX_PER_MM) -> Picture:
    """The fruit on white.

    Raises
    ------
    OSError
        The photo cannot be decoded.
    """
    xs = [x for x, _ in fruit.outline_mm]
    ys = [y for _, y in fruit.outline_mm]
    left, right = min(xs) - _WHITE_MM, max(xs) + _WHITE_MM
    top, bottom = min(ys) - _WHITE_MM, max(ys) + _WHITE_MM
    size = (round((right - left) * px_per_mm), round((bottom - top) * px_per_mm))
    frame = fruit.frame
    origin, across, down = (
        frame.to_px(left + a / px_per_mm, top + b / px_per_mm) for a, b in ((0, 0), (1, 0), (0, 1))
    )
    photo = open_upright(fruit.photo, _WHOLE_PHOTO_PX)
    # Pillow asks for the photo's place of each pixel of the picture: x = a u + b v + c.
    affine = (
        across[0] - origin[0],
        down[0] - origin[0],
        origin[0] + 0.5,
        across[1] - origin[1],
        down[1] - origin[1],
        origin[1] + 0.5,
    )
    turned = photo.transform(
        size, Image.Transform.AFFINE, affine, Image.Resampling.BICUBIC, fillcolor="white"
    )
    mask = Image.new("L", size, 0)
    points = [((x - left) * px_per_mm, (y - top) * px_per_mm) for x, y in fruit.outline_mm]
    drawn = ImageDraw.Draw(mask)
    drawn.polygon(points, fill=255)
    drawn.line([*points, points[0]], fill=255, width=round(2 * _RIM_MM * px_per_mm))
    mask = mask.filter(ImageFilter.GaussianBlur(px_per_mm / 4))
    white = Image.new("RGB", size, "white")
    return Picture(Image.composite(turned, white, mask), left, top, right, bottom)
