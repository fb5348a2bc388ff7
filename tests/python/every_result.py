"""One of each result that the package hands out, of the sample season and hand-made data."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import numpy
from measured_season import measured_results, sample_score
from sample_photos import SAMPLE_SEASON, sample_photos
from walk_seasons import MOMENT, oven_of, walk_season

import maturity
from maturity import _core
from maturity.calibrating import calibrate_season
from maturity.cluster.run import DatasetRun
from maturity.guide import write_guide
from maturity.heat_outlook import heat_outlook
from maturity.picked_fruit import check_season
from maturity.picking import picking_days
from maturity.planning import more_samples
from maturity.season import read_season
from maturity.stored_walk import new_plan
from maturity.walk import plan_walk, walk_progress

OVEN = [15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18.0, 16.9, 15.7, 16.4]
TREES = [1, 1, 2, 2, 3, 3, 4, 4, 5, 5]
MEANS = {"Weir": 14.0, "Quarry": 15.2, "Saddle": 13.1}


def ellipse() -> _core.ShapeDescription:
    """The shape of an ellipse 120 mm long and 90 mm wide."""
    turn = numpy.linspace(0, 2 * numpy.pi, 400, endpoint=False)
    outline = numpy.column_stack([60 * numpy.cos(turn), 45 * numpy.sin(turn)])
    return maturity.describe_outline(outline, stem=(-60, 0), nose=(60, 0), ventral_side=1)


def every_result(folder: Path) -> dict[str, Any]:
    """By name; `folder` takes what is written."""
    estimate = maturity.estimate_block(TREES, oven=OVEN, minimum_dm_pct=15)
    photo = maturity.measure_photos(sample_photos(1))[0]
    calibration = calibrate_season(SAMPLE_SEASON, results=measured_results())
    score = sample_score()
    visit = score.latest()[2]
    joined = _core.estimate_flowerings(
        maturity.blocks.block_question(TREES, oven=OVEN, minimum_dm_pct=15),
        names=["1", "2"],
        of_fruit=["1", "2"] * 5,
    )
    return {
        "estimate": estimate,
        "more_samples": more_samples(estimate),
        "forecast": maturity.forecast_readiness(
            [0, 7, 14], [13.2, 13.9, 14.3], [0.35, 0.3, 0.3], minimum_dm_pct=15
        ),
        "photo": photo,
        "fruit": photo.fruits[0],
        "shape": ellipse(),
        "calibration": calibration,
        "slopes": calibration.shape["Velorine"],
        "range": calibration.shape["Velorine"].compare([calibration.shape["Velorine"].shape_mean]),
        "meter": next(iter(calibration.meters.values())),
        "season": score.season,
        "score": score,
        "visit": visit,
        "clearance": visit.clearance,
        "cross_checks": visit.cross_checks,
        "flowerings": joined,
        "flowering_plan": more_samples(joined),
        "sorting": _core.sort_by_shape(visit.question, [15.0, 16.0]),
        "outlook": score.outlooks[0],
        "pooled": maturity.pool_blocks(MEANS, dict.fromkeys(MEANS, 0.4))[0],
        "shrinkage": _core.shrink_values(list(MEANS.values()), [0.2, 0.2, 0.3]),
        "drying": maturity.judge_drying([24, 26, 28], [47.31, 46.93, 46.92]),
        "guide": write_guide(
            score, "Quarry", folder / "guide", date=datetime.date(2025, 11, 11)
        ).content,
        "agreement": maturity.agreement(OVEN, [one + 0.5 for one in OVEN]),
        "run": DatasetRun("1.0", "a", 1, 0, 0, {"b.jpg": "too dark"}, [], {"a.jpg": "00"}),
        **_heat_and_picking(),
        **_walks(folder),
        **_picked(),
    }


def _heat_and_picking() -> dict[str, Any]:
    score = sample_score()
    name = score.outlooks[0].block
    row = next(one for one in score.season.tables["blocks"].rows if one["block"] == name)
    heat = heat_outlook(score.season, row, score.outlooks[0])
    assert heat is not None
    recipe = _core.HeatRecipe(method="single_sine", lower=12.0, upper=None)
    days = [(day, 20.0 + day % 3, 32.0 + day % 5) for day in range(40)]
    target = _core.day_of_target(
        days,
        1,
        39,
        target=700.0,
        target_stage="flowering",
        target_recipe=recipe,
        start_stage="flowering",
        recipe=recipe,
    )
    picking = picking_days(
        score,
        dict.fromkeys(score.season.blocks, 4.0),
        crews=2,
        first_day=datetime.date(2025, 11, 22),
    )
    return {
        "heat": heat,
        "heat_forecast": heat.forecast,
        "heat_sum": _core.sum_degree_days(days, 1, 10, recipe),
        "target": target,
        "picking": next(one for one in picking if one.block == "Saddle"),
        "turn": picking[0].turn,
    }


def _walks(folder: Path) -> dict[str, Any]:
    season = walk_season(folder / "walk")
    plan = plan_walk(
        read_season(season, needs_data=False), "River", moment=MOMENT, trees=14, seed=5, fruit=2
    )
    (season / "oven.csv").write_text(
        oven_of([stop.tree for stop in plan.rounds[0].stops], 14.6), encoding="utf-8"
    )
    progress = walk_progress(
        read_season(season),
        new_plan(plan.to_dict()),
        moment=MOMENT + datetime.timedelta(days=3),
        results=folder / "walk-results",
    )
    return {
        "walk": plan,
        "design": plan.design,
        "entry": plan.entry,
        "progress": progress,
        "answer": progress.answers[0],
        "look": progress.answers[0].look,
        "walk_result": progress.result,
    }


def _picked() -> dict[str, Any]:
    made = check_season(SAMPLE_SEASON)
    load = next(one for one in made.loads if one.decisions)
    tolerances = _core.check_nested_tolerances(200, [("damaged", 9, 0.1), ("decayed", 1, 0.02)])
    return {
        "picked": made,
        "crews": made.immature,
        "crew": made.immature.crews[0],
        "load": load,
        "decision": next(iter(load.decisions.values())),
        "contact": made.contact[0],
        "timing": made.contact[0].summary,
        "cost": next(iter(made.costs.values())),
        "late": next(row.late for row in made.two_looks if row.late is not None),
        "chart": _core.p_chart([2, 9, 3], [60, 55, 70], centre=None, design_effect=1.2),
        "tolerances": tolerances,
        "load_plan": _core.smallest_plan(acceptable=0.02, refused=0.12),
        "single_plan": _core.single_plan("H", acceptable_pct=4.0),
        "double_plan": _core.double_plan("H", acceptable_pct=4.0),
    }
