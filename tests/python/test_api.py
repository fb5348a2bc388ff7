"""The Python names: the same numbers as the library, the same messages, plain results."""

from __future__ import annotations

import doctest
import importlib
import json
import math
import pickle

import numpy
import pandas
import pytest

import maturity

# Two shape descriptors, oven dry matter; a hand-made block of six trees.
TREE = [1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6]
Z1 = [0.62, -0.32, 1.29, 0.41, -0.91, 0.22, -1.46, -0.16, -1.00, 1.14, 0.04, 1.34]
Z2 = [0.73, 0.72, 0.29, 0.54, -1.83, -0.61, -1.38, -1.03, -1.19, -0.33, 0.28, 0.40]
OVEN = [18.36, None, 18.27, None, 15.98, 17.93, 16.71, None, 18.21, 19.32, 17.67, None]


def estimate(**changes):
    given = {"shape": numpy.column_stack([Z1, Z2]), "oven": OVEN, "use_shape": "on"}
    return maturity.estimate_block(TREE, minimum_dm_pct=15, **{**given, **changes})


def test_public_names_are_those_promised():
    assert sorted(maturity.__all__) == sorted(
        "measure_photos describe_outline dry_matter_pct estimate_block forecast_readiness "
        "more_samples agreement read_season score_season degree_days proportion_interval "
        "tolerance_factor acceptance_probability about state_names pool_blocks judge_drying "
        "flag_sentences".split()
    )
    for name in maturity.__all__:
        assert callable(getattr(maturity, name)) and getattr(maturity, name).__doc__


def test_block_estimate_gives_the_worked_case():
    """COMPUTED twice: a prototype of the grid, and a dense rewrite for mean, SD and readiness."""
    result = estimate()
    assert result.mean_dm_pct == pytest.approx(17.856849, abs=2e-5)
    assert result.mean_dm_sd == pytest.approx(0.475539, abs=2e-5)
    assert result.mean_dm_interval == pytest.approx((16.910512, 18.798805), abs=2e-5)
    assert result.share_mature == pytest.approx(0.994767, abs=2e-5)
    assert result.share_interval == pytest.approx((0.898142, 0.999995), abs=2e-5)
    assert result.readiness == pytest.approx(97.3974, abs=2e-3)
    assert result.p_noshape == pytest.approx(0.151947, abs=2e-5)
    assert result.fruit.loc[0, ["mean", "sd"]].tolist() == pytest.approx(
        [18.358337, 0.148541], abs=2e-5
    )


def test_fruit_table_is_a_data_frame_with_a_row_for_each_fruit():
    fruit = estimate().fruit
    assert isinstance(fruit, pandas.DataFrame)
    assert list(fruit.columns[:2]) == ["mean", "sd"] and len(fruit) == len(TREE)
    assert (fruit["low"] < fruit["mean"]).all() and (fruit["mean"] < fruit["high"]).all()


def test_data_frame_gives_its_column_names():
    frame = pandas.DataFrame({"first": Z1, "second": Z2})
    named = estimate(shape=frame)
    assert [slope.name for slope in named.slopes] == ["first", "second"]
    assert named.mean_dm_pct == estimate().mean_dm_pct


def test_tree_labels_may_be_anything_with_a_name():
    assert (
        estimate().readiness
        == maturity.estimate_block(
            [f"row {tree}" for tree in TREE],
            shape=numpy.column_stack([Z1, Z2]),
            oven=pandas.Series(OVEN, dtype=float),
            use_shape="on",
            minimum_dm_pct=15,
        ).readiness
    )


def test_estimate_survives_pickle_and_json():
    result = estimate()
    again = pickle.loads(pickle.dumps(result))
    assert again.to_dict() == result.to_dict()
    json.dumps(result.to_dict(), allow_nan=False)
    assert "decision='" in repr(result)


def test_a_meter_slope_that_is_not_known_widens_the_result():
    given = {"meter": [dm + 1 if dm else 17.0 for dm in OVEN], "use_shape": "off"}
    exact = estimate(**given)
    unknown = estimate(**given, meter_slope=0.85, meter_slope_sd=0.12)
    assert exact.meter_slope is None
    assert unknown.meter_slope[1] > 0
    assert unknown.psi_sd > exact.psi_sd
    with pytest.raises(ValueError, match="meter_slope_sd"):
        estimate(**given, meter_slope_sd=0.9)


