"""Types of the C++ library as bound. See the package maturity for what things mean."""

from collections.abc import Callable, Mapping, Sequence
from typing import Any

import numpy
import pandas

_Array = numpy.ndarray[Any, numpy.dtype[numpy.float64]]
_Interval = tuple[float, float]

descriptors_version: int

def version() -> str: ...
def method_version() -> int: ...
def photo_flag_sentences() -> dict[str, str]: ...
def fruit_flag_sentences() -> dict[str, str]: ...
def descriptor_registry() -> list[dict[str, Any]]: ...

class _Fields:
    def to_dict(self) -> dict[str, Any]: ...
    def to_frame(self) -> pandas.DataFrame: ...
    def _repr_html_(self) -> str: ...

class _Drawn(_Fields):
    def plot(self, ax: Any = ...) -> Any: ...

class BlockCounts(_Fields):
    fruit: int
    trees: int
    phase_one_fruit: int
    phase_one_trees: int
    oven_fruit: int
    oven_trees: int
    meter_fruit: int
    meter_only_fruit: int
    left_out_without_photo: int

class SlopeEstimate(_Fields):
    name: str
    per_sd: tuple[float, float]
    per_unit: tuple[float, float]

class FruitEstimate(_Fields):
    mean_dm_pct: float | None
    sd_pct: float | None
    interval: _Interval | None
    about_block_average: bool

class BlockRule(_Fields):
    minimum_dm_pct: float
    required_share: float
    kind: str
    confidence: float

class BlockEstimate(_Drawn):
    rule: BlockRule
    decision: str
    readiness: float | None
    share_mature: float | None
    share_interval: _Interval | None
    share_interval_80: _Interval | None
    mean_dm_pct: float | None
    mean_dm_sd: float | None
    mean_dm_interval: _Interval | None
    mean_dm_interval_80: _Interval | None
    reasons: list[str]
    flags: list[str]
    psi_mean: float | None
    psi_sd: float | None
    spread_sd: float | None
    spread_sd_se: float | None
    tree_variance: float | None
    fruit_variance: float | None
    shape_variance: float | None
    shape_r_squared: float | None
    p_noshape: float | None
    meter_bias: tuple[float, float] | None
    further_meter_bias: list[tuple[float, float]]
    meter_slope: tuple[float, float] | None
    slopes: list[SlopeEstimate]
    fruit_estimates: list[FruitEstimate]
    def fruit_estimate(self, place: int) -> FruitEstimate: ...
    counts: BlockCounts
    p_selection_by_shape: float | None
    p_selection_by_meter: float | None
    residual_skewness: float | None
    robust: bool
    calibration_id: str
    calibration_used: bool
    dropped_descriptors: list[str]
    @property
    def fruit(self) -> pandas.DataFrame: ...
    @property
    def reason_sentences(self) -> list[str]: ...
    @property
    def flag_sentences(self) -> list[str]: ...

class CalibrationSlopes:
    def __init__(
        self,
        *,
        id: str,
        names: Sequence[str],
        version: int,
        slopes: Any,
        slopes_covariance: Any,
        shape_mean: Any = ...,
        shape_covariance: Any = ...,
    ) -> None: ...
    @property
    def id(self) -> str: ...
    @property
    def names(self) -> list[str]: ...
    @property
    def version(self) -> int: ...

class BlockQuestion:
    def __init__(
        self,
        *,
        tree: Sequence[str],
        shape: Any,
        oven: Sequence[float],
        meter: Sequence[float],
        further_meters: Sequence[tuple[Sequence[float], float | None, int | None]],
        included: Sequence[bool],
        minimum_dm_pct: float,
        required_share: float,
        rule: str,
        confidence: float,
        picked_on_purpose: bool,
        calibration: CalibrationSlopes | None,
        descriptor_names: Sequence[str],
        use_shape: str,
        meter_sep_pct: float | None,
        meter_sep_n: int | None,
        meter_slope: float,
        meter_slope_sd: float,
        oven_sd_pct: float,
    ) -> None: ...

def estimate_block(question: BlockQuestion) -> BlockEstimate: ...

class PlainMean(_Fields):
    mean: float
    se: float
    interval: _Interval
    fruit: int

class CrossChecks(_Drawn):
    plain_mean: PlainMean | None
    tolerance_limit: float | None
    plain_readiness: float | None
    two_phase_regression: PlainMean | None
    disagreements: list[str]
    @property
    def disagreement_sentences(self) -> list[str]: ...

