"""Readings made on the sampled fruit: oven weighings, meter, callipers, and fruit kept to ripen."""

from __future__ import annotations

from typing import Any

import numpy as np

from orchard import BlockVisit, Fruit, generator

OVEN_SD, METER_BIAS, METER_SD = 0.15, 1.1, 0.9
METER = "M1"


def _key(fruit: Fruit) -> dict[str, Any]:
    return {
        "block": fruit.block,
        "tree": fruit.tree,
        "date": fruit.date.isoformat(),
        "fruit": fruit.number,
    }


def oven_fruit(visit: BlockVisit) -> list[Fruit]:
    """Two fruit of every sampled tree, photographed or not, drawn at random."""
    rng = generator(6, visit.block.number, visit.visit)
    groups = list(visit.photographed)
    for tree in dict.fromkeys(one.tree for one in visit.without_photo):
        groups.append([one for one in visit.without_photo if one.tree == tree])
    chosen: list[Fruit] = []
    for group in groups:
        chosen += [group[int(k)] for k in sorted(rng.permutation(len(group))[:2])]
    return chosen


def oven_rows(visit: BlockVisit) -> list[dict[str, Any]]:
    """Weights with the dish, to 0.01 g; a few still drying at the last visit; a few duplicates."""
    rng = generator(7, visit.block.number, visit.visit)
    chosen = oven_fruit(visit)
    twice = set(rng.permutation(len(chosen))[:3].tolist())
    drying = set(rng.permutation(len(chosen))[:2].tolist()) - twice if visit.visit == 1 else set()
    rows = []
    for place, fruit in enumerate(chosen):
        for replicate in (1, 2) if place in twice else (1,):
            dish = round(float(rng.normal(46.2, 0.9)), 2)
            fresh = round(dish + float(rng.uniform(13, 21)), 2)
            measured = fruit.dm_pct + float(rng.normal(0, OVEN_SD))
            dried = dish + (fresh - dish) * measured / 100
            rows.append(
                {
                    **_key(fruit),
                    "photo": fruit.photo if visit.visit == 0 else "",
                    "dish_g": f"{dish:.2f}",
                    "dish_fresh_g": f"{fresh:.2f}",
                    "dish_dried_g": "" if place in drying else f"{dried:.2f}",
                    "replicate": replicate,
                    "cheek": "ab"[replicate - 1],
                    "skin_on": "no",
                    "dryer": "forced-air oven",
                    "dryer_c": 65,
                    "hours": "" if place in drying else 48,
                    "balance_g": 0.01,
                    "picked_on_purpose": "no",
                }
            )
    return rows


def meter_rows(visit: BlockVisit) -> list[dict[str, Any]]:
    """One reading on every sampled fruit, with and without a photo."""
    rng = generator(8, visit.block.number, visit.visit)
    rows = []
    for fruit in visit.all_fruit:
        reading = fruit.dm_pct + METER_BIAS + float(rng.normal(0, METER_SD))
        rows.append(
            {
                **_key(fruit),
                "photo": "",
                "meter": METER,
                "dm_pct": f"{reading:.1f}",
                "replicate": 1,
                "cheek": str(rng.choice(["a", "b"])),
                "fruit_c": f"{rng.normal(28, 1.5):.0f}",
            }
        )
    return rows


def fruit_rows(visit: BlockVisit) -> list[dict[str, Any]]:
    """Callipers and scales on a few; at the first visit some fruit were kept and ripened."""
    rng = generator(9, visit.block.number, visit.visit)
    dried = {(one.tree, one.number) for one in oven_fruit(visit)}
    seen = [one for group in visit.photographed for one in group]
    kept = [one for one in seen if (one.tree, one.number) not in dried]
    measured = {id(seen[int(k)]) for k in rng.permutation(len(seen))[:7]}
    ripened = (
        {id(one) for one in kept[:: max(1, len(kept) // 5)][:5]} if visit.visit == 0 else set()
    )
    rows = []
    for fruit in seen:
        if id(fruit) not in measured | ripened:
            continue
        row: dict[str, Any] = {**_key(fruit), "photo": fruit.photo}
        if id(fruit) in measured:
            row["thickness_mm"] = f"{fruit.shape.thickness_mm + rng.normal(0, 0.4):.1f}"
            row["mass_g"] = f"{fruit.mass_g:.0f}"
        if id(fruit) in ripened:
            row["days_to_ripe"] = int(np.clip(round(rng.normal(15 - fruit.dm_pct / 3, 1)), 6, 15))
            row["ripe_brix_pct"] = f"{1.02 * fruit.dm_pct - 0.9 + rng.normal(0, 0.7):.1f}"
        rows.append(row)
    return rows
