"""Score one block at one visit against one row of policy."""

from __future__ import annotations

import collections
import datetime
import math
import statistics
from collections.abc import Mapping, Sequence

from maturity import _core
from maturity.block_visit import BlockVisit
from maturity.blocks import METER_SEP, METER_SLOPE, block_question
from maturity.clearance import block_clearance, while_record_holds
from maturity.flowering_plan import visit_plan
from maturity.flowerings import BlockFlowerings, estimate_flowerings, flowering_notes
from maturity.fruit_rows import FruitRows
from maturity.joining import LeftOut, SampledFruit
from maturity.oven_notes import oven_notes
from maturity.readings import OVEN_SD_PCT
from maturity.season.table import Row
from maturity.shape_range import compare_shapes
from maturity.stored_calibration import MeterError

#: Shape descriptors that feed the estimate unless others are asked for. Few, because each costs
#: readings; these follow the filling of shoulders, stem end and nose (common practice, no source).
#: Of two that tell of the same trait, the one that repeats better from photo to photo.
DEFAULT_DESCRIPTORS: tuple[str, ...] = (
    "shoulder_fill",
    "stem_hollow",
    "end_balance",
    "nose_roundness",
    "beak_prominence",
)

#: Error of a meter that no calibration speaks of.
_UNCHECKED = MeterError(*METER_SEP)

#: Used where policy.csv leaves the cell blank, and said so.
DEFAULT_REQUIRED_SHARE, DEFAULT_CONFIDENCE = 0.9, 0.9


def score_visit(
    block: Row,
    day: datetime.date,
    policy: Row,
    sample: list[SampledFruit],
    *,
    sprays: list[Row],
    latest: bool,
    calibration: _core.CalibrationSlopes | None,
    descriptors: tuple[str, ...],
    as_of: datetime.datetime | None,
    meters: Mapping[str, MeterError] | None = None,
    baseline: _core.ShapeCalibration | None = None,
    flowerings: BlockFlowerings | None = None,
) -> BlockVisit:
    """Score one visit of one block; `sample` are its fruit, photographed or read.

    `meters` holds the known error of instruments; without it a planning guess is used. `baseline`
    is what the calibration saw of this cultivar, whether or not its slopes are used.
    `flowerings` is what the tables say of them; where it names two or more the visit's estimate is
    of all of them joined.
    """
    moment = as_of or datetime.datetime.combine(day, datetime.time())
    # Of an earlier visit only what was known then counts; of the last one, everything.
    known = sprays if latest else [row for row in sprays if row["finished_at"] <= moment]
    clearance = while_record_holds(
        block_clearance(known, block["block"], market=policy["market"], as_of=moment),
        known,
        block["block"],
    )
    visit = BlockVisit(
        block=block["block"],
        cultivar=block["cultivar"],
        date=day,
        market=policy["market"],
        rule=policy["rule"],
        minimum_dm_pct=policy["minimum_dm_pct"],
        required_share=policy["required_share"] or DEFAULT_REQUIRED_SHARE,
        confidence=policy["confidence"] or DEFAULT_CONFIDENCE,
        policy=policy,
        latest=latest,
        decision=None,
        clearance=clearance,
        descriptors=descriptors,
    )
    _note_policy(visit)
    counted = [one for one in sample if one.shape or one.meters or _oven_dm(one) is not None]
    _name_incomplete_shapes(visit, counted, descriptors)
    _choose_meters(visit, counted)
    _note_own_meters(visit, meters or {})
    _count(visit, sample, counted, descriptors)
    _hold_against(baseline, visit, counted)
    _estimate(visit, counted, calibration, descriptors, meters or {}, flowerings)
    if visit.estimate is not None:
        visit.decision = visit.estimate.decision if clearance.cleared else "not_cleared"
        told = visit.estimate.readiness is not None
        if latest and visit.decision == "sample_more" and told:
            left = None if flowerings is None else flowerings.trees_left(counted)
            visit.plan = visit_plan(visit.estimate, visit.flowerings, left)
    elif not clearance.cleared:
        visit.decision = "not_cleared"
    return visit


def _note_policy(visit: BlockVisit) -> None:
    for name, value in (("required_share", visit.required_share), ("confidence", visit.confidence)):
        if visit.policy[name] is None and (name != "required_share" or visit.rule == "share"):
            visit.notes.append(f"policy.csv leaves {name} blank: {value:g} is used")
    if visit.policy["pass"] == "selective":
        visit.notes.append(
            "policy.csv asks for a selective pass; what is said here is about all fruit of a block"
        )