class FloweringEstimate(_Fields):
    name: str
    estimate: BlockEstimate
    crop_share: float | None
    crop_share_sd: float | None
    crop_share_interval: _Interval | None
    lacks: list[str]

class JoinedEstimate(_Drawn):
    block: BlockEstimate
    together: BlockEstimate
    joined: bool
    flowerings: list[FloweringEstimate]
    crop_share_source: str | None
    crop_share_sentence: str | None
    sentences: list[str]
    fruit_without_flowering: int

fewest_share_trees: int
photos_per_new_tree: int
most_without_flowering: float

def estimate_flowerings(
    question: BlockQuestion,
    *,
    names: Sequence[str],
    of_fruit: Sequence[str],
    drawn_at_random: Sequence[bool] = ...,
    of_tree: Sequence[str] = ...,
    crop: Sequence[float] = ...,
    of_block: float = ...,
) -> JoinedEstimate: ...
def cross_check(question: BlockQuestion, estimate: BlockEstimate) -> CrossChecks: ...
def cross_check_assumptions() -> dict[str, str]: ...

class ShareRange(_Fields):
    median: float
    interval: _Interval

class ShapeCut(_Fields):
    cut_dm_pct: float
    taken: float
    taken_interval: _Interval
    immature_taken: ShareRange
    immature_blind: ShareRange

class ShapeSorting(_Drawn):
    shape_dm_pct: list[float | None]
    correlation: float | None
    correlation_interval: _Interval | None
    p_useful: float | None
    cuts: list[ShapeCut]

USEFUL_CORRELATION: float

def sort_by_shape(question: BlockQuestion, cuts: Sequence[float]) -> ShapeSorting: ...

class SamplePlan(_Drawn):
    outcome: str
    trees: int
    photos: int
    oven: int
    cost: float
    p_settle: float | None
    sd_after: float | None
    @property
    def outcome_sentence(self) -> str: ...

def more_samples(
    estimate: BlockEstimate, *, cost_tree: float, cost_photo: float, cost_oven: float, settle: float
) -> SamplePlan: ...

class FloweringAddition(_Fields):
    name: str
    trees: int
    photos: int
    oven: int
    part: float | None

class FloweringPlan(_Drawn):
    block: SamplePlan
    flowerings: list[FloweringAddition]
    crop_share_part: float | None
    drawn_apart: bool

def more_samples_of_flowerings(
    estimate: JoinedEstimate,
    *,
    cost_tree: float,
    cost_photo: float,
    cost_oven: float,
    settle: float,
    trees_left: Sequence[int] = ...,
) -> FloweringPlan: ...

class Forecast(_Drawn):
    level: float
    level_sd: float
    gain_per_week: float | None
    gain_sd: float | None
    earliest_day: int | None
    no_date: str | None
    minimum_dm_pct: float
    confidence: float
    last_day: float
    horizon_days: int
    covariance: _Array
    def probability(self, day: float) -> float | None: ...
    def level_on(self, day: float) -> tuple[float, float] | None: ...
    @property
    def no_date_sentence(self) -> str | None: ...
    def date_range(self, level: float) -> tuple[int | None, int | None] | None: ...

class PickingBlock(_Fields):
    block: str
    ready_day: int | None
    clear_day: int | None
    crew_days: float
    last_day: int | None
    def __init__(
        self,
        *,
        block: str,
        ready_day: int | None,
        clear_day: int | None,
        crew_days: float,
        last_day: int | None,
    ) -> None: ...

class PickingTurn(_Fields):
    block: str
    free_from: int | None
    start: int | None
    finish: int | None
    waits: int
    slack: int | None
    not_planned: str | None
    @property
    def not_planned_sentence(self) -> str | None: ...

def plan_picking(
    blocks: Sequence[PickingBlock], *, crews: float, first_day: int
) -> list[PickingTurn]: ...

_Days = Sequence[tuple[int, float, float]]

class HeatRecipe:
    def __init__(
        self, *, method: str, lower: float, upper: float | None, cutoff: str = ...
    ) -> None: ...

class HeatSum(_Fields):
    degree_days: float | None
    of_known_days: float
    missing_days: int
    first_missing: int | None

LONGEST_TARGET_DAYS: int

