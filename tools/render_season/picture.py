"""From a planned scene to a linear picture, and from that to a saved photo and its truth file."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path
from typing import Any

import cv2
import numpy as np

from develop import PhoneSettings, develop, save
from orchard import generator
from plan import PhotoPlan

_HERE = Path(__file__).resolve().parent


def render_linear(plan: PhotoPlan, values: dict[str, Any], work: Path, samples: int) -> Path:
    """Path of the linear picture, rendered unless it is there for this very plan."""
    scene = json.dumps(values)
    scene_file, picture = work / f"{plan.index:02d}.json", work / f"{plan.index:02d}.png"
    unchanged = scene_file.exists() and scene_file.read_text(encoding="utf-8") == scene
    if unchanged and picture.exists():
        return picture
    scene_file.write_text(scene, encoding="utf-8")
    picture.unlink(missing_ok=True)
    command = ["blender", "-b", "--factory-startup", "--python", str(_HERE / "blender_scene.py")]
    arguments = [str(scene_file), str(work / "pictures"), str(picture), str(samples)]
    result = subprocess.run([*command, "--", *arguments], capture_output=True, text=True)
    if not picture.exists():
        raise SystemExit(f"Blender left no picture for {plan.name}:\n{result.stdout[-2000:]}")
    return picture


def write_photo(plan: PhotoPlan, picture: Path, path: Path, phone: PhoneSettings) -> None:
    """Develop and save one photo."""
    linear = cv2.imread(str(picture), cv2.IMREAD_UNCHANGED)[..., ::-1] / np.float32(65535)
    path.parent.mkdir(parents=True, exist_ok=True)
    save(develop(linear, phone, generator(13, plan.index)), path, phone)


def write_json(path: Path, values: object) -> None:
    """Compact JSON with a last line end."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(json.dumps(values, separators=(",", ":")) + "\n", encoding="utf-8")
