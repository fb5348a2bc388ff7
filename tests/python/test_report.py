"""The report: one file, no request, safe against markup, readable without colour or pictures."""

from __future__ import annotations

import html.parser
import re
from pathlib import Path

import pytest
from measured_season import measured_results, sample_score
from sample_photos import SAMPLE_SEASON
from season_folders import BLOCKS, CLEARED, POLICY, oven_table, ripe_oven, write_files

import maturity
import maturity.report
from maturity.block_visit import share_in_100
from maturity.report import render_report
from maturity.report.pages import block_pages
from maturity.views.drawing import FAINT, INK, STRONG

EVIL = '<script>alert("x")</script>'


class Page(html.parser.HTMLParser):
    """Collects tags with attributes, the outline of headings, and the visible text."""

    def __init__(self, text):
        super().__init__()
        self.tags, self.headings, self.text, self.open = [], [], [], []
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.tags.append((tag, dict(attributes)))
        self.open.append(tag)
        if re.fullmatch(r"h[1-6]", tag):
            self.headings.append(int(tag[1]))

    def handle_endtag(self, tag):
        while self.open and self.open.pop() != tag:
            pass

    def handle_data(self, data):
        if "style" not in self.open:
            self.text.append(data)


@pytest.fixture
def files():
    low = oven_table(ripe_oven(12.5)).split("\n", 1)[1].replace("River", "Hill")
    return {
        "blocks": BLOCKS,
        "policy": POLICY + "Hill,,share,15,0.9,0.9,invented policy,2026-09-01\n",
        "sprays": CLEARED + "Hill,2026-11-01 08:00,Anything,7,24,,A. Person,2026-11-01\n",
        "oven": oven_table(ripe_oven()) + low + "Hill,11,2026-11-03,1,40,60,39,\n",
    }


def report(folder, files):
    return render_report(maturity.score_season(write_files(folder, **files)))


def test_report_asks_for_nothing_from_outside(tmp_path, files):
    text = report(tmp_path, files)
    for tag, attributes in Page(text).tags:
        assert tag not in {"script", "iframe", "object", "embed", "link"} or attributes.get(
            "href", ""
        ).startswith("data:")
        for name in ("src", "href", "srcset", "action", "poster", "xlink:href"):
            value = attributes.get(name)
            assert value is None or value.startswith(("data:", "#")), (tag, name, value)
    style = re.search(r"<style>(.*?)</style>", text, re.S).group(1)
    assert "url(" not in style and "@import" not in style
    assert "default-src 'none'" in text


def test_first_screen_says_block_decision_chance_and_next(tmp_path, files):
    text = " ".join("".join(Page(report(tmp_path, files)).text).split())
    first = text[: text.index("All visits")]
    assert re.search(r"River: ready", first) and re.search(r"Hill: not cleared", first)
    assert first.count("in 100 chance that the rule is met") == 2
    assert "until 2026-11-08 08:00" in first
    assert first.count("Next:") == 2


def test_text_from_files_is_never_markup(tmp_path, files):
    changed = {
        name: text.replace("River", f'"{EVIL.replace(chr(34), chr(34) * 2)}"')
        for name, text in files.items()
    }
    changed["policy"] = changed["policy"].replace("invented policy", EVIL.replace('"', "'"))
    page = Page(report(tmp_path, changed))
    assert not any(tag == "script" for tag, _ in page.tags)
    assert EVIL in "".join(page.text), "the name itself must still be readable"


def test_headings_go_down_step_by_step_and_pictures_have_words(tmp_path, files):
    page = Page(report(tmp_path, files))
    assert page.headings[0] == 1 and page.headings.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(page.headings, page.headings[1:]))
    images = [attributes for tag, attributes in page.tags if tag == "img"]
    assert images and all(len(one["alt"]) > 20 for one in images)
    drawings = [attributes for tag, attributes in page.tags if tag == "svg"]
    assert all(one.get("aria-hidden") or one.get("aria-label") for one in drawings)
    assert ("html", {"lang": "en"}) in page.tags
    assert any(a.get("name") == "viewport" for tag, a in page.tags if tag == "meta")


