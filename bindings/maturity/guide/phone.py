"""The guide as one long picture, to send to phones: large letters, nothing at true size."""

from __future__ import annotations

import io
import os

from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from maturity.guide.content import CAUTIONS, HANDLING, NOT_MATURITY, GuideContent
from maturity.guide.pairs import Pair
from maturity.guide.parts import draw_named_parts, draw_outline
from maturity.guide.panel import Sheet
from maturity.guide.sheets import centre_of, dry_matter_text, draw_legend, draw_photo
from maturity.guide.words import read_words
from maturity.tables import write_bytes
from maturity.views.drawing import FAINT, INK

#: The picture is this wide; drawn as if on paper of this width, so that 16-point letters are large.
_WIDTH_PX, _WIDTH_MM = 1080, 200.0
_LONGEST_MM = 2600.0
_LEFT, _TEXT_MM = 9.0, 182.0


def write_phone_picture(path: str | os.PathLike[str], content: GuideContent) -> None:
    """Write the picture (PNG)."""
    height = _LONGEST_MM - _draw(_figure(_LONGEST_MM), content, _LONGEST_MM)
    figure = _figure(height)
    _draw(figure, content, height)
    buffer = io.BytesIO()
    dpi = _WIDTH_PX / (_WIDTH_MM / 25.4)
    figure.savefig(buffer, format="png", dpi=dpi, metadata={"Software": None})
    write_bytes(path, buffer.getvalue())


def _figure(height: float) -> Figure:
    figure = Figure(figsize=(_WIDTH_MM / 25.4, height / 25.4), facecolor="white")
    FigureCanvasAgg(figure)
    axes = figure.add_axes((0, 0, 1, 1))
    axes.set_xlim(0, _WIDTH_MM)
    axes.set_ylim(0, height)
    axes.axis("off")
    return figure


def _heading(sheet: Sheet, y: float, text: str) -> float:
    line = sheet.at(y)
    sheet.axes.plot([_LEFT, _WIDTH_MM - _LEFT], [line, line], color=INK, lw=2.2)
    return sheet.paragraph(_LEFT, y - 5, _TEXT_MM, text, 21, weight="bold")


def _draw(figure: Figure, content: GuideContent, top: float) -> float:
    """Draw downwards from `top`; returns the height below."""
    sheet, words = Sheet(figure.axes[0], 0.0), content.words
    title = content.title() if content.teaches else words("cannot_title")
    y = sheet.paragraph(_LEFT, top - 8, _TEXT_MM, title, 27, weight="bold", family="DejaVu Serif")
    y = sheet.paragraph(_LEFT, y - 1, _TEXT_MM, content.subtitle(phone=True), 15, color=FAINT)
    if not words.checked:
        y = sheet.paragraph(_LEFT, y - 1, _TEXT_MM, words("unchecked"), 14, style="italic")
    y = sheet.paragraph(_LEFT, y - 3, _TEXT_MM, content.state(), 18, weight="bold")
    y = _lesson(sheet, content, y) if content.teaches else _no_lesson(sheet, content, y)
    y = _heading(sheet, y - 4, words("handling_heading"))
    y = sheet.bullets(_LEFT, y, _TEXT_MM, [words(key) for key in HANDLING], 16)
    y = _heading(sheet, y - 4, words("cautions_heading"))
    y = sheet.bullets(_LEFT, y, _TEXT_MM, [words(key) for key in CAUTIONS], 16)
    if not words.checked:
        english = read_words("en")
        y = sheet.bullets(_LEFT, y, _TEXT_MM, [english(key) for key in CAUTIONS], 13)
    y = sheet.paragraph(_LEFT, y - 2, _TEXT_MM, words("cautions_note"), 13, color=FAINT)
    return sheet.paragraph(_LEFT, y, _TEXT_MM, words("made"), 13, color=FAINT) - 4


def _lesson(sheet: Sheet, content: GuideContent, y: float) -> float:
    words = content.words
    for number, pair in enumerate(content.pairs, 1):
        y = _heading(sheet, y - 4, words("pair", n=number, of=len(content.pairs)))
        y = _pair(sheet, content, pair, y)
    y = _heading(sheet, y - 4, words("look_heading"))
    texts = [*content.pointer_texts(), *(words(key) for key in NOT_MATURITY)]
    y = sheet.bullets(_LEFT, y, _TEXT_MM, texts, 16)
    fruit = content.pairs[0].take
    xs = [x for x, _ in fruit.outline_mm]
    middle, half = _WIDTH_MM / 2, (max(xs) - min(xs)) / 2
    stem = (middle - centre_of(fruit), y - 18)
    edges = (middle - half - 5, middle + half + 5)
    draw_named_parts(sheet.axes, fruit, words, stem, edges, size=12.5)
    y -= 18 + max(down for _, down in fruit.outline_mm) + 12
    y = _heading(sheet, y - 4, words("share_heading"))
    for text in content.share_texts():
        y = sheet.paragraph(_LEFT, y, _TEXT_MM, text, 15)
    return y


def _pair(sheet: Sheet, content: GuideContent, pair: Pair, y: float) -> float:
    words, column = content.words, _WIDTH_MM / 2
    longest = max(down for one in (pair.take, pair.leave) for _, down in one.outline_mm)
    for index, fruit in enumerate((pair.take, pair.leave)):
        left = index * column + _LEFT / 2
        sheet.tag(left + 4, y, words("take" if index == 0 else "leave"), taken=index == 0)
        draw_photo(sheet, fruit, index * column + column / 2 - centre_of(fruit), y - 18)
        first, source = dry_matter_text(words, fruit).split("\n")
        low = sheet.paragraph(left + 4, y - 22 - longest, column - 12, first, 12.5)
        sheet.paragraph(left + 4, low, column - 12, source, 11, color=FAINT)
    y -= 22 + longest + 24
    centre = (centre_of(pair.take) + centre_of(pair.leave)) / 2
    for fruit, taken in ((pair.take, True), (pair.leave, False)):
        draw_outline(sheet.axes, fruit, (column - centre, sheet.at(y - 6)), taken=taken, lw=2.4)
    sheet.text(_LEFT, y, words("over_each_other"), 13)
    y -= 6 + longest + 8
    draw_legend(sheet, words, column - 40, y)
    return y - 8


def _no_lesson(sheet: Sheet, content: GuideContent, y: float) -> float:
    words = content.words
    y = sheet.paragraph(_LEFT, y - 2, _TEXT_MM, words("cannot_do"), 18, weight="bold")
    for key, texts in (("why", content.reasons), ("next", content.next_steps)):
        y = _heading(sheet, y - 4, words(key))
        y = sheet.bullets(_LEFT, y, _TEXT_MM, texts, 16)
    return sheet.bullets(_LEFT, y - 2, _TEXT_MM, [words(key) for key in NOT_MATURITY], 16)