class TargetDay(_Drawn):
    so_far: float
    target: float
    pace: tuple[float, float, float]
    days: int
    days_fastest: int
    days_slowest: int | None
    range_80: tuple[float, int | None, int | None] | None
    range_95: tuple[float, int | None, int | None] | None

class HeatForecast(_Drawn):
    forecast: Forecast
    pace: tuple[float, float, float]
    gain_per_100: float | None
    gain_per_100_sd: float | None

def sum_degree_days(weather: _Days, first: int, last: int, recipe: HeatRecipe) -> HeatSum: ...
def day_of_target(
    weather: _Days,
    first: int,
    last: int,
    *,
    target: float,
    target_stage: str,
    target_recipe: HeatRecipe,
    start_stage: str,
    recipe: HeatRecipe,
) -> TargetDay | None: ...
def forecast_by_heat(
    days: Sequence[int],
    psi: Sequence[float],
    psi_sd: Sequence[float],
    *,
    weather: _Days,
    recipe: HeatRecipe,
    minimum_dm_pct: float,
    confidence: float,
    shared_sd: float,
    horizon_days: int,
) -> HeatForecast | None: ...
def forecast_readiness(
    days: Sequence[float],
    psi: Sequence[float],
    psi_sd: Sequence[float],
    *,
    minimum_dm_pct: float,
    confidence: float,
    shared_sd: float,
    stated_gain: tuple[float, float] | None,
    horizon_days: int,
) -> Forecast: ...

class Pose(_Fields):
    stem: _Array
    nose: _Array
    axis: _Array
    ventral_side: int
    axis_probability: float
    side_probability: float
    flags: list[str]

class Descriptors(_Fields):
    value: list[float]
    se: list[float]

class ShapeDescription(_Drawn):
    pose: Pose
    descriptor_values: Descriptors
    length: float
    length_se: float
    width: float
    width_se: float
    edge_sd: float
    edge_correlation_length: float
    @property
    def descriptors(self) -> dict[str, float | None]: ...
    @property
    def descriptor_se(self) -> dict[str, float | None]: ...
    @property
    def state_names(self) -> list[dict[str, str]]: ...
    @property
    def stem(self) -> _Array: ...
    @property
    def nose(self) -> _Array: ...
    @property
    def ventral_side(self) -> int: ...
    @property
    def axis_probability(self) -> float: ...
    @property
    def side_probability(self) -> float: ...
    @property
    def flags(self) -> list[str]: ...

state_name_warning: str

def elliptic_fourier(outline: Any, count: int) -> list[tuple[float, float, float, float]]: ...
def state_names(descriptors: Mapping[str, float | None]) -> list[dict[str, str]]: ...
def describe_outline(
    outline: Any,
    *,
    stem: Sequence[float] | None,
    nose: Sequence[float] | None,
    ventral_side: int | None,
    edge_sd: float | None,
    edge_correlation_length: float | None,
    with_errors: bool,
) -> ShapeDescription: ...

class FruitMeasurement(_Drawn):
    fruit: int
    numbered_by_tile: bool
    outline_px: _Array
    outline_se_px: float
    outline_mm: _Array
    stem_px: _Array | None
    nose_px: _Array | None
    ventral_side: int
    axis_probability: float
    side_probability: float
    length_mm: float | None
    length_se_mm: float | None
    width_mm: float | None
    width_se_mm: float | None
    mass_g_estimate: float | None
    mass_se_g: float | None
    flags: list[str]
    usable: bool
    descriptors: dict[str, float]
    descriptor_se: dict[str, float]

class PhotoMeasurement(_Drawn):
    path: str
    sha256: str
    width_px: int
    height_px: int
    taken_at: str | None
    error: str | None
    error_may_pass: bool
    flags: list[str]
    mm_per_px: float | None
    mm_per_px_se: float | None
    tilt_deg: float | None
    camera_height_mm: float | None
    code_text: str | None
    seconds: float
    fruits: list[FruitMeasurement]
    def to_json(self) -> str: ...

class MeasureSettings:
    max_megapixels: float
    max_seconds: float
    marker_width_mm: float
    markers_across_mm: float
    markers_down_mm: float
    thickness_ratio: float
    thickness_ratio_sd: float
    thickness_mm: Mapping[int, float]
    threads: int
    def __init__(self) -> None: ...
    def key(self) -> str: ...

