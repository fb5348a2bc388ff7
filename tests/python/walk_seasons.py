"""Season folders to plan walks in."""

from __future__ import annotations

import datetime
from pathlib import Path

from season_folders import OVEN_HEADER, oven_row, write_files
from test_commands import run

MOMENT = datetime.datetime(2026, 11, 10, 7)
BLOCKS = (
    "block,cultivar,rows,trees_per_row,row_spacing_m,tree_spacing_m,lat,lon\n"
    "River,Amberlee,6,10,8,5,-20.5,124.8\nHill,Amberlee,,,,,,\n"
)
POLICY = (
    "block,market,rule,minimum_dm_pct,required_share,confidence,source,source_date\n"
    "River,,mean,15,,0.9,invented policy,2026-09-01\n"
)
SPRAYS = (
    "block,finished_at,product,withholding_days,reentry_hours,market,confirmed_by,confirmed_on\n"
    "River,2026-10-01 00:00,none,,,,A. Person,2026-11-10\n"
    "Hill,2026-10-01 00:00,none,,,,A. Person,2026-11-10\n"
)


def walk(folder, *arguments):
    """The command, run in a folder."""
    return run("walk", *arguments, cwd=folder)


def flat(text):
    """Screen text without its line breaks."""
    return " ".join(text.split())


def tree_table(*, positions: bool = True, rows: int = 6, trees: int = 10, excluded: int = 0) -> str:
    """A trees.csv of River: rows 8 m apart running north, trees 5 m apart, numbered along."""
    lines = ["block,row,tree,lat,lon,excluded"]
    for row in range(rows):
        for place in range(trees):
            number = row * trees + place + 1
            lat = lon = ""
            if positions:
                lat, lon = f"{-20.5 + 4.5e-5 * place:.7f}", f"{124.8 + 7.7e-5 * row:.7f}"
            left_out = "yes" if number <= excluded else "no"
            lines.append(f"River,{row + 1},{number},{lat},{lon},{left_out}")
    return "\n".join(lines) + "\n"


def walk_season(folder: Path, **files: str) -> Path:
    """A season in which nothing was measured yet; further files replace or add."""
    given = {"blocks": BLOCKS, "policy": POLICY, "sprays": SPRAYS, "trees": tree_table()}
    return write_files(folder, **{**given, **files})


def oven_of(trees: list[str], level: float, *, day: str = "2026-11-10", fruit: int = 2) -> str:
    """An oven.csv: fruit of these trees around a level."""
    return OVEN_HEADER + "".join(
        oven_row(int(tree), one + 1, level + 0.35 * ((7 * index + 3 * one) % 5 - 2), day=day)
        for index, tree in enumerate(trees)
        for one in range(fruit)
    )
