"""Shape against other people's code and a twin of its own in numpy; skipped aloud where missing."""

import importlib.util
import math
import pathlib
import sys

import numpy
import pytest

import maturity
from maturity import _core

BENCHMARKS = pathlib.Path(__file__).resolve().parents[2] / "tools" / "benchmarks"


@pytest.fixture(scope="module")
def comparison():
    """The benchmark's module: a numpy version of every descriptor, and outlines to try it on."""
    if not BENCHMARKS.is_dir():
        pytest.skip(f"{BENCHMARKS} is not here: tested outside the source tree")
    sys.path.insert(0, str(BENCHMARKS))
    spec = importlib.util.spec_from_file_location("compare_numpy", BENCHMARKS / "compare_numpy.py")
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    yield module
    sys.path.remove(str(BENCHMARKS))


def test_numpy_twin_gives_the_same_values(comparison, capsys):
    comparison.worst_differences(comparison.invented_outlines(12))
    assert "elongation" in capsys.readouterr().out


def test_a_wrong_twin_would_be_noticed(comparison, monkeypatch):
    def half_a_per_cent_off(*given):
        values = comparison_describe(*given)
        return {**values, "end_balance": values["end_balance"] * 1.005}

    comparison_describe = comparison.describe
    monkeypatch.setattr(comparison, "describe", half_a_per_cent_off)
    with pytest.raises(SystemExit, match="end_balance"):
        comparison.worst_differences(comparison.invented_outlines(3))


def bean(points=180):
    """A closed outline, not symmetric, points unevenly spaced."""
    angle = numpy.linspace(0, 2 * math.pi, points, endpoint=False)
    angle = angle + 0.2 * numpy.sin(angle)
    radius = 50 + 8 * numpy.cos(angle - 0.4) + 4 * numpy.sin(2 * angle) + 2 * numpy.cos(5 * angle)
    return numpy.column_stack([1.4 * radius * numpy.cos(angle), radius * numpy.sin(angle)])


def assert_same_coefficients(theirs, ours):
    numpy.testing.assert_allclose(theirs, ours, rtol=0, atol=1e-9 * numpy.abs(ours).max())


def test_elliptic_fourier_agrees_with_pyefd():
    """pyefd 1.7 or newer (its older versions leave the closing side to the caller)."""
    pyefd = pytest.importorskip("pyefd", reason="pyefd is not installed (pip install pyefd)")
    closed = numpy.vstack([bean(), bean()[:1]])
    theirs = pyefd.elliptic_fourier_descriptors(closed, order=12, normalize=False)
    ours = numpy.array(_core.elliptic_fourier(bean(), 12))
    assert_same_coefficients(theirs, ours)
    with pytest.raises(AssertionError):  # another start is another set of coefficients
        assert_same_coefficients(
            theirs, numpy.array(_core.elliptic_fourier(numpy.roll(bean(), 1, axis=0), 12))
        )


def test_elliptic_fourier_agrees_with_ktch():
    pytest.importorskip("ktch", reason="ktch is not installed (pip install ktch)")
    from ktch.harmonic import EllipticFourierAnalysis

    analysis = EllipticFourierAnalysis(n_harmonics=12, norm=False)
    closed = numpy.vstack([bean(), bean()[:1]])
    # Rows a, b, c, d; the first column is the constant, which ours leaves out.
    theirs = numpy.asarray(analysis.fit_transform([closed]))[0].reshape(4, 13)[:, 1:].T
    assert_same_coefficients(theirs, numpy.array(_core.elliptic_fourier(bean(), 12)))


@pytest.mark.parametrize("turn_deg", [0.0, 37.0])
def test_clean_shapes_agree_with_scikit_image(turn_deg):
    """regionprops of an ellipse and of a notched egg drawn on a grid of 1,600 pixels."""
    measure = pytest.importorskip(
        "skimage.measure", reason="scikit-image is not installed (python3-skimage)"
    )
    draw = pytest.importorskip("skimage.draw")
    turn = math.radians(turn_deg)
    basis = numpy.array([[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]])
    angle = numpy.linspace(0, 2 * math.pi, 2000, endpoint=False)
    ellipse = numpy.column_stack([600 * numpy.cos(angle), 400 * numpy.sin(angle)])
    notch = 1 - 0.3 * numpy.exp(-(((angle - math.pi) / 0.25) ** 2))
    notched = ellipse * notch[:, None] * (1 - 0.0002 * ellipse[:, :1])
    for shape, symmetric in ((ellipse, True), (notched, False)):
        outline = shape @ basis + 800
        image = draw.polygon2mask((1600, 1600), outline[:, ::-1]).astype(int)
        (region,) = measure.regionprops(image)
        stem, nose = outline[1000], outline[0]
        ours = maturity.describe_outline(outline, stem=stem, nose=nose, ventral_side=1)
        assert ours.descriptors["solidity"] == pytest.approx(region.solidity, abs=0.004)
        if symmetric:
            ratio = region.axis_major_length / region.axis_minor_length
            assert ours.descriptors["elongation"] == pytest.approx(ratio, abs=0.003)
            # Crofton's perimeter, a few per mille off on a grid.
            circularity = 4 * math.pi * region.area / region.perimeter_crofton**2
            assert ours.descriptors["circularity"] == pytest.approx(circularity, abs=0.01)
        else:
            assert region.solidity < 0.98  # the notch is there


