"""Boards whose fruit have independent traits, and the study of them; planned, never rendered."""

from __future__ import annotations

import contextlib
import importlib
import json
import sys
from dataclasses import asdict, replace
from importlib.machinery import SourceFileLoader
from importlib.util import module_from_spec, spec_from_loader
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from sample_season import FRUIT
from scipy.stats import spearmanr

TOOLS = Path(__file__).resolve().parents[2] / "tools"


@contextlib.contextmanager
def modules_of(folder, *names):
    """Modules of a folder of programs, none of which stays importable afterwards."""
    if not folder.is_dir():
        pytest.skip(f"{folder} is not here: tested outside the source tree")
    own = {path.stem for path in folder.glob("*.py")}
    hidden = {name: sys.modules.pop(name) for name in own & set(sys.modules)}
    sys.path.insert(0, str(folder))
    try:
        yield SimpleNamespace(**{name: importlib.import_module(name) for name in names})
    finally:
        sys.path.remove(str(folder))
        for name in own & set(sys.modules):
            del sys.modules[name]
        sys.modules.update(hidden)


@pytest.fixture(scope="module")
def boards():
    names = ("curved_shape", "fruit_shape", "independent_traits", "orchard", "truth")
    with modules_of(TOOLS / "render_season", *names) as modules:
        yield modules


@pytest.fixture(scope="module")
def study():
    with modules_of(TOOLS / "studies", "rank_agreement", "trait_steps", "true_sections") as modules:
        loader = SourceFileLoader("traits_in_photos", str(TOOLS / "studies" / "traits_in_photos"))
        modules.program = module_from_spec(spec_from_loader(loader.name, loader))
        loader.exec_module(modules.program)
        yield modules


def curved(boards, seed=1, **changed):
    shape = boards.independent_traits.draw_shape("curves", np.random.default_rng(seed))
    return replace(shape, **changed)


def test_curves_with_the_usual_handles_make_a_circle(boards):
    """Four cubic curves with handles 4/3 (sqrt 2 - 1) leave the circle by 0.027 % at the most
    (Goldapp M. (1991) Computer Aided Geometric Design 8:227-238, figure from memory)."""
    usual = 4 / 3 * (np.sqrt(2) - 1)

    def farthest(handle):
        full = {"shoulder_ventral": handle, "shoulder_dorsal": handle, "nose": handle}
        shape = curved(
            boards, length_mm=100.0, width_mm=100.0, widest=0.5, bow=0.0, flank=usual, **full
        )
        return np.max(np.abs(np.hypot(*boards.curved_shape.body(shape).T) / 0.5 - 1))

    assert farthest(usual) == pytest.approx(2.73e-4, abs=3e-6)
    assert farthest(0.60) > 1e-2


def test_curved_features_stand_where_they_should(boards):
    """Against the same fruit without: a hollow leaves shoulders, a beak adds at its side."""

    def at(angle_deg, **features):
        bare = {"stem_hollow": 0.0, "beak_prominence": 0.0, "sinus_depth": 0.0, "stem_place": 0.0}
        outline = curved(boards, bow=0.0, **{**bare, **features}).outline()
        return outline.radius[round(angle_deg * len(outline.radius) / 360)]

    length = curved(boards).length_mm
    # Stretched back to the stated length, what a hollow takes from the end shows at the shoulders.
    assert min(at(side, stem_hollow=0.03) - at(side) for side in (150, 210)) > 0.01 * length
    beak = curved(boards).outline().beak
    where = np.degrees(np.arctan2(beak[1], beak[0]))
    assert 20 < where < 70
    assert at(where, beak_prominence=0.04) > at(where) + 0.02 * length
    assert at(360 - where, beak_prominence=0.04) == pytest.approx(at(360 - where), abs=0.5)
    assert at(90, sinus_depth=0.02) < at(90)


def farthest_from(points, line):
    """Of the points, to the nearest point of a line."""
    return np.hypot(*(points[:, None] - line[None]).transpose(2, 0, 1)).min(axis=1).max()


def test_season_outlines_are_as_committed(boards):
    """Nothing of the second outline maker changed the first."""
    for _, true in FRUIT[::40]:
        shape = boards.fruit_shape.ShapeParameters(**true["shape"])
        other = replace(shape, end_balance=shape.end_balance + 0.05)
        same, moved = (
            farthest_from(np.array(true["section_mm"]), one.points - one.stem)
            for one in (shape.outline(), other.outline())
        )
        assert same < 0.3  # points of the outline are half a millimetre apart
        assert moved > 0.5


def correlations(rows):
    """Greatest rank correlation between two different traits."""
    matrix = spearmanr(np.array([list(row.values()) for row in rows])).statistic
    return np.abs(matrix - np.eye(len(matrix))).max()


@pytest.mark.parametrize("model", ["season", "curves"])
def test_traits_are_independent(boards, model):
    traits = boards.independent_traits
    rng = np.random.default_rng(5)
    rows = [traits.traits_of(traits.draw_shape(model, rng)) for _ in range(600)]
    assert correlations(rows) < 4 / np.sqrt(600)
    with_signal = [
        traits.traits_of(boards.orchard.shape_of(rng.normal(15, 1.2), rng)[1]) for _ in range(600)
    ]
    assert correlations(with_signal) > 0.5


def test_boards_differ_and_come_out_the_same_again(boards):
    traits = boards.independent_traits
    first, again, other = (
        [asdict(fruit.shape) for fruit in traits.draw_fruit(board)] for board in (2, 2, 4)
    )
    assert first == again
    lengths = [one["length_mm"] for one in first + other]
    assert len(set(lengths)) == 2 * traits.FRUIT_PER_BOARD


