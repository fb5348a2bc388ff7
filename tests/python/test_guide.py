"""The picking guide: only where shape separates fruit, pairs of one size, true on paper."""

from __future__ import annotations

import csv
import dataclasses
import datetime
import json
import re
import string
import sys
from pathlib import Path

import pytest
from measured_season import measured_results, sample_score
from PIL import Image
from printed_pages import DOTS_PER_MM, ink_box_mm, longest_line_mm, page_pictures, page_texts
from sample_photos import SAMPLE_SEASON
from sample_season import true_fruit

from maturity import _core
from maturity.blocks import block_question
from maturity.commands import main
from maturity.guide import write_guide
from maturity.guide.basis import _NO_SHAPE, GuideBasis, guide_basis
from maturity.guide.content import CAUTIONS, guide_content
from maturity.guide.pairs import (
    SIZE_SHARE,
    Pair,
    choose_pairs,
    pointers,
    practice_fruit,
    size_differs,
)
from maturity.guide.sheets import dry_matter_text
from maturity.guide.words import languages, read_words
from maturity.paper import write_pages

EARLY = datetime.date(2025, 11, 11)
#: Its shape separates fruit on the early visit, and not on the latest.
NO_SHAPE_NOW = "Quarry"


@pytest.fixture(name="quarry", scope="module")
def basis_that_separates() -> GuideBasis:
    return guide_basis(sample_score(), "Quarry", date=EARLY)


def pair_is_sound(pair: Pair, minimum: float) -> bool:
    """Equal in size; clear of the minimum on either side with the margin of 4 in 5 chances."""
    take, leave = pair.take, pair.leave
    return (
        abs(take.length_mm / leave.length_mm - 1) <= SIZE_SHARE
        and abs(take.area_mm2 / leave.area_mm2 - 1) <= SIZE_SHARE
        and take.mean_dm_pct - 0.84 * take.sd_pct >= minimum
        and leave.mean_dm_pct + 0.84 * leave.sd_pct < minimum
    )


def test_pairs_are_of_one_size_and_clear_of_the_minimum(quarry):
    pairs = choose_pairs(quarry)
    assert len(pairs) >= 2 and all(pair_is_sound(pair, 15.0) for pair in pairs)
    names = [one.name for pair in pairs for one in (pair.take, pair.leave)]
    assert len(set(names)) == len(names)
    # Wrong on purpose: the largest fruit to take beside the smallest to leave.
    big = max((p.take for p in pairs), key=lambda one: one.area_mm2)
    small = min(quarry.fruit, key=lambda one: one.area_mm2)
    assert size_differs(big, small) > SIZE_SHARE and not pair_is_sound(Pair(big, small), 15.0)


def test_fruit_shown_are_in_truth_what_they_are_shown_as(quarry):
    """Against the true dry matter of the rendered fruit, which the library never reads."""
    truth = true_fruit()
    for pair in choose_pairs(quarry):
        for fruit, mature in ((pair.take, True), (pair.leave, False)):
            true = truth[("Quarry", fruit.tree, EARLY.isoformat(), fruit.number)]
            assert (true["dm_pct"] >= 15.0) == mature, fruit.name
            assert fruit.length_mm == pytest.approx(true["length_mm"], rel=0.03)


def test_pointers_agree_with_every_pair(quarry):
    pairs = choose_pairs(quarry)
    directions = {one["name"]: one["with_maturity"] for one in _core.descriptor_registry()}
    named = pointers(quarry, pairs, {name: directions[name] for name in quarry.visit.descriptors})
    assert named
    for name in named:
        for pair in pairs:
            step = pair.take.descriptors[name] - pair.leave.descriptors[name]
            assert step * directions[name] > 0
    swapped = [Pair(one.leave, one.take) for one in pairs]
    assert pointers(quarry, swapped, {name: directions[name] for name in named}) == []


