"""MANIFEST.csv: every photo with its checksum, size, origin and licence."""

from __future__ import annotations

import csv
import hashlib
from pathlib import Path

from orchard import SEED, VERSION


def write_manifest(sample_images: Path) -> None:
    """List the photos that are there; paths are relative to sample-images/."""
    origin = f"rendered by tools/render_season, seed {SEED}, version {VERSION}"
    with (sample_images / "MANIFEST.csv").open("w", encoding="utf-8", newline="") as out:
        writer = csv.writer(out, lineterminator="\r\n")
        writer.writerow(["photo", "sha256", "bytes", "origin", "licence"])
        for path in sorted((sample_images / "season" / "photos").rglob("*.jpg")):
            content = path.read_bytes()
            name = path.relative_to(sample_images).as_posix()
            digest = hashlib.sha256(content).hexdigest()
            writer.writerow([name, digest, len(content), origin, "Apache-2.0 (see LICENSE)"])