def measure_photo(path: str | bytes, settings: MeasureSettings = ...) -> PhotoMeasurement: ...
def measure_photos(
    paths: Sequence[str | bytes],
    settings: MeasureSettings = ...,
    done: Callable[[int, PhotoMeasurement], bool] | None = ...,
) -> list[PhotoMeasurement]: ...
def measure_each_photo(
    paths: Sequence[str | bytes],
    settings: MeasureSettings,
    taken: Callable[[int, PhotoMeasurement], bool],
) -> None: ...

class BoardMatch(_Fields):
    matched: int
    mean_overlap: float
    least_overlap: float
    same: bool

def compare_boards(first: Sequence[_Array], second: Sequence[_Array]) -> BoardMatch: ...
def to_json(photos: Sequence[PhotoMeasurement], pretty: bool = ...) -> str: ...

class Agreement(_Fields):
    def plot(
        self, reference: Sequence[float], predicted: Sequence[float], ax: Any = ...
    ) -> Any: ...
    pairs: int
    left_out: int
    bias: float
    bias_interval: _Interval
    bias_limit: float
    bias_significant: bool
    rmsep: float
    rmsep_interval: _Interval
    sep: float
    sep_interval: _Interval
    slope: float
    intercept: float
    slope_interval: _Interval
    residual_sd: float
    slope_t: float
    slope_t_limit: float
    slope_significant: bool
    r_squared: float
    r_squared_interval: _Interval
    r_squared_identity: float
    reference_sd: float
    rpd_sep: float
    rpd_rmsep: float
    rpd_sep_interval: _Interval

def proportion_interval(
    count: float, n: float, *, level: float, method: str
) -> tuple[float, float]: ...
def tolerance_factor(n: int, *, share: float, confidence: float) -> float: ...
def acceptance_probability(n: int, accept: int, share: float, *, lot: int | None) -> float: ...

class ChartPoint(_Fields):
    share: float
    limits: _Interval
    above: bool
    below: bool

class PChart(_Drawn):
    centre: float
    points: list[ChartPoint]

class ShrunkValue(_Fields):
    raw: float
    weight: float
    value: float
    own_error: float
    common_error: float
    spread_error: float
    standard_error: float

class Shrinkage(_Drawn):
    common_value: float
    between_variance: float
    spread_estimated: bool
    values: list[ShrunkValue]

def shrink_values(
    values: Sequence[float],
    error_variances: Sequence[float],
    between_variance: float | None = None,
) -> Shrinkage: ...
def p_chart(
    count: Sequence[float],
    checked: Sequence[float],
    *,
    centre: float | None,
    design_effect: float,
) -> PChart: ...
def code_cells(text: str) -> list[str]: ...
def agreement(reference: Sequence[float], predicted: Sequence[float]) -> Agreement: ...
def dry_matter_pct(dish_g: float, dish_fresh_g: float, dish_dried_g: float) -> float: ...
def degree_days(
    tmin_c: float, tmax_c: float, *, lower: float, upper: float | None, method: str, cutoff: str
) -> float: ...

duplicate_limit_pct: float
most_meters: int
meter_slope_guess: float
meter_slope_guess_sd: float
meter_sep_guess: float
meter_sep_guess_fruit: int

class OvenReading(_Fields):
    state: str
    dm_pct: float | None
    error_sd_pct: float | None
    problem: str | None
    sentence: str

def fruit_error_sd_pct(cheek_error_sd_pct: Sequence[float], cheek_sd: float) -> float: ...
def comparable_ways(
    one: tuple[str, float | None, bool | None], other: tuple[str, float | None, bool | None]
) -> bool: ...
def cheek_sd_pct(pairs: Sequence[tuple[float, float]], error_sd_pct: float) -> float | None: ...

class DryingResult(_Fields):
    state: str
    dish_dried_g: float | None
    last_loss_g: float | None
    @property
    def sentence(self) -> str: ...

def judge_drying(
    hours: Sequence[float],
    dish_sample_g: Sequence[float],
    *,
    within_g: float,
    agreeing: int,
    hours_apart: float,
) -> DryingResult: ...
def oven_method_doubts(
    dryer: str, temperature_c: float | None, hours: float | None
) -> list[str]: ...

class Duplicates(_Fields):
    mean_pct: float
    apart_pct: float
    too_far_apart: bool
    error_sd_pct: float
    readings: int

