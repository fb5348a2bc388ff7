"""What the extension offers beside the public names: same numbers, same messages, as C++ has it."""

from __future__ import annotations

import math
import pickle

import numpy
import pytest
import scipy.stats
from statsmodels.stats.proportion import proportion_confint

from maturity import _core
from maturity.blocks import block_question


def bin_check(crew, found, bin_name, **changes):
    given = dict(block="River", method="pole", date="2026-11-24", checked=50)
    return _core.BinCheck(crew=crew, found=found, bin=str(bin_name), **{**given, **changes})


def test_crew_shares_and_intervals_are_those_of_statsmodels():
    found = {"North": [1, 3, 2], "South": [2, 2, 1], "East": [12, 14, 13]}
    checks = [bin_check(c, n, i) for c, all_found in found.items() for i, n in enumerate(all_found)]
    result = _core.compare_crews(checks)
    for one in result.crews:
        count = sum(found[one.crew])
        assert (one.checked, one.found, one.bins) == (150, count, 3)
        for method, interval in (("wilson", one.wilson), ("beta", one.clopper_pearson)):
            assert interval == pytest.approx(proportion_confint(count, 150, 0.05, method), abs=1e-9)
    assert {one.crew: one.differs for one in result.crews}["East"] is True
    assert pickle.loads(pickle.dumps(result)).to_dict() == result.to_dict()


def test_crew_that_cannot_be_told_says_why():
    (only,) = _core.compare_crews([bin_check("North", 1, 1)]).crews
    assert only.differs is None and only.reason_sentence


def test_bad_bins_are_refused_by_row():
    with pytest.raises(ValueError, match="found.*2.*51"):
        _core.compare_crews([bin_check("North", 1, 1), bin_check("North", 51, 2)])


def test_cost_of_a_share_by_hand():
    """5 % of 1,000 fruit of 400 g at 3 a kg: 50 fruit, 20 kg, 60; trays of 10: 5."""
    cost = _core.cost_of_share(
        0.05, (0.02, 0.1), fruit=1000, fruit_mass_g=400, price_per_kg=3, fruit_per_tray=10
    )
    assert [cost.fruit.value, cost.mass_kg.value, cost.trays.value, cost.money.value] == (
        pytest.approx([50, 20, 5, 60])
    )
    assert cost.money.interval == pytest.approx((24, 120))
    bare = _core.cost_of_share(
        0.05, (0, 1), fruit=10, fruit_mass_g=400, price_per_kg=None, fruit_per_tray=None
    )
    assert bare.money is None and bare.trays is None


def test_mass_from_size_is_the_published_one():
    """0.5472 g/cm3 times L W T, error 29.9 g: Amaral and Walsh 2023, Horticulturae 9:54."""
    mass = _core.estimate_fruit_mass(100, 80, 75)
    assert (mass.mass_g, mass.error_sd_g) == pytest.approx((0.5472 * 600, 29.9))


def test_trees_are_drawn_by_seed_and_routed_along_rows():
    grid = [(5.0 * row, 3.0 * tree) for row in range(6) for tree in range(10)]
    drawn = _core.draw_balanced_trees(grid, count=8, seed=4)
    assert drawn == _core.draw_balanced_trees(grid, count=8, seed=4)
    assert len(set(drawn)) == 8
    rounds = _core.deal_into_rounds([grid[tree] for tree in drawn], rounds=2, seed=4)
    assert sorted(rounds[0] + rounds[1]) == list(range(8))
    rows = _core.trees_in_rows([row for row in range(6) for _ in range(10)], grid)
    route = _core.serpentine_route(rows, [21, 4, 1])
    assert route.order == [1, 4, 21]
    # By hand: row 0 to its end (27 m), two rows over (10 m), back from tree 9 to tree 1 (24 m).
    assert route.path == [0, 1, 4, 9, 29, 21] and route.length_m == pytest.approx(27 + 10 + 24)
    assert len({_core.canopy_place(n, start=0) for n in range(12)}) == 12


def test_walk_result_and_looks_come_through():
    result = _core.walk_result([[14.0, 15.0], [16.0, 17.0], [15.0]], [])
    # Tree means 14.5, 16.5, 15: squares about 15.333 sum to 13/6, over 2, over 3.
    assert result.random_error == pytest.approx(math.sqrt(13 / 36))
    assert result.balanced_error is None and result.within_variance == pytest.approx(0.5)
    look = _core.judge_look(0.93, fraction=0.5, earlier=[], confidence=0.9)
    assert look.verdict == "go_on" and look.needed > 0.97 and "Go on" in look.sentence
    with pytest.raises(ValueError, match="readiness: 93"):
        _core.judge_look(93, fraction=0.5, earlier=[], confidence=0.9)


