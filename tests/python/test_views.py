"""How results look in Python: tidy tables, plots on axes, pages in notebooks."""

from __future__ import annotations

import dataclasses
import importlib
import pkgutil
import re

import matplotlib
import numpy
import pandas
import pytest
from matplotlib import pyplot
from matplotlib.axes import Axes
from every_result import OVEN, every_result
from measured_season import measured_results
from sample_photos import SAMPLE_SEASON

import maturity
from maturity import _core
from maturity.calibrating import calibrate_season

matplotlib.use("Agg")

#: Results without a picture, and why; every other one has `plot`.
NO_PICTURE = {
    "season": "files and problems",
    "clearance": "a state and its reasons",
    "entry": "a state and its reasons",
    "drying": "a state; its weighings stay with the user",
    "run": "a list of files",
    "heat_sum": "one sum",
    "turn": "days of an order; PickingDays draws them",
    "look": "a threshold; WalkAnswer draws it with the chance it is held against",
    "cost": "amounts in four units",
}
#: Types of the library with fields that are parts of a result or what a question is made of.
PARTS = set(
    "BlockBias BlockCounts BlockRule BoardMatch BinCheck BinOutcome CalibrationSource ChartPoint "
    "FloweringAddition FloweringEstimate "
    "ClusteredAgreement LeftOutReadings MeterSlope ShapeValidation "
    "CostRange Descriptors Duplicates FruitEstimate FruitMass MeterValue OvenReading PickingBlock "
    "PlainMean Pose ReferenceRange ShapeCut ShareRange ShrunkValue SlopeEstimate ToleranceCheck "
    "WalkRoute WalkVariances WholeShare".split()
)
#: Parts of results of the package, which their owners show.
INSIDE = set(
    "HeatNote LeftOut LoadRule Problem Round RowDesign ShapeRange Stop Tolerances TwoLooks".split()
)


@pytest.fixture(autouse=True)
def close_figures():
    yield
    pyplot.close("all")


@pytest.fixture(name="results", scope="module")
def one_of_each(tmp_path_factory):
    return every_result(tmp_path_factory.mktemp("results"))


def test_plot_draws_on_the_axes_given_and_returns_them(results):
    for name, one in results.items():
        assert hasattr(one, "plot") != (name in NO_PICTURE), name
        if name in NO_PICTURE or name == "agreement":
            continue
        mine = pyplot.subplots()[1]
        assert one.plot(ax=mine) is mine, name
        assert mine.lines or mine.collections or mine.images or mine.patches, name
        new = one.plot()
        assert isinstance(new, Axes) and new is not mine, name
        pyplot.close("all")


def test_table_is_tidy_with_units_in_names(results):
    for name, one in results.items():
        frame = one.to_frame()
        assert isinstance(frame, pandas.DataFrame) and len(frame), name
        assert all(re.fullmatch(r"[a-z][a-z0-9_]*", column) for column in frame.columns), name
        lists = frame.applymap(lambda cell: isinstance(cell, (list, tuple, dict))).any()
        assert not lists.any(), (name, list(frame.columns[lists]))
        assert frame.columns.is_unique, name


def test_notebook_page_has_a_table_and_words_and_needs_no_styles(results):
    for name, one in results.items():
        text = one._repr_html_()
        assert "<table" in text and "</table>" in text, name
        assert not re.search(r">(None|nan|NaT|True|False)<", text), name
        assert text.count("<") == text.count(">"), name
        assert "style" not in text and "class=" not in text, name


def test_a_result_prints_as_a_line_or_so(results):
    assert [name for name, one in results.items() if len(repr(one)) > 1200] == []


def test_every_type_of_the_library_is_among_them_or_a_part(results):
    """A new type with fields must be looked at: it is a result, or it is named a part."""
    types = [kind for kind in vars(_core).values() if isinstance(kind, type)]
    kinds = {kind.__name__: kind for kind in types if hasattr(kind, "to_dict")}
    seen = {type(one).__name__ for one in results.values()}
    assert set(kinds) - seen - PARTS == set() and PARTS <= set(kinds) and not PARTS & seen
    for name, kind in kinds.items():
        assert hasattr(kind, "to_frame") and hasattr(kind, "_repr_html_"), name


def test_every_record_of_the_package_has_its_views(results):
    """Whatever class of the package has `to_dict` is a result, or a part named above."""
    found = {}
    for module in pkgutil.walk_packages(maturity.__path__, "maturity."):
        if any(part in module.name for part in (".commands", "__main__", "_core", ".views")):
            continue
        for name, kind in vars(importlib.import_module(module.name)).items():
            here = isinstance(kind, type) and kind.__module__ == module.name
            if here and "to_dict" in vars(kind):
                found[name] = kind
    seen = {type(one).__name__ for one in results.values()}
    assert {name for name, kind in found.items() if not hasattr(kind, "_repr_html_")} == INSIDE
    assert set(found) - INSIDE <= seen and len(found) > 15


def test_checks_of_picked_fruit_have_a_table_for_each_thing(results):
    made = results["picked"]
    for of in ("crews", "bins", "days", "loads", "damage", "contact"):
        frame = made.to_frame(of)
        assert len(frame), of
        if "share" in frame:
            assert frame["share"].dropna().between(0, 1).all()
    assert set(made.to_frame("damage")["seen_at"]) == {"arrival", "held"}
    with pytest.raises(ValueError, match="of: 'cost'"):
        made.to_frame("cost")


def test_a_plot_that_cannot_be_says_why(results):
    empty = dataclasses.replace(results["progress"], answers=[])
    with pytest.raises(ValueError, match="no round is complete"):
        empty.plot()
    load = dataclasses.replace(results["load"], decisions={})
    with pytest.raises(ValueError, match="no rule of limits.csv"):
        load.plot()


def test_the_walk_is_drawn_where_its_trees_stand(results):
    plan = results["walk"]
    numbers = {text.get_text() for text in plan.plot().texts}
    assert numbers == {str(number) for number in range(1, 15)}
    frame = plan.to_frame()
    assert len(frame) == 14 * 2 and frame["dry"].sum() == 14
    assert set(frame["tree"]) == set(plan.tree_names)


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
    assert {"cultivar", "descriptor", "slope_pct_per_unit"} <= set(made.to_frame().columns)
    assert "Velorine" in made._repr_html_()