def test_shape_that_tells_nothing_gives_one_clear_page(tmp_path):
    made = write_guide(sample_score(), NO_SHAPE_NOW, tmp_path, paper="a3")
    content = made.content
    assert not content.teaches and content.cut is None and content.pairs == []
    (page,) = page_texts(tmp_path / "guide.pdf")
    assert "Shape cannot separate fruit here: cut or measure" in page
    assert "Lower it by hand" in page and "Sap burns skin and eyes" in page
    assert "TAKE" not in page
    assert "--date 2025-11-11" in " ".join(content.next_steps)


@pytest.mark.parametrize("language", ["es", "fr"])
def test_clear_page_says_its_reasons_in_the_language_asked_for(language, tmp_path):
    english = guide_content(guide_basis(sample_score(), NO_SHAPE_NOW), read_words("en"))
    made = write_guide(sample_score(), NO_SHAPE_NOW, tmp_path, language=language)
    page = " ".join(" ".join(page_texts(tmp_path / "guide.pdf")).split())
    content = made.content
    for text, other in zip(
        [*content.reasons, *content.next_steps], [*english.reasons, *english.next_steps]
    ):
        assert text != other
        # Columns of the page cut lines: words in their order are enough.
        assert all(word in page for word in text.split()), text
    for text in english.reasons:
        assert text[:40] not in page
    assert read_words(language)("unchecked")[:30] in page


def test_reasons_of_the_table_are_those_of_the_library():
    """The English column holds the library's own sentences, word for word."""
    source = (Path(__file__).parents[2] / "libmaturity/readiness/block_flags.cpp").read_text(
        "utf-8"
    )
    sentences = re.sub(r'"\s*\n\s*"', "", source)
    for flag in _NO_SHAPE:
        assert f'{{"{flag}",' in sentences
        assert f'"{read_words("en")(f"flag_{flag}")}"' in sentences, flag


def test_dry_matter_of_a_fruit_names_what_it_rests_on(quarry):
    words = read_words("en")
    fruit = next(one for one in quarry.fruit if one.oven_dm_pct is None)
    by_meter = dataclasses.replace(fruit, meter_dm_pct=15.0)
    assert "from meter, shape and block" in dry_matter_text(words, by_meter)
    alone = dry_matter_text(words, dataclasses.replace(fruit, meter_dm_pct=None))
    assert "from shape and block; not dried" in alone and "meter" not in alone


def test_no_guide_where_shape_is_shuffled(quarry):
    """The same readings with the shapes of other fruit: nothing is left to teach."""
    visit = quarry.visit
    shapes = [one.descriptors for one in quarry.fruit]
    keys = [(one.tree, one.number) for one in quarry.fruit]
    rows = [row for row in visit.fruit if (row["tree"], row["fruit"]) in keys]
    useful = 0
    for shift in range(3, 13):
        turned = shapes[shift:] + shapes[:shift]
        question = block_question(
            [row["tree"] for row in rows],
            shape=[[one[name] for name in visit.descriptors] for one in turned],
            oven=[row["oven_dm_pct"] for row in rows],
            meter=[row["meter_dm_pct"] for row in rows],
            minimum_dm_pct=15.0,
        )
        chance = _core.sort_by_shape(question, []).p_useful
        useful += chance is not None and chance >= 0.8
    assert useful <= 2


def test_too_few_pairs_give_the_clear_page(quarry):
    few = dataclasses.replace(quarry, fruit=quarry.fruit[:3])  # one pair at the most
    content = guide_content(few, read_words("en"))
    assert not content.teaches and "pair" in content.reasons[-1]


@pytest.fixture(name="folder", scope="module")
def written(tmp_path_factory):
    folder = tmp_path_factory.mktemp("guide")
    write_guide(sample_score(), "Quarry", folder, date=EARLY, practice=True)
    a3 = folder / "a3"
    write_guide(sample_score(), "Quarry", a3, date=EARLY, paper="a3", practice=True, language="fr")
    return folder


