"""What a phone makes of the linear picture: white balance, exposure, blur, noise, tone, EXIF."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np
from PIL import Image

from orchard import VERSION

FOCAL_35MM = 26
#: Colour of each light as the renderer sets it, which automatic white balance mostly takes out.
_LIGHT_COLOUR = {
    "overcast": (0.97, 0.98, 1.03),
    "sun": (1.0, 0.89, 0.74),
    "window": (0.95, 0.97, 0.98),
}


@dataclass(frozen=True)
class PhoneSettings:
    """How this photo was taken and saved."""

    light: str
    taken_at: datetime.datetime
    orientation: int = 1
    blurred: bool = False
    exif: bool = True
    quality: int = 86


def to_srgb(linear: np.ndarray) -> np.ndarray:
    """The sRGB curve (IEC 61966-2-1, from memory), 0..1."""
    linear = np.clip(linear, 0, 1)
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * linear ** (1 / 2.4) - 0.055)


def _white_balance(linear: np.ndarray, light: str, rng: np.random.Generator) -> np.ndarray:
    gain = (1 / np.array(_LIGHT_COLOUR[light])) ** 0.85 * (1 + rng.normal(0, 0.02, 3))
    return linear * (gain / gain[1])


def _exposure(linear: np.ndarray) -> float:
    """Between what keeps the paper white and what makes the mean a middling grey."""
    paper = 0.88 / float(np.percentile(linear[::4, ::4].max(axis=2), 99.2))
    middle = 0.24 / float(linear[::4, ::4].mean())
    return float(np.clip(np.sqrt(paper * middle), 0.6 * paper, 1.15 * paper))


def _lens(linear: np.ndarray, blurred: bool) -> np.ndarray:
    height, width = linear.shape[:2]
    y, x = np.mgrid[:height, :width].astype(np.float32)
    radius2 = ((x - width / 2) ** 2 + (y - height / 2) ** 2) / (width**2 + height**2) * 4
    linear = linear * (1 - 0.14 * radius2)[..., None]
    if blurred:
        size = 25
        smear = np.zeros((size, size), np.float32)
        cv2.line(smear, (3, 8), (21, 17), 1.0, 2)
        linear = cv2.GaussianBlur(linear, (0, 0), 2.2)
        return cv2.filter2D(linear, -1, smear / smear.sum())
    return cv2.GaussianBlur(linear, (0, 0), 0.55)


def _noise(linear: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """Shot and read noise, smeared a little by the phone's own noise reduction."""
    grain = rng.standard_normal(linear.shape).astype(np.float32)
    grain = cv2.GaussianBlur(grain, (0, 0), 0.6)
    spread = np.sqrt(0.00022 * np.maximum(linear, 0) + 0.0011**2)
    return linear + (grain / grain.std()) * spread


def _without_specks(coded: np.ndarray) -> np.ndarray:
    """Every pixel held between the least and greatest of its eight neighbours."""
    ring = np.ones((3, 3), np.uint8)
    ring[1, 1] = 0
    return np.clip(coded, cv2.erode(coded, ring), cv2.dilate(coded, ring))


def develop(linear: np.ndarray, phone: PhoneSettings, rng: np.random.Generator) -> np.ndarray:
    """Upright 8-bit RGB from a linear picture (height, width, 3)."""
    linear = _white_balance(linear.astype(np.float32), phone.light, rng)
    linear = linear * _exposure(linear) * float(np.exp(rng.normal(0, 0.05)))
    # Noise reduction of what the few light paths of the renderer leave, edges kept.
    coded = _without_specks(to_srgb(linear).astype(np.float32))
    coded = cv2.bilateralFilter(coded, 5, 0.075, 1.6)
    linear = np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4)
    linear = _noise(_lens(linear.astype(np.float32), phone.blurred), rng)
    coded = to_srgb(linear)
    coded = coded + 0.10 * (coded - 0.5) * 4 * coded * (1 - coded)
    coded = coded.astype(np.float32)
    if not phone.blurred:
        coded = coded + 0.35 * (coded - cv2.GaussianBlur(coded, (0, 0), 1.1))
    return np.round(np.clip(coded, 0, 1) * 255).astype(np.uint8)


def as_stored(upright: np.ndarray, orientation: int) -> np.ndarray:
    """The picture as the sensor has it: what EXIF says must be done to it is undone here."""
    turns = {1: 0, 3: 2, 6: 1, 8: -1}[orientation]
    return np.ascontiguousarray(np.rot90(upright, turns))


def _exif(phone: PhoneSettings, width: int, height: int) -> Image.Exif:
    exif = Image.Exif()
    taken = phone.taken_at.strftime("%Y:%m:%d %H:%M:%S")
    exif[0x0110] = "rendered"
    exif[0x0112] = phone.orientation
    exif[0x0131] = f"render_season {VERSION}"
    exif[0x0132] = taken
    exif[0x8769] = {0x9003: taken, 0xA002: width, 0xA003: height, 0xA405: FOCAL_35MM}
    return exif


def save(upright: np.ndarray, path: Path, phone: PhoneSettings) -> None:
    """Write the JPEG, with EXIF unless the photo came through a chat program."""
    stored = as_stored(upright, phone.orientation if phone.exif else 1)
    path.parent.mkdir(parents=True, exist_ok=True)
    image = Image.fromarray(stored)
    exif = _exif(phone, stored.shape[1], stored.shape[0]) if phone.exif else Image.Exif()
    image.save(path, "JPEG", quality=phone.quality, subsampling="4:2:0", optimize=True, exif=exif)