def test_no_dry_matter_gives_none_and_says_so():
    result = maturity.estimate_block([1, 2, 3], oven=[None] * 3, minimum_dm_pct=15)
    assert result.mean_dm_pct is None and result.readiness is None
    assert "no_dry_matter" in result.flags
    assert result.fruit["mean"].isna().all()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"oven": OVEN[:-1]}, "oven"),
        ({"oven": [180.0] + OVEN[1:]}, "180"),
        ({"oven": [OVEN[0], "16,5"] + OVEN[2:]}, "oven, fruit 2: '16,5': expected numbers"),
        ({"oven": [[1.0]]}, "oven: expected one number"),
        ({"minimum_dm_pct": 100}, "minimum_dm_pct"),
        ({"confidence": 1.0}, "confidence"),
        ({"rule": "median"}, "median"),
        ({"use_shape": "maybe"}, "maybe"),
        ({"included": [True]}, "included"),
    ],
)
def test_misuse_is_a_value_error_that_names_it(changes, words):
    given = {"oven": OVEN, "minimum_dm_pct": 15, **changes}
    with pytest.raises(ValueError, match=words):
        maturity.estimate_block(TREE, **given)


def test_blank_tree_is_refused():
    with pytest.raises(ValueError, match="tree"):
        maturity.estimate_block([1, None, 2], oven=[15, 16, 17], minimum_dm_pct=15)


def test_forecast_gives_the_worked_cases():
    """COMPUTED by the project's prototype."""
    one = maturity.forecast_readiness(
        [0, 7, 14], [13.2, 13.9, 14.3], [0.35, 0.30, 0.30], minimum_dm_pct=15
    )
    assert [one.level, one.gain_per_week] == pytest.approx([14.383698, 0.582088], abs=2e-6)
    chances = [one.probability(day) for day in (14, 21, 28, 35)]
    assert chances == pytest.approx([0.018026, 0.474253, 0.749395, 0.845364], abs=2e-6)
    assert one.earliest_day is None and one.no_date == "beyond_horizon"
    two = maturity.forecast_readiness(
        [0, 7, 14, 21],
        [13.0, 13.8, 14.1, 14.9],
        [0.3, 0.3, 0.3, 0.25],
        minimum_dm_pct=15,
        shared_sd=math.sqrt(0.03),
    )
    assert two.earliest_day == 29
    assert pickle.loads(pickle.dumps(two)).to_dict() == two.to_dict()


def test_more_samples_says_how_many():
    result = maturity.estimate_block(
        TREE,
        oven=[15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18, 16.9, 15.7, 16.4, 16, 17],
        minimum_dm_pct=15,
    )
    assert result.decision == "sample_more"
    plan = maturity.more_samples(result)
    assert plan.outcome in {"plan", "cannot_settle"}
    assert plan.trees + plan.oven > 0
    with pytest.raises(ValueError):
        maturity.more_samples(result, settle=2)


def test_dry_matter_gives_the_published_example():
    """Formula of Title 3 California Code of Regulations s. 1408.3 (READ); value COMPUTED twice."""
    assert maturity.dry_matter_pct(45.12, 65.47, 48.23) == pytest.approx(15.282555, abs=5e-7)
    for impossible in ((45, 65, 44), (45, 45, 45), (45, 65, 66), (45, math.nan, 50)):
        with pytest.raises(ValueError):
            maturity.dry_matter_pct(*impossible)


def test_outline_of_an_ellipse_has_its_closed_form():
    angle = numpy.linspace(0, 2 * math.pi, 512, endpoint=False)
    outline = numpy.column_stack([60 * numpy.cos(angle), 40 * numpy.sin(angle)])
    shape = maturity.describe_outline(outline, stem=(-60, 0), nose=(60, 0), ventral_side=1)
    assert shape.descriptors["elongation"] == pytest.approx(1.5, abs=0.01)
    # Area of the end quarter of an ellipse over its rectangle: 2 (pi/6 - sqrt(3)/8).
    expected = 2 * (math.pi / 6 - math.sqrt(3) / 8)
    assert shape.descriptors["shoulder_fill"] == pytest.approx(expected, abs=0.005)
    assert set(shape.descriptor_se) == set(shape.descriptors)
    assert shape.ventral_side == 1 and pickle.loads(pickle.dumps(shape)).stem.shape == (2,)