@pytest.mark.parametrize("name", ["guide.pdf", "practice.pdf", "a3/guide.pdf", "a3/practice.pdf"])
def test_every_page_has_a_line_of_100_mm(folder, name):
    pages = page_pictures(folder / name)
    assert pages
    for page in pages:
        # On A3 the last page may hold an upper panel only.
        found = max(
            longest_line_mm(page, foot, 2.0)
            for foot in (8.0, 218.0)[: 1 + (page.height > page.width)]
        )
        assert found == pytest.approx(100, abs=0.45)
        sides = sorted((page.width / DOTS_PER_MM, page.height / DOTS_PER_MM))
        assert sides == pytest.approx([297, 420] if max(sides) > 300 else [210, 297], abs=0.3)


def test_a_page_printed_at_97_per_cent_is_caught(folder):
    page = page_pictures(folder / "guide.pdf", only=1)[0]
    shrunk = page.resize((round(page.width * 0.97), round(page.height * 0.97)))
    assert longest_line_mm(shrunk, 7.5, 2.5) == pytest.approx(97, abs=0.6)


def test_fruit_are_printed_at_true_size(folder, quarry):
    pair = choose_pairs(quarry)[0]
    page = page_pictures(folder / "guide.pdf", only=2)[0]
    xs, ys = zip(*pair.take.outline_mm)
    # The photo of the fruit to take hangs at the left, below its tag, above its caption.
    box = (4.0, 46.0, 8.0 + max(xs) - min(xs) + 2, 46.0 + max(ys) - min(ys) + 1.5)
    width, height = ink_box_mm(page, box)
    assert width == pytest.approx(max(xs) - min(xs), abs=2.0)
    assert height == pytest.approx(max(ys) - min(ys), abs=2.5)
    assert max(ys) - min(ys) == pytest.approx(pair.take.length_mm, abs=2.0)


def test_guide_says_the_share_with_its_interval_and_the_state(folder):
    words, cover = read_words("en"), page_texts(folder / "guide.pdf")[0]
    content = guide_content(guide_basis(sample_score(), "Quarry", date=EARLY), words)
    cut = content.cut
    assert cut.immature_taken.interval[0] < cut.immature_taken.median
    assert cut.immature_taken.median < cut.immature_blind.median
    for sentence in content.share_texts():
        first = " ".join(sentence.split()[:5])
        assert first in cover
    assert "NOT READY on 2025-11-11" in cover
    assert "Blush is not maturity" in cover and "Size is not maturity" in cover
    for part in ("stem hollow", "nose", "beak", "sinus", "cheek", "back"):
        assert part in cover
    last = page_texts(folder / "guide.pdf")[-1]
    assert all(" ".join(words(key).split()[:3]) in last for key in CAUTIONS)


def test_a_risk_is_never_rounded_down(quarry):
    content = guide_content(quarry, read_words("en"))
    said = int(re.search(r"about (\d+) in 100 fruit in the bin", content.share_texts()[0])[1])
    assert said >= 100 * content.cut.immature_taken.median > said - 1


def test_block_that_is_not_cleared_says_so_on_every_form(tmp_path):
    write_guide(sample_score(), "Quarry", tmp_path)
    assert "DO NOT PICK" in page_texts(tmp_path / "guide.pdf")[0]


def test_practice_shows_dried_fruit_and_hides_the_answers(folder, quarry):
    fruit = practice_fruit(quarry)
    assert 4 <= len(fruit) <= 10
    assert all(one.oven_dm_pct is not None for one in fruit)
    assert all(abs(one.oven_dm_pct - 15.0) >= 0.5 for one in fruit)
    question, answers = page_texts(folder / "practice.pdf")
    assert not re.search(r"\d\d\.\d", question) and "TAKE:" not in question
    for one in fruit:
        verdict = "TAKE" if one.oven_dm_pct >= 15.0 else "LEAVE"
        assert f"{verdict}: {one.oven_dm_pct:.1f} %" in answers
    for one in fruit:
        assert f"{one.tree}/{one.number}" not in question


