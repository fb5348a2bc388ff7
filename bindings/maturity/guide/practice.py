"""A sheet of unlabelled fruit to sort, and its answers, from dried fruit only."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from maturity.guide.basis import GuideFruit
from maturity.guide.content import GuideContent
from maturity.guide.pairs import practice_fruit
from maturity.guide.parts import draw_outline
from maturity.guide.pictures import fruit_picture
from maturity.guide.panel import Sheet, draw_head, lay_out
from maturity.views.drawing import INK

_SCALE = 0.5
_COLUMNS, _COLUMN_MM, _ROW_MM = 5, 54.6, 76.0
_LETTERS = "ABCDEFGHIJ"


def practice_pages(content: GuideContent, paper: str) -> Iterator[Figure]:
    """Two panels: the fruit, and the answers.

    Raises
    ------
    ValueError
        Too few dried fruit clear of the minimum.
    """
    fruit = practice_fruit(content.basis)
    words, visit = content.words, content.basis.visit

    def questions(sheet: Sheet) -> None:
        y = draw_head(sheet, words("practice_title", block=visit.block), words("practice_do"))
        _rows(sheet, content, fruit, y, answers=False)
        sheet.foot(words)

    def answers(sheet: Sheet) -> None:
        says = words("answers_do", minimum=f"{visit.minimum_dm_pct:g}")
        y = draw_head(sheet, words("answers_title", block=visit.block), "")
        y = sheet.paragraph(8, y, 278, says, 9)
        _rows(sheet, content, fruit, y, answers=True)
        sheet.foot(words)

    # The answers get a page of their own on any paper.
    yield from lay_out([questions], paper)
    yield from lay_out([answers], paper)


def _rows(
    sheet: Sheet, content: GuideContent, fruit: Sequence[GuideFruit], top: float, *, answers: bool
) -> None:
    words, minimum = content.words, content.basis.visit.minimum_dm_pct
    cut = minimum if content.cut is None else content.cut.cut_dm_pct
    for index, one in enumerate(fruit):
        left = 10 + (index % _COLUMNS) * _COLUMN_MM
        y = top - (index // _COLUMNS) * _ROW_MM
        sheet.text(left, y, _LETTERS[index], 15, weight="bold")
        xs = [x for x, _ in one.outline_mm]
        stem_x = left + _COLUMN_MM / 2 - _SCALE * (max(xs) + min(xs)) / 2
        stem = (stem_x, sheet.at(y - 5))
        mature = (one.oven_dm_pct or 0.0) >= minimum
        if answers:
            draw_outline(sheet.axes, one, stem, taken=mature, scale=_SCALE)
            verdict = words("take" if mature else "leave")
            sheet.text(left + 9, y - 70, f"{verdict}: {one.oven_dm_pct:.1f} %", 9.5, weight="bold")
            if one.shape_dm_pct is not None and (one.shape_dm_pct >= cut) != mature:
                sheet.text(left + 9, y - 73.6, words("shape_misleads"), 7.5)
            continue
        picture = fruit_picture(one)
        place = (
            stem_x + _SCALE * picture.left,
            stem_x + _SCALE * picture.right,
            sheet.at(y - 5) - _SCALE * picture.bottom,
            sheet.at(y - 5) - _SCALE * picture.top,
        )
        sheet.axes.imshow(picture.image, extent=place, aspect="auto", interpolation="none")
        box = (left, sheet.at(y - 70))
        sheet.axes.add_patch(Rectangle(box, 8, 8, fc="white", ec=INK, lw=1.2))
