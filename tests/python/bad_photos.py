"""Bad photo files, several hundred, made from a few good ones: a table."""

from __future__ import annotations

import io
import random
import struct
import zlib
from dataclasses import dataclass
from functools import lru_cache

import numpy
from PIL import Image, TiffImagePlugin
from sample_photos import sample_photos

#: What measuring must say: an error, no error, or either of them (a changed byte may do no harm).
ERROR, MEASURED, EITHER = "error", "measured", "either"
_SEED = 20261103


@dataclass(frozen=True)
class BadFile:
    """A file to measure, and what has to come of it."""

    name: str
    data: bytes
    outcome: str


@lru_cache
def picture(width: int = 240) -> Image.Image:
    """A photo of the sample season, made small."""
    with Image.open(sample_photos(1)[0]) as photo:
        return photo.convert("RGB").resize((width, width * photo.height // photo.width))


def encode(image: Image.Image, form: str, **options: object) -> bytes:
    """The picture as a file."""
    buffer = io.BytesIO()
    image.save(buffer, form, **options)
    return buffer.getvalue()


@lru_cache
def good_files() -> dict[str, bytes]:
    """The same photo in every form that is read, by ending."""
    return {
        ".jpg": encode(picture(600), "JPEG", quality=90),
        ".progressive.jpg": encode(picture(600), "JPEG", quality=90, progressive=True),
        ".grey.jpg": encode(picture(480).convert("L"), "JPEG", quality=90),
        ".cmyk.jpg": encode(picture(360).convert("CMYK"), "JPEG", quality=90),
        ".png": encode(picture(150), "PNG"),
        ".tif": encode(picture(130), "TIFF", compression="tiff_lzw"),
        ".webp": encode(picture(300), "WEBP", quality=92),
    }


def bad_files() -> list[BadFile]:
    """Every bad file of the table."""
    return [
        *_cut_short(),
        *_changed_bytes(),
        *_wrong_endings(),
        *_huge_claims(),
        *_unusual_forms(),
        *_broken_exif(),
        *_no_photos(),
    ]


def _cut_short() -> list[BadFile]:
    """Each good file cut at every kilobyte, and just before its end."""
    return [
        BadFile(f"cut-{length}{ending}", data[:length], ERROR)
        for ending, data in good_files().items()
        for length in [*range(0, len(data), 1024), len(data) - 12]
    ]


def _changed_bytes() -> list[BadFile]:
    draw = random.Random(_SEED)
    files = []
    for ending, data in good_files().items():
        for trial in range(12):
            changed = bytearray(data)
            # The beginning decides most; the rest is pixels.
            reach = len(data) if trial % 2 else 200
            for _ in range(1 + trial):
                changed[draw.randrange(reach)] = draw.randrange(256)
            files.append(BadFile(f"changed-{trial}{ending}", bytes(changed), EITHER))
    return files


def _wrong_endings() -> list[BadFile]:
    """What a file is stands in its first bytes, whatever it is called."""
    return [
        BadFile(f"is{made}-called{called}".replace(".", "-", 1) + called, data, MEASURED)
        for made, data in good_files().items()
        for called in (".jpg", ".PNG", ".tiff", ".webp", ".heic")
        if made != called and "progressive" not in made
    ]


def _huge_claims() -> list[BadFile]:
    """Headers that claim 60,000 x 60,000 pixels (of a WebP the most it can, 16,383 x 16,383)."""
    side = 60000
    jpeg = bytearray(good_files()[".jpg"])
    frame = jpeg.index(b"\xff\xc0")
    jpeg[frame + 5 : frame + 9] = struct.pack(">HH", side, side)
    png_head = struct.pack(">IIBBBBB", side, side, 8, 2, 0, 0, 0)
    png = b"\x89PNG\r\n\x1a\n" + _chunk(b"IHDR", png_head) + _chunk(b"IDAT", zlib.compress(b"\0"))
    tags = TiffImagePlugin.ImageFileDirectory_v2()
    for tag, value in ((256, side), (257, side), (258, 8), (259, 1), (262, 1), (273, 8), (279, 1)):
        tags[tag] = value
    tiff = io.BytesIO(b"II*\0\x08\0\0\0")
    tiff.seek(8)
    tags.save(tiff)
    webp = bytearray(encode(picture(), "WEBP", lossless=True))
    webp[21:25] = struct.pack("<I", (16382 | 16382 << 14) | webp[24] & 0xF0 << 24)
    claims = {".jpg": bytes(jpeg), ".png": png, ".tif": tiff.getvalue(), ".webp": bytes(webp)}
    return [BadFile(f"claims-60000{ending}", data, ERROR) for ending, data in claims.items()]


def _chunk(kind: bytes, data: bytes) -> bytes:
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def _unusual_forms() -> list[BadFile]:
    rgb = picture()
    grey16 = Image.fromarray(257 * numpy.asarray(rgb.convert("L")).astype(numpy.uint16))
    floats = Image.fromarray(numpy.asarray(rgb.convert("L")).astype(numpy.float32))
    turned = [rgb.rotate(180)]
    forms = {
        "cmyk.tif": (encode(rgb.convert("CMYK"), "TIFF"), MEASURED),
        "cmyk.jpg": (encode(rgb.convert("CMYK"), "JPEG"), MEASURED),
        "ycbcr.tif": (encode(rgb.convert("YCbCr"), "TIFF"), EITHER),
        "lab.tif": (encode(rgb.convert("LAB"), "TIFF"), EITHER),
        "float.tif": (encode(floats, "TIFF"), ERROR),
        "sixteen.tif": (encode(grey16, "TIFF"), MEASURED),
        "sixteen.png": (encode(grey16, "PNG"), MEASURED),
        "grey.png": (encode(rgb.convert("L"), "PNG"), MEASURED),
        "grey.tif": (encode(rgb.convert("L"), "TIFF"), MEASURED),
        "alpha.png": (encode(rgb.convert("RGBA"), "PNG"), MEASURED),
        "alpha.tif": (encode(rgb.convert("RGBA"), "TIFF"), MEASURED),
        "alpha.webp": (encode(rgb.convert("RGBA"), "WEBP"), MEASURED),
        "grey-alpha.png": (encode(rgb.convert("LA"), "PNG"), MEASURED),
        "palette.png": (encode(rgb.quantize(64), "PNG"), MEASURED),
        "palette.tif": (encode(rgb.quantize(64), "TIFF"), MEASURED),
        "bits.png": (encode(rgb.convert("1"), "PNG"), MEASURED),
        "bits.tif": (encode(rgb.convert("1"), "TIFF", compression="group4"), MEASURED),
        "jpeg-inside.tif": (encode(rgb, "TIFF", compression="jpeg"), MEASURED),
        "deflate.tif": (encode(rgb, "TIFF", compression="tiff_deflate"), MEASURED),
        "pages.tif": (encode(rgb, "TIFF", save_all=True, append_images=turned), MEASURED),
        "animated.png": (encode(rgb, "PNG", save_all=True, append_images=turned), MEASURED),
        "animated.webp": (encode(rgb, "WEBP", save_all=True, append_images=turned), EITHER),
        "animated.gif": (encode(rgb, "GIF", save_all=True, append_images=turned), ERROR),
        "bitmap.bmp": (encode(rgb, "BMP"), ERROR),
        "document.pdf": (encode(rgb, "PDF"), ERROR),
        "tall.png": (encode(rgb.resize((32, 20000)), "PNG"), ERROR),
        "wide.png": (encode(rgb.resize((20000, 32)), "PNG"), ERROR),
        "very-tall.png": (encode(Image.new("L", (32, 900000)), "PNG"), ERROR),
        "narrow.png": (encode(rgb.resize((64, 1279)), "PNG"), MEASURED),
        "tiny.png": (encode(rgb.resize((31, 31)), "PNG"), ERROR),
        "one-pixel.jpg": (encode(rgb.resize((1, 1)), "JPEG"), ERROR),
        "zeros-that-unpack-large.png": (encode(Image.new("RGB", (4000, 3000)), "PNG"), MEASURED),
        "noise.png": (encode(Image.effect_noise((900, 700), 90), "PNG"), MEASURED),
    }
    return [BadFile(f"form-{name}", data, outcome) for name, (data, outcome) in forms.items()]


def _broken_exif() -> list[BadFile]:
    """A good JPEG with an EXIF block that is garbage, cut short, or goes round in a circle."""
    draw = random.Random(_SEED + 1)
    good = good_files()[".jpg"]
    exif = Image.Exif()
    exif[0x0112], exif[0x0132] = 6, "2026:11:03 07:01:02"
    whole = exif.tobytes()
    circle = b"Exif\0\0II*\0\x08\0\0\0" + b"\0\0" + struct.pack("<I", 8)
    huge = b"Exif\0\0II*\0\x08\0\0\0\x01\0\x12\x01\x03\0\xff\xff\xff\x7f\xff\xff\xff\x7f"
    blocks = [b"", b"Exif", circle, huge, *(whole[:n] for n in range(8, len(whole), 4))]
    blocks += [b"Exif\0\0MM\0*" + draw.randbytes(60) for _ in range(24)]
    blocks += [whole.replace(b"2026", b"\xff\0<b"), whole.replace(b"\x01\x12", b"\x01\x13")]
    return [
        BadFile(
            f"exif-{number}.jpg",
            good[:2] + b"\xff\xe1" + struct.pack(">H", len(block) + 2) + block + good[2:],
            MEASURED,
        )
        for number, block in enumerate(blocks)
    ]


def _no_photos() -> list[BadFile]:
    starts = [b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"II*\0", b"MM\0*", b"RIFF\0\0\0\0WEBP"]
    starts += [b"\0\0\0\x18ftypheic", b"\0\0\0\x18ftypmif1", b"GIF89a", b"BM", b"%PDF-1.7", b""]
    draw = random.Random(_SEED + 2)
    files = [b"", b"\0", b"\0" * 5000, b"To whom it may concern", b"<svg/>", b"\xef\xbb\xbf"]
    files += [
        start + tail for start in starts for tail in (b"", b"\0" * 3000, draw.randbytes(3000))
    ]
    return [BadFile(f"no-photo-{n}.jpg", data, ERROR) for n, data in enumerate(files)]