def test_nose_roundness_is_wadells_on_a_shape_with_one_corner():
    """Wadell H. (1935) J. Geol. 43:250-280: radius of the corner over that of the largest inscribed
    disc (form from memory). Two circles in a band that touches both: the small one is the corner.
    """
    big, small, apart = 40.0, 15.0, 60.0
    touch = math.acos((big - small) / apart)
    on_small = numpy.linspace(-touch, touch, 300)
    on_big = numpy.linspace(touch, 2 * math.pi - touch, 500)
    corner = small * numpy.column_stack([numpy.cos(on_small), numpy.sin(on_small)])
    body = big * numpy.column_stack([numpy.cos(on_big), numpy.sin(on_big)])
    outline = numpy.vstack([corner + [apart, 0], body])
    shape = maturity.describe_outline(
        outline, stem=(-big, 0), nose=(apart + small, 0), ventral_side=1
    )
    assert shape.descriptors["nose_roundness"] == pytest.approx(small / big, rel=0.01)


def test_state_names_are_words_with_their_source():
    values = maturity.describe_outline(bean()).descriptors
    names = maturity.state_names({**values, "nose_roundness": 0.6, "stem_hollow": None})
    assert {"character": "apex shape", "state": "obtuse"}.items() <= {
        k: v for one in names if one["character"] == "apex shape" for k, v in one.items()
    }.items()
    assert "depth of stalk cavity" not in [one["character"] for one in names]
    assert {one["edition"] for one in names} == {"2006"}
    assert not any(letter.isdigit() for one in names for letter in one["state"])
    assert "own choice" in _core.state_name_warning
    with pytest.raises(ValueError, match="girth"):
        maturity.state_names({"girth": 1.0})


def test_intraclass_correlation_gives_the_published_example():
    """Shrout P.E., Fleiss J.L. (1979) Psychol. Bull. 86:420-428: six things, four judges, ICC(2,1)
    0.29 (numbers from memory)."""
    studies = BENCHMARKS.parent / "studies" / "repeated_measures.py"
    if not studies.is_file():
        pytest.skip(f"{studies} is not here: tested outside the source tree")
    spec = importlib.util.spec_from_file_location("repeated_measures", studies)
    module = sys.modules["repeated_measures"] = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    judged = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]]
    found = module.intraclass_correlation(numpy.array(judged, float))
    assert found == pytest.approx(0.29, abs=0.005)
    # The judges differ in level: a correlation that forgives that would be far larger.
    level = numpy.array(judged, float) - numpy.mean(judged, axis=0)
    assert module.intraclass_correlation(level) > 0.6


def test_table_of_fruit_has_state_names_where_asked():
    from maturity.commands.measured_table import fruit_columns, photo_rows

    fruit = dict.fromkeys(("fruit", "length_mm", "width_mm", "mass_g_estimate", "ventral_side"), 1)
    values = {"nose_roundness": 0.6, "stem_hollow": 0.004}
    fruit |= {"usable": True, "flags": [], "descriptors": values, "descriptor_se": {}}
    photo = {"error": None, "flags": [], "mm_per_px": 0.5, "tilt_deg": 1.0}
    photo["fruits"] = [fruit, {**fruit, "usable": False}]
    columns = fruit_columns(values, state_names=True)
    usable, doubtful = photo_rows("a.jpg", photo, state_names=True)
    assert {"state_apex_shape", "state_scheme", "state_edition", "state_note"} <= set(columns)
    assert (usable["state_apex_shape"], usable["state_depth_of_stalk_cavity"]) == (
        "obtuse",
        "shallow",
    )
    assert usable["state_edition"] == "2006" and "own" in usable["state_note"]
    assert "state_apex_shape" not in doubtful  # a fruit that must not be scored is not named either
    assert not [one for one in fruit_columns(values) if one.startswith("state_")]