def test_planned_board_is_true_to_its_fruit(boards):
    plan, scene = boards.independent_traits.plan_traits(3)
    truth = boards.truth.photo_truth(plan)
    # Far from the numbers of the season's photos and of the pairs, which seed skins and noise.
    assert plan.index == 1003
    assert len(truth["fruits"]) == 7 and truth["problem"] is None
    assert json.loads(json.dumps(truth)) == truth
    of_scene = boards.curved_shape.shape_from_values
    for fruit, drawn, true in zip(scene["fruits"], plan.fruit, truth["fruits"]):
        # What Blender builds from the scene's file is the very fruit of the truth.
        assert of_scene(json.loads(json.dumps(fruit["shape"]))) == drawn.shape
        section = np.array(true["section_mm"])
        assert np.ptp(section, axis=0) == pytest.approx(
            [true["length_mm"], true["width_mm"]], abs=0.1
        )
        assert true["ventral_side"] in (-1, 1)
        assert (true["fraction_in_frame"], true["occluded_fraction"]) == (1.0, 0.0)
        assert 60 < np.ptp(true["silhouette_px"], axis=0).min() < 400


def test_boards_take_turns_with_outlines_and_lights(boards, monkeypatch):
    traits = boards.independent_traits
    seen = []
    monkeypatch.setattr(traits, "plan_board", lambda *given, **named: seen.append(named))
    monkeypatch.setattr(traits, "scene_values", lambda plan: {})
    monkeypatch.setattr(traits, "draw_fruit", lambda board: [])
    for board in range(12):
        traits.plan_traits(board)
    pairs = {(traits.model_of(k), one["light"]) for k, one in enumerate(seen)}
    assert len(pairs) == len(traits.MODELS) * len(traits.LIGHTS)
    assert len({one["name"] for one in seen}) == len({one["index"] for one in seen}) == 12


def test_rank_correlation_is_that_of_scipy(study):
    rng = np.random.default_rng(2)
    values, trait = rng.integers(0, 8, 30).astype(float), rng.integers(0, 8, 30).astype(float)
    found = study.rank_agreement.rank_correlation(values, trait)
    assert found == pytest.approx(spearmanr(values, trait).statistic, abs=1e-12)


def test_interval_of_a_rank_correlation(study):
    agreement = study.rank_agreement.agreement_with_trait
    rng = np.random.default_rng(3)
    trait = rng.uniform(size=56)
    values = trait + rng.normal(0, 0.25, 56)
    found = agreement(np.append(values, np.nan), np.append(trait, 0.5))
    low, high = found.interval
    assert found.fruit == 56 and low < found.correlation < high
    # Fisher's z with the variance 1.06 / (n - 3) of Fieller, Hartley and Pearson (1957,
    # Biometrika 44:470-481, from memory): half or twice as wide would not be a 95 % interval.
    z, half = np.arctanh(found.correlation), 1.96 * np.sqrt(1.06 / 53)
    assert high - low == pytest.approx(np.tanh(z + half) - np.tanh(z - half), rel=0.4)
    few = agreement(values[:4], trait[:4])
    assert few.fruit == 0 and str(few) == ""


def seen_without_camera(boards, board):
    """Truth of a board whose photo would be faultless: sections drawn two px to the mm."""
    traits = boards.independent_traits
    fruits = []
    for k, fruit in enumerate(traits.draw_fruit(board)):
        outline = fruit.shape.outline()
        section = outline.points[::6] - outline.stem
        fruits.append(
            {
                "section_mm": section.tolist(),
                "silhouette_px": (2 * section + (400 * k, 300)).tolist(),
                "traits": traits.traits_of(fruit.shape),
            }
        )
    return {"fruits": fruits}


@pytest.fixture(scope="module")
def measured(boards, study):
    truths = [seen_without_camera(boards, board) for board in (0, 2, 4)]
    photos = [
        {
            "fruits": [
                {
                    "outline_px": true["silhouette_px"],
                    "usable": True,
                    "descriptors": study.true_sections.section_values(true),
                }
                for true in truth["fruits"]
            ]
        }
        for truth in truths
    ]
    return photos, truths


def test_descriptors_follow_their_traits_where_nothing_is_lost(study, measured, capsys):
    steps = study.trait_steps
    fruit = steps.usable_fruit(*measured)
    assert len(fruit) == 21
    for descriptor in steps.PAIRS:
        photo, *_, section = steps.agreements(fruit, descriptor)
        assert photo == section and section.correlation > 0.5, descriptor
    strong = steps.agreements(fruit, "beak_prominence")
    assert all(one.correlation > 0.85 for one in strong), strong
    # The same numbers beside other fruit's traits: nothing of it may be left.
    turned = [
        steps.TraitFruit(other.traits, one.steps)
        for one, other in zip(fruit, [*fruit[8:], *fruit[:8]])
    ]
    assert abs(steps.agreements(turned, "beak_prominence")[-1].correlation) < 0.5
    steps.print_traits(fruit)
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) == 2 + len(steps.PAIRS)
    assert all(line.count("|") == lines[0].count("|") and "nan" not in line for line in lines)


def test_doubtful_and_missed_fruit_are_left_out(study, measured):
    photos, truths = json.loads(json.dumps(measured))
    photos[0]["fruits"][0]["usable"] = False
    del photos[1]["fruits"][3]
    assert len(study.trait_steps.usable_fruit(photos, truths)) == 19


def test_folder_without_such_boards_is_refused(study, tmp_path):
    with pytest.raises(SystemExit, match="no board with its truth"):
        study.program.read_boards(tmp_path)
    for folder, name in (("photos", "board_01_a.jpg"), ("truth", "board_01_a.json")):
        (tmp_path / folder).mkdir()
        (tmp_path / folder / name).write_text("{}")
    with pytest.raises(SystemExit, match="render_traits"):
        study.program.read_boards(tmp_path)