def test_what_was_left_out_is_named(tmp_path, files):
    text = "".join(Page(report(tmp_path, files)).text)
    assert "oven.csv" in text and "row left out" in text


def test_colours_have_contrast_of_at_least_4_5(tmp_path):
    """Contrast ratio of WCAG 2.1 (relative luminance; from memory): text on both backgrounds."""
    style = (Path(maturity.report.__file__).parent / "report.css").read_text()
    inks = {"ink": INK, "strong": STRONG, "faint": FAINT}
    colours = {**dict(re.findall(r"--(\w+): (#[0-9a-f]{6})", style)), **inks}
    # Inks stand in one place: no file of the report names one by itself.
    for file in Path(maturity.report.__file__).parent.glob("*.*"):
        assert not any(ink in file.read_text("utf-8") for ink in inks.values()), file

    def luminance(colour):
        parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.03928 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    def contrast(one, other):
        high, low = sorted((luminance(one), luminance(other)), reverse=True)
        return (high + 0.05) / (low + 0.05)

    assert round(contrast("#000000", "#ffffff"), 6) == 21
    for ink in ("ink", "faint", "strong"):
        for ground in ("paper", "sheet"):
            assert contrast(colours[ink], colours[ground]) >= 4.5, (ink, ground)


def test_same_season_gives_the_same_report(tmp_path, files):
    assert report(tmp_path, files) == report(tmp_path, files)


@pytest.mark.parametrize(
    ("share", "said"),
    [(0.976, "98"), (0.07, "7"), (0.0699, "7"), (0.004, "less than 1"), (0.996, "more than 99")],
)
def test_share_goes_to_the_nearest_as_on_the_screen(share, said):
    assert share_in_100(share) == said


def test_what_an_estimate_of_a_fruit_rests_on_is_what_was_used():
    """Oven alone, oven and meter, and with shape: each says what is there, and no more."""
    score = sample_score()
    texts = {}
    for page in block_pages(score):
        for one in page.latest:
            estimate = one.visit.estimate
            used = estimate.p_noshape is not None and "shape_adds_nothing" not in estimate.flags
            assert ("shape and block together" in one.fruit_basis) == used
            assert ("Shape" in one.fruit_basis) != used and "oven and meter" in one.fruit_basis
            texts[used] = one.fruit_basis
    assert len(texts) == 2, "the sample season holds both"


def test_ranking_is_shown_where_it_was_asked_for_and_changes_no_state():
    plain = render_report(sample_score())
    assert "Ranking" not in plain
    pooled = maturity.score_season(SAMPLE_SEASON, results=measured_results(), pool=True)
    text = render_report(pooled)
    assert "Ranking only, no decision" in text and "never to call a block ready" in text
    rows = re.findall(r'<tr><th scope="row">(\w+)</th><td>(\d)</td><td>Velorine', text)
    assert rows == [("Saddle", "1"), ("Quarry", "2"), ("Weir", "3")]
    verdict = re.compile(r'class="verdict">([a-z ]+)<')
    assert verdict.findall(text) == verdict.findall(plain)


def test_first_lines_name_every_block_by_state():
    text = render_report(sample_score())
    assert re.search(
        r"<strong>Ready:</strong> Saddle\. <strong>Not cleared:</strong> Quarry\. "
        r"<strong>Not yet:</strong> Weir\.",
        text,
    )


def test_a_season_is_named_by_its_folder_as_people_read_it(tmp_path):
    for folder, name in (
        ("my_first-season", "my first season"),
        ("mango_2025-26", "mango 2025-26"),
        ("Weir", "Weir"),
    ):
        (tmp_path / folder).mkdir()
        write_files(tmp_path / folder, blocks=BLOCKS, oven=oven_table(ripe_oven()))
        assert maturity.read_season(tmp_path / folder).name == name
