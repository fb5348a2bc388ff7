"""How results look in Python: tidy tables, plots on axes, pages in notebooks."""

from __future__ import annotations

import re

import matplotlib
import numpy
import pandas
import pytest
from matplotlib import pyplot
from matplotlib.axes import Axes
from measured_season import measured_results, sample_score
from sample_photos import SAMPLE_SEASON, sample_photos

import maturity
from maturity.calibrating import calibrate_season

matplotlib.use("Agg")
OVEN = [15.9, 16.8, 17.2, 15.1, 14.6, 16.3, 18.0, 16.9, 15.7, 16.4]
TREES = [1, 1, 2, 2, 3, 3, 4, 4, 5, 5]


@pytest.fixture(autouse=True)
def close_figures():
    yield
    pyplot.close("all")


def ellipse():
    turn = numpy.linspace(0, 2 * numpy.pi, 400, endpoint=False)
    outline = numpy.column_stack([60 * numpy.cos(turn), 45 * numpy.sin(turn)])
    return maturity.describe_outline(outline, stem=(-60, 0), nose=(60, 0), ventral_side=1)


@pytest.fixture(name="results", scope="module")
def one_of_each():
    calibration = calibrate_season(SAMPLE_SEASON, results=measured_results())
    return {
        "estimate": maturity.estimate_block(TREES, oven=OVEN, minimum_dm_pct=15),
        "forecast": maturity.forecast_readiness(
            [0, 7, 14], [13.2, 13.9, 14.3], [0.35, 0.3, 0.3], minimum_dm_pct=15
        ),
        "photo": maturity.measure_photos(sample_photos(1))[0],
        "shape": ellipse(),
        "slopes": calibration.shape["Velorine"],
        "meter": next(iter(calibration.meters.values())),
        "score": sample_score(),
        "visit": sample_score().latest()[2],
        "outlook": sample_score().outlooks[0],
    }


NAMES = "estimate forecast photo shape slopes meter score visit outlook".split()


@pytest.mark.parametrize("name", NAMES)
def test_plot_draws_on_the_axes_given_and_returns_them(results, name):
    mine = pyplot.subplots()[1]
    assert results[name].plot(ax=mine) is mine
    assert mine.lines or mine.collections or mine.images
    new = results[name].plot()
    assert isinstance(new, Axes) and new is not mine


@pytest.mark.parametrize("name", NAMES)
def test_table_is_tidy_with_units_in_names(results, name):
    frame = results[name].to_frame()
    assert isinstance(frame, pandas.DataFrame) and len(frame)
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", column) for column in frame.columns)
    assert not frame.applymap(lambda cell: isinstance(cell, (list, tuple, dict))).any().any()


@pytest.mark.parametrize("name", [name for name in NAMES if name != "outlook"])
def test_notebook_page_has_a_table_and_words(results, name):
    text = results[name]._repr_html_()
    assert "<table>" in text and "</table>" in text and "None" not in text and "nan" not in text
    assert text.count("<") == text.count(">")


def test_estimate_page_says_the_decision_and_why(results):
    text = results["estimate"]._repr_html_()
    assert "sample more" in text and "does not settle it either way" in text


def test_text_from_files_is_never_markup():
    estimate = maturity.measure_photos(["<script>x</script>.jpg"])[0]
    assert "<script>" not in estimate._repr_html_() and "&lt;script&gt;" in estimate._repr_html_()


def test_plotted_numbers_are_those_of_the_estimate(results):
    ax = results["estimate"].plot()
    shown = numpy.sort(ax.lines[0].get_ydata())
    assert shown == pytest.approx(numpy.sort(results["estimate"].fruit["mean"]))
    frame = results["forecast"].to_frame()
    assert frame["chance"].iloc[7] == results["forecast"].probability(21)


def test_agreement_draws_pairs_and_refuses_lists_that_differ():
    result = maturity.agreement(OVEN, [one + 0.5 for one in OVEN])
    ax = result.plot(OVEN, [one + 0.5 for one in OVEN])
    assert any("+0.50" in text.get_text() for text in ax.get_legend().get_texts())
    assert list(result.to_frame()["bias"]) == pytest.approx([0.5])
    assert "bias" in result._repr_html_()
    with pytest.raises(ValueError, match="one list each"):
        result.plot(OVEN, OVEN[:-1])


def test_calibration_of_a_season_has_a_table():
    made = calibrate_season(SAMPLE_SEASON, results=measured_results())
    assert {"cultivar", "descriptor", "slope"} <= set(made.to_frame().columns)
    assert "Velorine" in made._repr_html_()