class MeterValue(_Fields):
    fruit: str
    meter: str
    setting: str
    dm_pct: float
    readings: int
    repeat_se_pct: float | None

def read_oven(
    dish_g: float,
    dish_fresh_g: float,
    dish_dried_g: float | None,
    balance_step_g: float | None,
) -> OvenReading: ...
def combine_duplicates(
    dm_pct: Sequence[float], error_sd_pct: Sequence[float], limit_pct: float = ...
) -> Duplicates: ...
def combine_meter_readings(rows: Sequence[tuple[str, str, str, float]]) -> list[MeterValue]: ...
def calibration_slopes(
    text: str, *, cultivar: str, names: Sequence[str], allow_other_cultivar: bool = ...
) -> CalibrationSlopes: ...

class BlockBias(_Fields):
    block: str
    pairs: int
    bias: float
    standard_error: float

class ClusteredAgreement(_Fields):
    clusters: int
    bias: float
    bias_interval: _Interval
    bias_significant: bool
    sep: float
    sep_interval: _Interval
    rmsep: float
    rmsep_interval: _Interval
    slope: float
    slope_interval: _Interval | None
    slope_significant: bool
    r_squared: float
    r_squared_interval: _Interval | None
    rpd_sep: float
    rpd_sep_interval: _Interval

class MeterSlope(_Fields):
    blocks: int
    mean: float
    standard_error: float
    estimated_between_block_sd: float
    between_block_sd: float
    new_block_sd: float

class LeftOutReadings(_Fields):
    folds: int
    agreement: Agreement
    ranges: ClusteredAgreement | None

class MeterFit(_Drawn):
    overall: Agreement
    by_block: ClusteredAgreement | None
    by_season: ClusteredAgreement | None
    blocks: list[BlockBias]
    within_block_sep: float | None
    within_block_fruit: int
    bias_sd_between_blocks: float | None
    slope: MeterSlope | None
    corrected_by_fold: LeftOutReadings | None
    corrected_by_season: LeftOutReadings | None

def fit_meter(
    *,
    block: Sequence[str],
    oven: Sequence[float],
    meter: Sequence[float],
    fold: Sequence[str] = ...,
    season: Sequence[str] = ...,
) -> MeterFit: ...

class CalibrationSource(_Fields):
    cultivar: str
    first_date: str
    last_date: str
    provenance: str

class ReferenceRange(_Fields):
    group: str
    members: int
    mean: _Array
    covariance: _Array

class RangeComparison(_Drawn):
    outside: bool
    distance: float
    limit: float
    share_beyond: float
    off_sd: _Array

class ShapeValidation(_Fields):
    folds: int
    within_r_squared: float
    p_value: float
    new_block: Agreement | None
    after_local_mean: Agreement | None
    new_block_ranges: ClusteredAgreement | None
    after_local_mean_ranges: ClusteredAgreement | None

class ShapeCalibration(_Drawn):
    id: str
    library_version: str
    method_version: int
    source: CalibrationSource
    names: list[str]
    slopes: _Array
    slopes_covariance: _Array
    between_block_sd: _Array
    shape_mean: _Array
    shape_covariance: _Array
    format: int
    block_baselines: list[ReferenceRange]
    fruit: int
    blocks: int
    left_out: int
    residual_sd: float
    not_selected: list[str]
    outcome: str
    folds: int
    within_r_squared: float | None
    p_value: float | None
    new_block: Agreement | None
    after_local_mean: Agreement | None
    new_block_ranges: ClusteredAgreement | None
    after_local_mean_ranges: ClusteredAgreement | None
    by_season: ShapeValidation | None
    @property
    def outcome_sentence(self) -> str: ...
    def compare(self, shape: Any) -> RangeComparison: ...
    def block_distances(self, shape: Any) -> list[float]: ...
    def to_json(self) -> str: ...

def calibrate_shape(
    *,
    names: Sequence[str],
    block: Sequence[str],
    fold: Sequence[str],
    shape: Any,
    oven: Sequence[float],
    cultivar: str,
    first_date: str,
    last_date: str,
    provenance: str,
    permutations: int,
    seed: int,
    season: Sequence[str] = ...,
) -> ShapeCalibration: ...
def calibration_from_json(text: str) -> ShapeCalibration: ...

