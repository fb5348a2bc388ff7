"""Hand-made season folders for the tests."""

from __future__ import annotations

import datetime
from pathlib import Path

BLOCKS = "block,cultivar\nRiver,Amberlee\nHill,Amberlee\n"
POLICY = (
    "block,market,rule,minimum_dm_pct,required_share,confidence,source,source_date\n"
    "River,,share,15,0.9,0.9,invented policy,2026-09-01\n"
)
CLEARED = (
    "block,finished_at,product,withholding_days,reentry_hours,market,confirmed_by,confirmed_on\n"
    "River,2026-10-01 00:00,none,,,,A. Person,2026-11-02\n"
)
OVEN_HEADER = "block,tree,date,fruit,dish_g,dish_fresh_g,dish_dried_g,replicate\n"
DAY = datetime.date(2026, 11, 3)


def write_files(folder: Path, **files: str) -> Path:
    """Write name.csv files; a value of None leaves the file out."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, text in files.items():
        (folder / f"{name}.csv").write_text(text, encoding="utf-8", newline="")
    return folder


def oven_row(tree: int, fruit: int, dm_pct: float, *, day: str = "2026-11-03") -> str:
    """A weighing of 20 g fresh sample in a dish of 40 g that gives this dry matter."""
    return f"River,{tree},{day},{fruit},40,60,{40 + 0.2 * dm_pct:.4f},\n"


def oven_table(values: list[tuple[int, int, float]], *, day: str = "2026-11-03") -> str:
    """An oven.csv of (tree, fruit, dry matter)."""
    return OVEN_HEADER + "".join(oven_row(t, f, dm, day=day) for t, f, dm in values)


def ripe_oven(minimum: float = 17.5) -> list[tuple[int, int, float]]:
    """Twenty fruit of ten trees, all well above 15 %."""
    return [
        (tree, 1 + i, minimum + 0.11 * ((7 * tree + 3 * i) % 10))
        for tree in range(1, 11)
        for i in range(2)
    ]
