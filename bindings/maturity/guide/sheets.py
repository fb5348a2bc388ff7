"""The guide on paper: panels of 297 x 210 mm, one on A4 across, two on A3 upright."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from matplotlib.figure import Figure

from maturity.guide.basis import GuideFruit
from maturity.guide.content import CAUTIONS, HANDLING, NOT_MATURITY, GuideContent
from maturity.guide.pairs import Pair
from maturity.guide.panel import LEFT, RIGHT, Panel, Sheet, draw_head, fit, lay_out
from maturity.guide.parts import draw_named_parts, draw_outline
from maturity.guide.pictures import fruit_picture
from maturity.guide.words import Words, read_words
from maturity.views.drawing import FAINT, INK, STRONG

#: Largest fruit that a panel holds at true size, mm.
WIDEST_MM, LONGEST_MM = 132.0, 138.0
#: Least room between fruit, and room of a tag above one.
_GAP_MM, _TAG_MM = 1.0, 17.0
_MM_PER_POINT = 25.4 / 72
#: Width of a letter over the size of its type, on average, spaces included.
_LETTER, _BOLD_LETTER = 0.545, 0.63


def guide_pages(content: GuideContent, paper: str) -> Iterator[Figure]:
    """The pages of the guide.

    Raises
    ------
    ValueError
        A fruit is larger than its column.
    """
    panels: list[Panel]
    if content.teaches:
        for pair in content.pairs:
            for fruit in (pair.take, pair.leave):
                _check_room(fruit)
        panels = [
            lambda sheet: _cover(sheet, content),
            *(
                panel
                for number, pair in enumerate(content.pairs, 1)
                for panel in _pair_panels(content, number, pair)
            ),
            lambda sheet: _cautions(sheet, content),
        ]
    else:
        panels = [lambda sheet: _cannot(sheet, content)]
    yield from lay_out(panels, paper)


def _check_room(fruit: GuideFruit) -> None:
    length = max(y for _, y in fruit.outline_mm) - min(y for _, y in fruit.outline_mm)
    if width_of(fruit) > WIDEST_MM or length > LONGEST_MM:
        raise ValueError(
            f"fruit {fruit.name}: {width_of(fruit):.0f} x {length:.0f} mm; a page of the guide "
            f"holds {WIDEST_MM:.0f} x {LONGEST_MM:.0f} mm at true size: check length and scale"
        )


def _unchecked(sheet: Sheet, words: Words, y: float) -> float:
    if words.checked:
        return y
    return sheet.paragraph(LEFT, y, RIGHT - LEFT, words("unchecked"), 9, style="italic")


def _cover(sheet: Sheet, content: GuideContent) -> None:
    words = content.words
    y = draw_head(sheet, content.title(), content.subtitle())
    y = _unchecked(sheet, words, y)
    if content.warns:
        sheet.box(y, 11, content.state())
        y -= 15
    else:
        y = sheet.paragraph(LEFT, y, 270, content.state(), 11)
    fruit = content.pairs[0].take
    xs = [x for x, _ in fruit.outline_mm]
    middle = 92.0
    stem = (middle - (max(xs) + min(xs)) / 2, sheet.at(min(y - 14, 148)))
    edges = (middle - (max(xs) - min(xs)) / 2 - 5, middle + (max(xs) - min(xs)) / 2 + 5)
    draw_named_parts(sheet.axes, fruit, words, stem, edges)
    fit(sheet, y, lambda top, size: _lesson(sheet, content, top, size))
    sheet.foot(words)


def _lesson(sheet: Sheet, content: GuideContent, y: float, size: float) -> float:
    words, x, width = content.words, 182.0, RIGHT - 182.0
    sheet.text(x, y, words("look_heading"), 14, weight="bold")
    y = sheet.bullets(x, y - 8, width, content.pointer_texts(), size)
    y = sheet.bullets(x, y, width, [words(key) for key in NOT_MATURITY], size)
    sheet.text(x, y - 2, words("share_heading"), 14, weight="bold")
    y -= 10
    for text in content.share_texts():
        y = sheet.paragraph(x, y, width, text, size - 1)
    return y


def _pair_panels(content: GuideContent, number: int, pair: Pair) -> list[Panel]:
    """Photos and outlines in one panel where the fruit are small enough, else in two."""
    take, leave = pair.take, pair.leave
    both = max(width_of(take), width_of(leave))
    in_one = width_of(take) + width_of(leave) + both + 2 * _GAP_MM <= RIGHT - LEFT

    def head(sheet: Sheet) -> float:
        sizes = content.words(
            "pair_size",
            take_mm=f"{take.length_mm:.0f}",
            take_w=f"{take.width_mm:.0f}",
            leave_mm=f"{leave.length_mm:.0f}",
            leave_w=f"{leave.width_mm:.0f}",
        )
        title = content.words("pair", n=number, of=len(content.pairs))
        return draw_head(sheet, title, f"{content.title()}. {sizes}.")

    def photos(sheet: Sheet) -> None:
        y = head(sheet)
        spare = RIGHT - LEFT - width_of(take) - width_of(leave) - (both if in_one else 0.0)
        gap = spare / (2 if in_one else 1)
        right = LEFT + width_of(take) + gap
        _labelled_photo(sheet, content.words, take, LEFT, y, taken=True)
        _labelled_photo(sheet, content.words, leave, right, y, taken=False)
        if in_one:
            _both_outlines(sheet, content.words, pair, RIGHT - both / 2, y)
        sheet.foot(content.words)

    def outlines(sheet: Sheet) -> None:
        _both_outlines(sheet, content.words, pair, (LEFT + RIGHT) / 2, head(sheet))
        sheet.foot(content.words)

    return [photos] if in_one else [photos, outlines]


def _labelled_photo(
    sheet: Sheet, words: Words, fruit: GuideFruit, left: float, y: float, *, taken: bool
) -> None:
    sheet.tag(left, y, words("take" if taken else "leave"), taken=taken)
    top = y - _TAG_MM
    draw_photo(sheet, fruit, left + width_of(fruit) / 2 - centre_of(fruit), top)
    low = top - max(down for _, down in fruit.outline_mm)
    sheet.text(left, low - 4, dry_matter_text(words, fruit), 9)


def _both_outlines(sheet: Sheet, words: Words, pair: Pair, middle: float, y: float) -> None:
    sheet.text(middle, y - 2.5, words("over_each_other"), 10.5, ha="center")
    stem = (middle - (centre_of(pair.take) + centre_of(pair.leave)) / 2, sheet.at(y - _TAG_MM))
    for fruit, taken in ((pair.take, True), (pair.leave, False)):
        draw_outline(sheet.axes, fruit, stem, taken=taken, lw=2.0)
    low = max(down for one in (pair.take, pair.leave) for _, down in one.outline_mm)
    draw_legend(sheet, words, middle - 40, y - _TAG_MM - low - 7)


def width_of(fruit: GuideFruit) -> float:
    """Width of the outline, mm."""
    xs = [x for x, _ in fruit.outline_mm]
    return max(xs) - min(xs)


def centre_of(fruit: GuideFruit) -> float:
    """Middle of the outline, mm right of the stem."""
    xs = [x for x, _ in fruit.outline_mm]
    return (max(xs) + min(xs)) / 2


def dry_matter_text(words: Words, fruit: GuideFruit) -> str:
    """Dry matter of a fruit with its interval, and where it comes from."""
    half = 1.96 * fruit.sd_pct
    says = words(
        "predicted",
        dm=f"{fruit.mean_dm_pct:.1f}",
        low=f"{fruit.mean_dm_pct - half:.1f}",
        high=f"{fruit.mean_dm_pct + half:.1f}",
    )
    by = "not_dried" if fruit.meter_dm_pct is None else "not_dried_meter"
    source = words(by if fruit.oven_dm_pct is None else "dried")
    return f"{fruit.name}: {says}\n{source}"


def draw_photo(sheet: Sheet, fruit: GuideFruit, stem_x: float, top: float) -> None:
    """The cut-out photo at true size, its stem at `stem_x` and `top`."""
    picture = fruit_picture(fruit)
    low, high = sheet.at(top - picture.bottom), sheet.at(top - picture.top)
    place = (stem_x + picture.left, stem_x + picture.right, low, high)
    sheet.axes.imshow(picture.image, extent=place, aspect="auto", interpolation="none")


def draw_legend(sheet: Sheet, words: Words, x: float, y: float) -> None:
    """Which line is which."""
    for key, taken in (("take", True), ("leave", False)):
        colour, dash = (STRONG, "-") if taken else (INK, (0, (5, 2.5)))
        sheet.axes.plot([x, x + 12], [sheet.at(y)] * 2, color=colour, lw=2.0, ls=dash)
        sheet.text(x + 14, y, words(key), 10, va="center", weight="bold")
        x += 45


def _cannot(sheet: Sheet, content: GuideContent) -> None:
    words = content.words
    y = draw_head(sheet, words("cannot_title"), f"{content.title()}. {content.subtitle()}")
    y = _unchecked(sheet, words, y)
    sheet.box(y, 10, content.state())
    y = sheet.paragraph(LEFT, y - 15, 275, words("cannot_do"), 12.5, weight="bold")
    middle = (LEFT + RIGHT) / 2

    def why(top: float, size: float) -> float:
        for key, texts in (("why", content.reasons), ("next", content.next_steps)):
            sheet.text(LEFT, top - 2, words(key), 13, weight="bold")
            top = sheet.bullets(LEFT, top - 9, middle - LEFT - 6, texts, size)
        return sheet.bullets(LEFT, top, middle - LEFT - 6, _said(words, NOT_MATURITY), size)

    def care(top: float, size: float) -> float:
        width = RIGHT - middle
        sheet.text(middle, top - 2, words("handling_heading"), 13, weight="bold")
        top = sheet.bullets(middle, top - 9, width, _said(words, HANDLING), size)
        sheet.text(middle, top - 2, words("cautions_heading"), 13, weight="bold")
        return _all_cautions(sheet, words, middle, top - 9, width, size)

    fit(sheet, y, why)
    fit(sheet, y, care)
    sheet.foot(words)


def _cautions(sheet: Sheet, content: GuideContent) -> None:
    words = content.words
    top = _unchecked(sheet, words, draw_head(sheet, words("handling_heading"), content.title()))

    def draw(y: float, size: float) -> float:
        y = sheet.bullets(LEFT, y, 278, _said(words, HANDLING), size)
        sheet.text(LEFT, y, words("handling_note"), 8.5, color=FAINT)
        y -= 9
        sheet.text(LEFT, y, words("cautions_heading"), 17, weight="bold", family="DejaVu Serif")
        return _all_cautions(sheet, words, LEFT, y - 10, 278, size)

    fit(sheet, top, draw, largest=15.0)
    sheet.foot(words)


def _said(words: Words, keys: Sequence[str]) -> list[str]:
    return [words(key) for key in keys]


def _all_cautions(
    sheet: Sheet, words: Words, x: float, y: float, width: float, size: float
) -> float:
    """Cautions, in English too where nobody has checked the language."""
    y = sheet.paragraph(x, y, width, words("cautions_note"), size - 1, color=FAINT)
    y = sheet.bullets(x, y, width, _said(words, CAUTIONS), size)
    if not words.checked:
        y = sheet.bullets(x, y, width, _said(read_words("en"), CAUTIONS), size - 1)
    return y