class BinCheck(_Fields):
    block: str
    method: str
    date: str
    crew: str
    bin: str
    checked: int
    found: int
    def __init__(
        self,
        *,
        block: str,
        method: str,
        date: str,
        crew: str,
        bin: str,
        checked: int,
        found: int,
    ) -> None: ...

class CrewShare(_Drawn):
    crew: str
    bins: int
    checked: int
    found: int
    share: float
    wilson: _Interval
    clopper_pearson: _Interval
    interval: _Interval
    shrunk_share: float | None
    shrunk_se: float | None
    expected: float
    own_share: float | None
    own_checked: int
    others_share: float | None
    own_days: int
    days_above: int
    days_below: int
    p_value: float | None
    differs: bool | None
    reason: str | None
    @property
    def reason_sentence(self) -> str | None: ...

class WholeShare(_Drawn):
    bins: int
    checked: int
    found: int
    share: float
    interval: _Interval

class CrewComparison(_Drawn):
    crews: list[CrewShare]
    whole: WholeShare | None
    design_effect: float | None
    spare_bins: int
    compared_by: str
    similar_names: list[tuple[str, str]]

def clustered_interval(
    found: float,
    checked: float,
    *,
    design_effect: float,
    spare_bins: int,
    level: float = ...,
) -> _Interval: ...

#: Correlation of fruit of one bin where bins do not tell it.
ASSUMED_INTRACLASS: float

def compare_crews(
    checks: Sequence[BinCheck],
    *,
    level: float = ...,
    false_alarm: float = ...,
    fewest_fruit: int = ...,
    shuffles: int = ...,
    seed: int = ...,
    assumed_intraclass: float = ...,
) -> CrewComparison: ...

class BinOutcome(_Drawn):
    share: float
    interval: _Interval
    others_share: float | None
    p_value: float | None
    stands_out: bool | None

def outlying_bins(
    checks: Sequence[BinCheck], *, level: float = ..., false_alarm: float = ...
) -> list[BinOutcome]: ...

class CostRange(_Fields):
    value: float
    interval: _Interval

class ShareCost(_Fields):
    fruit: CostRange
    mass_kg: CostRange
    trays: CostRange | None
    money: CostRange | None

def cost_of_share(
    share: float,
    interval: _Interval,
    *,
    fruit: float,
    fruit_mass_g: float,
    price_per_kg: float | None,
    fruit_per_tray: float | None,
) -> ShareCost: ...

class FruitMass(_Fields):
    mass_g: float
    error_sd_g: float

def estimate_fruit_mass(
    length_mm: float,
    width_mm: float,
    thickness_mm: float,
    length_sd_mm: float = ...,
    width_sd_mm: float = ...,
    thickness_sd_mm: float = ...,
) -> FruitMass: ...

_Places = Sequence[tuple[float, float]]

def draw_balanced_trees(trees: _Places, *, count: int, seed: int) -> list[int]: ...
def deal_into_rounds(trees: _Places, *, rounds: int, seed: int) -> list[list[int]]: ...
def draw_dried_fruit(trees: int, *, fruit: int, dried: int, seed: int) -> list[list[int]]: ...
def canopy_place(fruit: int, *, start: int) -> tuple[int, int]: ...
def local_places(points: _Places) -> list[tuple[float, float]]: ...
def trees_in_rows(row: Sequence[int], places: _Places) -> list[tuple[int, float, float]]: ...

class WalkRoute(_Fields):
    order: list[int]
    path: list[int]
    length_m: float

def serpentine_route(trees: list[tuple[int, float, float]], stops: Sequence[int]) -> WalkRoute: ...

class WalkVariances(_Fields):
    tree_variance: float
    fruit_variance: float
    shape_tree_variance: float
    shape_fruit_variance: float
    share_z: float
    balance: float
    def __init__(
        self,
        *,
        tree_variance: float,
        fruit_variance: float,
        shape_tree_variance: float = ...,
        shape_fruit_variance: float = ...,
        share_z: float = ...,
        balance: float = ...,
    ) -> None: ...

class WalkDesign(_Drawn):
    trees: int
    fruit_per_tree: int
    oven_per_tree: int
    cost: float
    standard_error: float
    p_clear: float | None
    reached: bool