@pytest.mark.parametrize(
    "outline",
    [
        numpy.zeros((5, 2)),
        numpy.zeros((40, 3)),
        numpy.full((40, 2), numpy.nan),
        "outline",
        [[0, 0], [1, 1], [1, 0], [0, 1]] * 8,
    ],
)
def test_outline_that_is_none_is_a_value_error(outline):
    with pytest.raises(ValueError):
        maturity.describe_outline(outline)


def test_proportion_interval_gives_the_published_values():
    """5 of 25: exact 0.068 to 0.407 (Conover 1999, READ as cited), score interval COMPUTED."""
    exact = maturity.proportion_interval(5, 25, method="clopper-pearson")
    assert exact == pytest.approx((0.068311464, 0.407037432), abs=1e-8)
    assert maturity.proportion_interval(5, 25) == pytest.approx(
        (0.0886058469, 0.391309504), abs=1e-8
    )
    with pytest.raises(ValueError, match="wald"):
        maturity.proportion_interval(5, 25, method="wald")


def test_tolerance_factor_gives_the_exact_value():
    """43 pieces, 90 % at 99 %: 1.87395 (COMPUTED twice; NIST handbook 7.2.6.3: 1.8740, MEMORY)."""
    factor = maturity.tolerance_factor(43, share=0.90, confidence=0.99)
    assert factor == pytest.approx(1.87395, abs=1e-5)


def test_acceptance_probability_is_the_binomial_sum():
    expected = sum(math.comb(50, k) * 0.04**k * 0.96 ** (50 - k) for k in range(3))
    assert maturity.acceptance_probability(50, 2, 0.04) == pytest.approx(expected, abs=1e-12)
    # The whole lot is looked at: certain.
    assert maturity.acceptance_probability(100, 4, 0.04, lot=100) == pytest.approx(1)
    assert maturity.acceptance_probability(100, 3, 0.04, lot=100) == pytest.approx(0)


def test_degree_days_take_one_day_or_many():
    """Single sine, thresholds 12 and 32 degrees C, horizontal cut-off: COMPUTED twice."""
    options = {"lower": 12, "upper": 32, "method": "single_sine"}
    assert maturity.degree_days(20, 36, **options) == pytest.approx(15.12801775, abs=1e-7)
    many = maturity.degree_days([8, 5], [26, 11], **options)
    assert many == pytest.approx([5.819484979, 0], abs=1e-8)
    with pytest.raises(ValueError):
        maturity.degree_days(25, 15, **options)
    with pytest.raises(ValueError, match="guess"):
        maturity.degree_days(15, 25, lower=10, method="guess")


def test_agreement_of_shifted_values_is_all_bias():
    reference = [14.0, 15.0, 16.5, 17.0, 18.0, 15.5]
    result = maturity.agreement(reference, [value + 1 for value in reference])
    assert result.bias == pytest.approx(1) and result.sep == pytest.approx(0, abs=1e-12)
    assert result.rmsep == pytest.approx(1)
    with pytest.raises(ValueError):
        maturity.agreement(reference, reference[:-1])


def test_about_names_versions():
    assert {"maturity", "method", "numpy"} <= set(maturity.about())


@pytest.mark.parametrize(
    "module",
    "about blocks dry_matter heat_units photos plain_statistics planning scoring season.season "
    "shapes clearance walk.plan picked_fruit calibrating picking report "
    "heat_outlook walk.progress pooling guide".split(),
)
def test_examples_of_the_docstrings_run(module):
    result = doctest.testmod(importlib.import_module(f"maturity.{module}"))
    assert result.failed == 0 and result.attempted > 0


def test_every_public_function_says_what_it_takes_gives_and_throws_with_an_example():
    for name in maturity.__all__:
        doc = getattr(maturity, name).__doc__
        for section in ("Returns", "Examples"):
            assert f"{section}\n    {'-' * len(section)}\n" in doc, (name, section)
        if name not in ("about", "flag_sentences"):
            assert "Parameters\n    ----------\n" in doc and "Raises\n    ------\n" in doc, name