def test_meter_fit_gives_bias_and_error_by_hand():
    generator = numpy.random.default_rng(5)
    oven = generator.normal(16, 1.5, 60)
    block = ["a"] * 30 + ["b"] * 30
    meter = oven + numpy.repeat([0.5, -0.5], 30) + generator.normal(0, 0.7, 60)
    fit = _core.fit_meter(block=block, oven=oven, meter=meter)
    error = (meter - oven).reshape(2, 30)
    assert [one.bias for one in fit.blocks] == pytest.approx(error.mean(axis=1).tolist())
    # numpy's least squares of the reading on oven and a mean for each block: 60 - 3 degrees.
    design = numpy.column_stack([oven, numpy.repeat([1, 0], 30), numpy.repeat([0, 1], 30)])
    line, left, _, _ = numpy.linalg.lstsq(design, meter, rcond=None)
    assert fit.within_block_sep == pytest.approx(math.sqrt(left[0] / 57))
    assert fit.within_block_fruit == 58 and fit.slope.mean == pytest.approx(line[0], abs=0.05)
    assert fit.by_block is None and fit.corrected_by_fold.folds == 2
    assert fit.overall.sep == pytest.approx(numpy.std(meter - oven, ddof=1))


def training(slope, blocks=6, fruit=15, seed=2):
    """Made-up fruit of several blocks: one descriptor that counts `slope`, one that does not."""
    generator = numpy.random.default_rng(seed)
    shape = generator.normal([1.0, 0.3], [0.1, 0.05], (blocks * fruit, 2))
    label = [f"block {i}" for i in range(blocks) for _ in range(fruit)]
    level = numpy.repeat(generator.normal(16, 1, blocks), fruit)
    oven = level + slope * (shape[:, 0] - 1) + generator.normal(0, 0.8, blocks * fruit)
    return dict(
        names=["first", "second"],
        block=label,
        fold=[],
        shape=shape,
        oven=oven,
        cultivar="Amberlee",
        first_date="2026-11-01",
        last_date="2026-11-20",
        provenance="made up",
        permutations=99,
        seed=1,
    )


def test_shape_calibration_finds_a_slope_and_survives_storing():
    made = _core.calibrate_shape(**training(slope=15))
    assert made.outcome == "usable" and made.folds == 6 and made.p_value <= 0.02
    where = made.names.index("first")
    sd = math.sqrt(made.slopes_covariance[where, where])
    assert abs(made.slopes[where] - 15) < 3 * sd
    again = _core.calibration_from_json(made.to_json())
    assert again.to_dict() == made.to_dict() == pickle.loads(pickle.dumps(made)).to_dict()
    with pytest.raises(ValueError, match="id"):
        _core.calibration_from_json(made.to_json().replace('"fruit": 90', '"fruit": 91'))


def test_shape_without_information_is_an_outcome():
    made = _core.calibrate_shape(**training(slope=0))
    assert made.outcome == "no_usable_information"
    assert "no usable information" in made.outcome_sentence


def test_cross_checks_are_the_plain_figures():
    """Student's t interval and noncentral t tolerance limit as scipy has them."""
    oven = [15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 16.0, 15.5]
    question = block_question([1, 2, 3, 4, 5, 6, 7, 8], oven=oven, minimum_dm_pct=14)
    checks = _core.cross_check(question, _core.estimate_block(question))
    mean, se = numpy.mean(oven), scipy.stats.sem(oven)
    assert checks.plain_mean.mean == pytest.approx(mean)
    assert checks.plain_mean.interval == pytest.approx(scipy.stats.t.interval(0.95, 7, mean, se))
    delta = scipy.stats.norm.ppf(0.9) * math.sqrt(8)
    k = scipy.stats.nct.ppf(0.9, 7, delta) / math.sqrt(8)
    assert checks.tolerance_limit == pytest.approx(mean - k * numpy.std(oven, ddof=1), abs=1e-6)
    assert checks.two_phase_regression is None and checks.disagreements == []
    assert set(_core.cross_check_assumptions()) == {
        "plain_mean",
        "tolerance_limit",
        "two_phase_regression",
    }