def walk_design(
    variances: WalkVariances,
    *,
    costs: tuple[float, float, float],
    margin: tuple[float, float, float] | None,
    trees: int,
    fruit_per_tree: int,
    oven_per_tree: int,
) -> WalkDesign: ...
def may_say_ready(trees: int, oven_per_tree: int) -> bool: ...
def plan_walk_size(
    variances: WalkVariances,
    *,
    costs: tuple[float, float, float],
    margin: tuple[float, float, float] | None,
    most_trees: int,
    fruit_per_tree: tuple[int, int],
    half_width: float | None,
    clear: float | None,
) -> WalkDesign: ...

class Look(_Fields):
    fraction: float
    needed: float
    spent: float
    verdict: str
    @property
    def sentence(self) -> str: ...

def judge_look(
    readiness: float, *, fraction: float, earlier: Sequence[float], confidence: float
) -> Look: ...
def chance_to_settle(margin: float, *, sd: float, sd_after: float, confidence: float) -> float: ...

class WalkResult(_Drawn):
    trees: int
    fruit: int
    mean: float
    between_variance: float | None
    within_variance: float | None
    random_error: float | None
    balanced_error: float | None
    balance: float | None

def walk_result(values: Sequence[Sequence[float]], places: _Places) -> WalkResult: ...
def picked_findings() -> list[dict[str, Any]]: ...

class LateDamage(_Drawn):
    difference: float
    interval: _Interval
    rose: bool | None

def compare_looks(
    arrival: tuple[float, float],
    held: tuple[float, float],
    *,
    level: float = ...,
    comparisons: int = ...,
    design_effect: float = ...,
) -> LateDamage: ...

class TimingSummary(_Drawn):
    count: int
    days: int
    median: float
    longest: float
    shortest: float
    outside: int | None
    share_outside: float | None
    share_interval: _Interval | None
    slope_per_day: float | None
    slope_interval: _Interval | None
    rising: bool | None
    falling: bool | None

def summarise_timings(
    timings: Sequence[tuple[float, float]],
    *,
    low: float | None,
    high: float | None,
    level: float = ...,
    comparisons: int = ...,
) -> TimingSummary: ...

class LoadPlan(_Fields):
    def plot(self, ax: Any = ..., *, design_effect: float = ...) -> Any: ...
    n: int
    accept: int
    passes_acceptable: float
    passes_refused: float

def smallest_plan(
    *,
    acceptable: float,
    refused: float,
    producer_risk: float = ...,
    consumer_risk: float = ...,
    lot: int | None = ...,
    design_effect: float = ...,
) -> LoadPlan | None: ...
def share_passed_with(n: int, accept: int, chance: float, design_effect: float = ...) -> float: ...
def chance_to_pass(n: int, accept: int, share: float, *, design_effect: float = ...) -> float: ...
def code_letter(lot: int, *, level: int = ...) -> str: ...

class SamplingPlan(_Fields):
    def plot(self, ax: Any = ..., *, design_effect: float = ...) -> Any: ...
    n: int
    accept: int
    followed_arrow: bool

def single_plan(letter: str, *, acceptable_pct: float) -> SamplingPlan | None: ...

class DoublePlan(_Drawn):
    first: int
    accept_first: int
    reject_first: int
    second: int
    accept_total: int
    def __init__(
        self, *, first: int, accept_first: int, reject_first: int, second: int, accept_total: int
    ) -> None: ...

def double_plan(letter: str, *, acceptable_pct: float) -> DoublePlan | None: ...
def double_acceptance(plan: DoublePlan, share: float) -> tuple[float, float]: ...

class LoadDecision(_Drawn):
    step: str
    share: float
    interval: _Interval
    chance_if_refused: float
    chance_if_acceptable: float
    more: int | None
    accept_total: int | None

def decide_load(
    checked: int,
    found: int,
    *,
    acceptable: float,
    refused: float,
    producer_risk: float = ...,
    consumer_risk: float = ...,
    lot: int | None = ...,
    design_effect: float = ...,
) -> LoadDecision: ...

class ToleranceCheck(_Fields):
    what: str
    found: int
    share: float
    limit: float
    met_in_sample: bool
    interval: _Interval
    state: str

class NestedTolerances(_Drawn):
    checks: list[ToleranceCheck]
    met_in_sample: bool
    state: str

def check_nested_tolerances(
    checked: int,
    tolerances: Sequence[tuple[str, int, float]],
    *,
    level: float = ...,
    design_effect: float = ...,
) -> NestedTolerances: ...
