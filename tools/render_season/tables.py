"""The season folder's CSV files (RFC 4180), all of them invented."""

from __future__ import annotations

import csv
import datetime
from pathlib import Path
from typing import Any

import numpy as np

from orchard import (
    BLOCKS,
    CULTIVAR,
    ROW_SPACING_M,
    TREE_SPACING_M,
    VISITS,
    Block,
    BlockVisit,
    excluded_trees,
    generator,
)
from picked_tables import PICKED_HEADERS, picked_tables
from plan import PhotoPlan
from readings import fruit_rows, meter_rows, oven_rows

MINIMUM_DM_PCT, REQUIRED_SHARE, CONFIDENCE = 15, 0.9, 0.9
_METRES_PER_DEGREE = 111_320.0
#: Trees whose number comes from the printed card alone: photos.csv leaves their place blank.
_FROM_CARD_ALONE = 3

HEADERS = {
    "blocks": "block cultivar rows trees_per_row row_spacing_m tree_spacing_m lat lon "
    "trees_bearing heat_start heat_start_stage heat_target heat_method heat_lower_c heat_upper_c",
    "policy": "block market rule minimum_dm_pct required_share confidence pass source source_date",
    "trees": "block row tree lat lon excluded crop flowering",
    "photos": "photo block tree date first_fruit fruit_count",
    "fruit": "block tree date fruit photo thickness_mm mass_g days_to_ripe ripe_brix_pct",
    "oven": "block tree date fruit photo dish_g dish_fresh_g dish_dried_g replicate cheek skin_on "
    "dryer dryer_c hours balance_g picked_on_purpose",
    "meter": "block tree date fruit photo meter dm_pct replicate cheek fruit_c",
    "sprays": "block finished_at product withholding_days reentry_hours market confirmed_by "
    "confirmed_on",
    "weather": "date tmin_c tmax_c",
    **PICKED_HEADERS,
}


def _blocks() -> list[dict[str, Any]]:
    return [
        {
            "block": block.name,
            "cultivar": CULTIVAR,
            "rows": block.rows,
            "trees_per_row": block.trees_per_row,
            "row_spacing_m": ROW_SPACING_M,
            "tree_spacing_m": TREE_SPACING_M,
            "lat": block.lat,
            "lon": block.lon,
            "trees_bearing": block.trees - len(excluded_trees(block)),
            "heat_start": (VISITS[0] - datetime.timedelta(days=60)).isoformat(),
            "heat_start_stage": "fruit at marble size (invented)",
            "heat_target": 1150,
            "heat_method": "single_sine",
            "heat_lower_c": 12,
            "heat_upper_c": 32,
        }
        for block in BLOCKS
    ]


def _policy() -> list[dict[str, Any]]:
    return [
        {
            "block": block.name,
            "rule": "share",
            "minimum_dm_pct": MINIMUM_DM_PCT,
            "required_share": REQUIRED_SHARE,
            "confidence": CONFIDENCE,
            "pass": "strip",
            "source": "example policy, invented",
            "source_date": "2025-08-01",
        }
        for block in BLOCKS
    ]


def _trees(block: Block) -> list[dict[str, Any]]:
    rng = generator(10, block.number)
    excluded = excluded_trees(block)
    rows = []
    for tree in range(1, block.trees + 1):
        row, place = divmod(tree - 1, block.trees_per_row)
        east = (row - (block.rows - 1) / 2) * ROW_SPACING_M
        north = (place - (block.trees_per_row - 1) / 2) * TREE_SPACING_M
        lon = block.lon + east / (_METRES_PER_DEGREE * np.cos(np.radians(block.lat)))
        rows.append(
            {
                "block": block.name,
                "row": row + 1,
                "tree": tree,
                "lat": f"{block.lat + north / _METRES_PER_DEGREE:.6f}",
                "lon": f"{lon:.6f}",
                "excluded": "yes" if tree in excluded else "no",
                "crop": str(rng.choice(["light", "medium", "heavy"], p=[0.25, 0.5, 0.25])),
                "flowering": 1,
            }
        )
    return rows


def _photos(plans: list[PhotoPlan]) -> list[dict[str, Any]]:
    cards = [plan.index for plan in plans if plan.tree_card][::2][:_FROM_CARD_ALONE]
    rows = []
    for plan in plans:
        from_card = plan.index in cards
        rows.append(
            {
                "photo": plan.name,
                "block": "" if from_card else plan.block,
                "tree": "" if from_card else plan.tree,
                "date": "" if from_card else plan.taken_at.date().isoformat(),
                "first_fruit": "" if plan.tiles else 1,
                "fruit_count": len(plan.fruit),
            }
        )
    return rows


def _sprays() -> list[dict[str, Any]]:
    """One block where nothing was applied, one still in its withholding period, one cleared."""
    return [
        {"block": "Weir", "finished_at": "2025-11-10 18:00", "product": "none",
         "confirmed_by": "R. Abara", "confirmed_on": "2025-11-11"},
        {"block": "Quarry", "finished_at": "2025-11-10 18:00", "product": "none",
         "confirmed_by": "R. Abara", "confirmed_on": "2025-11-11"},
        {"block": "Weir", "finished_at": "2025-11-21 06:00", "product": "none",
         "confirmed_by": "R. Abara", "confirmed_on": "2025-11-21"},
        {"block": "Quarry", "finished_at": "2025-11-14 18:30", "product": "example fungicide A",
         "withholding_days": 14, "reentry_hours": 24, "confirmed_by": "R. Abara",
         "confirmed_on": "2025-11-15"},
        {"block": "Saddle", "finished_at": "2025-10-20 17:45", "product": "example fungicide A",
         "withholding_days": 14, "reentry_hours": 24, "confirmed_by": "R. Abara",
         "confirmed_on": "2025-11-21"},
    ]  # fmt: skip


def _weather() -> list[dict[str, Any]]:
    rng = generator(11)
    day, rows, swing = VISITS[0] - datetime.timedelta(days=60), [], 0.0
    while day <= VISITS[1]:
        swing = 0.7 * swing + float(rng.normal(0, 1.1))
        season = (day - VISITS[0]).days / 60
        low = 23.0 + 2.5 * season + 0.6 * swing + float(rng.normal(0, 0.7))
        high = 35.5 + 1.8 * season + swing + float(rng.normal(0, 0.8))
        rows.append({"date": day.isoformat(), "tmin_c": f"{low:.1f}", "tmax_c": f"{high:.1f}"})
        day += datetime.timedelta(days=1)
    return rows


def write_tables(folder: Path, visits: list[BlockVisit], plans: list[PhotoPlan]) -> None:
    """Write every CSV of the season folder."""
    tables = {
        "blocks": _blocks(),
        "policy": _policy(),
        "trees": [row for block in BLOCKS for row in _trees(block)],
        "photos": _photos(plans),
        "fruit": [row for visit in visits for row in fruit_rows(visit)],
        "oven": [row for visit in visits for row in oven_rows(visit)],
        "meter": [row for visit in visits for row in meter_rows(visit)],
        "sprays": _sprays(),
        "weather": _weather(),
        **picked_tables(),
    }
    folder.mkdir(parents=True, exist_ok=True)
    for name, rows in tables.items():
        with (folder / f"{name}.csv").open("w", encoding="utf-8", newline="") as out:
            writer = csv.DictWriter(out, HEADERS[name].split(), lineterminator="\r\n")
            writer.writeheader()
            writer.writerows(rows)