def _oven_dm(fruit: SampledFruit) -> float | None:
    return None if fruit.oven is None else fruit.oven.dm_pct


def _name_incomplete_shapes(
    visit: BlockVisit, counted: list[SampledFruit], descriptors: tuple[str, ...]
) -> None:
    """An outline that may be scored, but lacks a descriptor that is needed, counts as no photo."""
    for one in counted:
        missing = [name for name in descriptors if one.shape and one.shape.get(name) is None]
        if missing:
            photo = "" if one.photo is None else f" (photo {one.photo.name})"
            visit.left_out.append(
                LeftOut(
                    visit.block,
                    visit.date,
                    f"shape of fruit {one.key[3]} of tree {one.key[1]}{photo}",
                    f"{', '.join(missing)} cannot be told from this outline",
                )
            )


def _choose_meters(visit: BlockVisit, sample: list[SampledFruit]) -> None:
    """The instruments and settings with the most readings; each has a bias of its own."""
    counts = collections.Counter(reading.instrument for one in sample for reading in one.meters)
    if not counts:
        return
    names = sorted(counts, key=lambda name: (-counts[name], name))
    visit.meter, visit.other_meters = names[0], names[1 : _core.most_meters]
    for name in visit.other_meters:
        visit.notes.append(
            f"{counts[name]} fruit read with meter {name} and {counts[visit.meter]} with meter "
            f"{visit.meter}: each has a bias of its own here"
        )
    for name in names[_core.most_meters :]:
        visit.left_out.append(
            LeftOut(
                visit.block,
                visit.date,
                f"{counts[name]} fruit read with meter {name}",
                f"at most {_core.most_meters} instruments for each visit; the others have more "
                "readings",
            )
        )


def _own_name(visit: BlockVisit) -> str:
    """The visit as calibrations name it."""
    return f"{visit.block} {visit.date.isoformat()}"


def _note_own_meters(visit: BlockVisit, errors: Mapping[str, MeterError]) -> None:
    """Meters whose error was learnt on the very fruit that it is now used for."""
    for name in visit.meters:
        if name in errors and _own_name(visit) in errors[name].visits:
            visit.notes.append(
                f"the error of meter {name} was learnt on this visit's own fruit too, which then "
                "count twice: better one of earlier seasons"
            )


def _meter_dm(fruit: SampledFruit, meter: str | None) -> float | None:
    return next((r.dm_pct for r in fruit.meters if r.instrument == meter), None)


def _meter_of(visit: BlockVisit, fruit: SampledFruit) -> str | None:
    """The one that read this fruit; of several, the one with the most readings."""
    return next((name for name in visit.meters if _meter_dm(fruit, name) is not None), None)


def _count(
    visit: BlockVisit,
    sample: list[SampledFruit],
    counted: list[SampledFruit],
    descriptors: tuple[str, ...],
) -> None:
    visit.used = {
        "fruit": len(counted),
        "trees": len({one.key[1] for one in counted}),
        "fruit_with_shape": sum(shape_row(one, descriptors) is not None for one in counted),
        "fruit_with_oven": sum(_oven_dm(one) is not None for one in counted),
        "fruit_with_meter": sum(_meter_of(visit, one) is not None for one in counted),
        "fruit_still_drying": sum(one.oven is not None and one.oven.still_drying for one in sample),
    }
    visit.notes += oven_notes(sample, counted)
    on_purpose = [one for one in counted if one.oven is not None and one.oven.picked_on_purpose]
    if on_purpose:
        visit.picked_on_purpose = True
        visit.notes.append(f"{len(on_purpose)} oven fruit are marked as picked on purpose")