def test_practice_without_enough_dried_fruit_says_so(tmp_path):
    made = write_guide(sample_score(), "Saddle", tmp_path, practice=True)
    assert "Dry more photographed fruit" in made.no_practice
    assert not (tmp_path / "practice.pdf").exists()


def test_picture_for_phones(folder):
    picture = Image.open(folder / "guide.png")
    assert picture.width == 1080 and picture.height > 3000
    assert (folder / "guide.png").stat().st_size < 4_000_000


def test_languages_are_complete_and_unchecked_ones_say_so(folder):
    def fields(text: str) -> set[str]:
        return {name for _, name, _, _ in string.Formatter().parse(text) if name}

    english = read_words("en")
    assert languages() == ["en", "es", "fr"] and english.checked
    for code in languages()[1:]:
        words = read_words(code)
        assert set(words.texts) == set(english.texts)
        for key, text in words.texts.items():
            assert fields(text) == fields(english.texts[key]), (code, key)
            assert text or key == "unchecked"
        assert not words.checked and words("unchecked")
    french = page_texts(folder / "a3" / "guide.pdf")
    assert "Traduction non vérifiée" in french[0]
    # Where nobody has checked the cautions, the English ones stand beside them.
    assert "Sap burns skin and eyes" in " ".join(french)
    with pytest.raises(ValueError, match="expected one of en, es, fr"):
        read_words("xx")


def test_the_same_season_gives_the_same_bytes(folder, tmp_path):
    write_guide(sample_score(), "Quarry", tmp_path, date=EARLY)
    for name in ("guide.pdf", "guide.png"):
        assert (tmp_path / name).read_bytes() == (folder / name).read_bytes(), name


def test_names_are_never_read_as_formulas(tmp_path, quarry):
    from maturity.guide.sheets import guide_pages

    odd = dataclasses.replace(quarry.visit, block="$\\frac{x$")
    content = guide_content(dataclasses.replace(quarry, visit=odd), read_words("en"))
    write_pages(tmp_path / "odd.pdf", guide_pages(content, "a4"), content.title())
    assert "$\\frac{x$" in page_texts(tmp_path / "odd.pdf")[0]


@pytest.mark.parametrize(
    ("options", "code", "words"),
    [
        (
            ["--block", "Quarry", "--date", "2025-11-11"],
            0,
            "in 100 fruit in the bin are still immature (between",
        ),
        (["--block", "Saddle"], 1, "Shape cannot separate fruit here"),
        (["--block", "Valley"], 2, "expected a block of blocks.csv (Weir, Quarry, Saddle)"),
        (["--block", "Weir", "--date", "2025-11-12"], 2, "visited on 2025-11-11, 2025-11-21"),
        (["--block", "Weir", "--language", "xx"], 2, "expected one of en, es, fr"),
    ],
)
def test_command(tmp_path, options, code, words, monkeypatch, capsys):
    arguments = ["guide", SAMPLE_SEASON, *options, "--out", tmp_path, "--json", tmp_path / "g.json"]
    arguments += ["--results", measured_results()]
    monkeypatch.setattr(sys, "argv", ["maturity", *map(str, arguments)])
    with pytest.raises(SystemExit) as ended:
        main()
        raise SystemExit(0)
    said = capsys.readouterr()
    assert (ended.value.code or 0) == code, said
    assert words in " ".join((said.out + said.err).split())
    assert max(map(len, said.out.splitlines()), default=0) <= 80 or code == 2
    if code < 2:
        assert json.loads((tmp_path / "g.json").read_text())["teaches"] == (code == 0)


def test_table_of_words_is_plain_csv():
    import maturity.guide

    table = maturity.guide.__path__[0] + "/words.csv"
    with open(table, encoding="utf-8", newline="") as file:
        rows = list(csv.reader(file, strict=True))
    assert all(len(row) == len(rows[0]) for row in rows)
