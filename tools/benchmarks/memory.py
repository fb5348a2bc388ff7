#!/usr/bin/env python3
"""Most memory of `maturity measure` and `maturity score` against the number of photos.

Photos of the sample season made small, each with a comment of its own so that none is a copy; a
tree for each, and the same number for each block. Every figure is the peak of a process of its own.

    .venv/bin/python -P tools/benchmarks/memory.py FOLDER [--counts 1000 20000] [--blocks 10]
"""

from __future__ import annotations

import argparse
import io
import os
import struct
import sys
import time
from pathlib import Path

from PIL import Image

SEASON = Path(__file__).resolve().parents[2] / "sample-images" / "season"
_SOURCES = 20


def small_photos(long_side_px: int) -> list[bytes]:
    """A few photos of the sample season, made small."""
    made = []
    for path in sorted((SEASON / "photos").rglob("*.jpg"))[:_SOURCES]:
        with Image.open(path) as photo:
            photo.thumbnail((long_side_px, long_side_px))
            buffer = io.BytesIO()
            photo.save(buffer, "JPEG", quality=88)
        made.append(buffer.getvalue())
    return made


def with_comment(jpeg: bytes, number: int) -> bytes:
    """The same picture as another file: a comment after the start of the image."""
    text = f"copy {number}".encode()
    return jpeg[:2] + b"\xff\xfe" + struct.pack(">H", len(text) + 2) + text + jpeg[2:]


def start_season(folder: Path, blocks: int) -> None:
    """A season with a few oven readings in each block, and no photo yet."""
    names = [f"Block {number}" for number in range(blocks)]
    folder.mkdir(parents=True)
    (folder / "blocks.csv").write_text(
        "block,cultivar\n" + "".join(f"{name},Amberlee\n" for name in names)
    )
    (folder / "policy.csv").write_text(
        "block,rule,minimum_dm_pct,required_share,confidence\n"
        + "".join(f"{name},share,15,0.9,0.9\n" for name in names)
    )
    (folder / "oven.csv").write_text(
        "block,tree,date,fruit,dm_pct\n"
        + "".join(
            f"{name},{tree},2026-11-03,1,{14 + tree % 7 / 2}\n"
            for name in names
            for tree in range(20)
        )
    )


def add_photos(season: Path, numbers: range, blocks: int, sources: list[bytes]) -> None:
    """Photos of one day, a tree each."""
    for number in numbers:
        block, tree = f"Block {number % blocks}", str(number // blocks)
        place = season / "photos" / block / "2026-11-03" / tree
        place.mkdir(parents=True)
        (place / "a.jpg").write_bytes(with_comment(sources[number % len(sources)], number))


def peak_mb(arguments: list[str], log: Path) -> tuple[float, float]:
    """Most resident memory of `maturity ARGUMENTS`, MB, and its seconds."""
    before = time.monotonic()
    with open(log, "wb") as out:
        pid = os.posix_spawn(
            sys.executable,
            [sys.executable, "-P", "-m", "maturity", *arguments],
            os.environ,
            file_actions=[
                (os.POSIX_SPAWN_DUP2, out.fileno(), 1),
                (os.POSIX_SPAWN_DUP2, out.fileno(), 2),
            ],
        )
        _, status, used = os.wait4(pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        sys.exit(f"maturity {' '.join(arguments)} failed: {log.read_text()[-2000:]}")
    return used.ru_maxrss / 1024, time.monotonic() - before


def main() -> None:
    """Print a table."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("folder", type=Path, help="made, and must not exist")
    parser.add_argument("--counts", type=int, nargs="+", default=[1000, 5000, 20000])
    parser.add_argument("--blocks", type=int, default=10)
    parser.add_argument("--side", type=int, default=820, help="long side of a photo, px")
    parser.add_argument("--no-json", action="store_true", help="write no JSON of all outlines")
    asked = parser.parse_args()
    sources = small_photos(asked.side)
    season, log = asked.folder / "season", asked.folder / "log.txt"
    start_season(season, asked.blocks)

    def run(count: int, title: str, *arguments: object) -> None:
        peak, seconds = peak_mb([*map(str, arguments), "--threads", "1"], log)
        print(f"{count:6}  {title:17}  {peak:7.0f}  {seconds:7.0f}", flush=True)

    print("photos  command            peak MB  seconds", flush=True)
    before = 0
    for count in asked.counts:
        add_photos(season, range(before, count), asked.blocks, sources)
        run(count, f"score, {count - before} new", "score", season)
        run(count, "score, none new", "score", season)
        before = count
    files = ["--csv", asked.folder / "fruit.csv"]
    if not asked.no_json:
        files += ["--json", asked.folder / "all.json"]
    for count in asked.counts:
        some = asked.folder / f"photos-{count}"
        add_photos(some, range(count), asked.blocks, sources)
        run(count, "measure", "measure", some, *files)


if __name__ == "__main__":
    main()