def _hold_against(
    baseline: _core.ShapeCalibration | None, visit: BlockVisit, sample: list[SampledFruit]
) -> None:
    """Name a block whose fruit are shaped unlike what the calibration saw, or unlike itself."""
    if baseline is None:
        return
    shapes = [row for one in sample if (row := shape_row(one, baseline.names)) is not None]
    visit.shape_range = found = compare_shapes(baseline, visit.block, shapes)
    if found is None:
        return
    if baseline.source.cultivar != visit.cultivar:
        visit.notes.append(
            f"the calibration is of {baseline.source.cultivar}, another cultivar, and used as "
            "asked: what mature fruit looks like may differ"
        )
    if baseline.outcome == "usable" and _own_name(visit) in (
        one.group for one in baseline.block_baselines
    ):
        visit.notes.append(
            "the calibration was learnt on this visit's own fruit, which then count twice: better "
            "one of earlier seasons"
        )
    if found.outside:
        visit.notes.append(f"outside_calibration: {found.sentence()}")
    elif found.unlike_itself:
        visit.notes.append(
            f"shapes lie {found.own_distance:.1f} SD from what this block's were in the "
            f"calibration ({found.own_block}): a mix-up of blocks, or ripening since"
        )


def _estimate(
    visit: BlockVisit,
    sample: list[SampledFruit],
    calibration: _core.CalibrationSlopes | None,
    descriptors: tuple[str, ...],
    errors: Mapping[str, MeterError],
    flowerings: BlockFlowerings | None,
) -> None:
    answer = visit.answer
    unknown = [math.nan] * len(descriptors)
    shapes = [shape_row(one, descriptors) or unknown for one in sample]
    with_shape = any(row is not unknown for row in shapes) and bool(descriptors)
    oven_sds = [one.oven.sd_pct for one in sample if one.oven and one.oven.dm_pct is not None]
    # The library takes one oven error for a visit: that of the ordinary fruit.
    oven_sd_pct = statistics.median(oven_sds) if oven_sds else OVEN_SD_PCT
    try:
        question = block_question(
            [one.key[1] for one in sample],
            shape=shapes if with_shape else None,
            oven=[_oven_dm(one) for one in sample],
            meter={name: [_meter_dm(one, name) for one in sample] for name in visit.meters},
            minimum_dm_pct=visit.minimum_dm_pct,
            required_share=visit.required_share,
            rule=visit.rule,
            confidence=visit.confidence,
            picked_on_purpose=visit.picked_on_purpose,
            calibration=calibration if with_shape else None,
            descriptor_names=descriptors if with_shape else (),
            oven_sd_pct=oven_sd_pct,
            meter_sep_pct={n: errors.get(n, _UNCHECKED).sep_pct for n in visit.meters},
            meter_sep_n={n: errors.get(n, _UNCHECKED).fruit for n in visit.meters},
            meter_slope=METER_SLOPE[0],
            meter_slope_sd=METER_SLOPE[1],
        )
        answer.question = question
        joined = estimate_flowerings(question, sample, flowerings)
        answer.estimate = _core.estimate_block(question) if joined is None else joined.together
        visit.cross_checks = checks = _core.cross_check(question, answer.estimate)
        if joined is not None:
            answer.flowerings, answer.estimate = joined, joined.block
        visit.notes += flowering_notes(joined, flowerings, sample)
        visit.notes += [
            f"plainer figures differ strongly, {name}: {text.rstrip('.')}"
            for name, text in zip(checks.disagreements, checks.disagreement_sentences)
        ]
        if "outside_calibration" in answer.estimate.flags:
            reason = "the shapes of this block lie outside what the calibration saw: not used"
            if visit.shape_range is not None:
                reason += f" ({visit.shape_range.sentence()})"
            visit.left_out.append(LeftOut(visit.block, visit.date, "calibration of shape", reason))
    except ValueError as error:
        visit.error = str(error)
    _list_fruit(visit, sample, descriptors)


def shape_row(fruit: SampledFruit, descriptors: Sequence[str]) -> list[float] | None:
    """Descriptors of a fruit; None where the outline may not be scored or one is not known."""
    shape: Mapping[str, float | None] = fruit.shape or {}
    row = [value for value in map(shape.get, descriptors) if value is not None]
    return row if fruit.shape is not None and len(row) == len(descriptors) else None


def _list_fruit(
    visit: BlockVisit, sample: list[SampledFruit], descriptors: tuple[str, ...]
) -> None:
    cells: list[tuple[object, ...]] = []
    for one in sample:
        meter = _meter_of(visit, one)
        cells.append(
            (
                one.key[1],
                one.key[3],
                None if one.photo is None else one.photo.name,
                shape_row(one, descriptors) is not None,
                None if one.measured is None else one.measured["length_mm"],
                _oven_dm(one),
                meter,
                _meter_dm(one, meter),
            )
        )
    visit.answer.fruit = FruitRows(cells, visit.estimate)
