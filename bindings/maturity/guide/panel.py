"""A panel of the guide, 297 x 210 mm: its text, tags and check line."""

from __future__ import annotations

import textwrap
from collections.abc import Callable, Iterator, Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import Circle, FancyBboxPatch

from maturity.guide.words import Words
from maturity.paper import blank_page, draw_check_line
from maturity.views.drawing import FAINT, INK, STRONG

PANEL_WIDTH, PANEL_HEIGHT = 297.0, 210.0
#: Papers of the guide, and how many panels each holds.
GUIDE_PAPERS = {"a4": ("a4 across", 1), "a3": ("a3", 2)}
LEFT, RIGHT, TOP = 8.0, 289.0, 200.0
_CHECK_LINE_MM, _FLOOR_MM = 9.0, 16.0
_MM_PER_POINT = 25.4 / 72
#: Width of a letter over the size of its type, on average, spaces included.
_LETTER, _BOLD_LETTER = 0.545, 0.63
#: Sizes of type tried where a column must hold whatever a language needs, the largest first.
_SIZES = (15.0, 14.0, 13.0, 12.0, 11.0, 10.5, 10.0, 9.5, 9.0, 8.5, 8.0, 7.5)


class Sheet:
    """A panel on a page: mm from its own lower left corner."""

    def __init__(self, axes: Axes, bottom: float) -> None:
        self.axes, self.bottom = axes, bottom
        #: True while only heights are asked for.
        self.measuring = False

    def at(self, y: float) -> float:
        """Height on the page."""
        return self.bottom + y

    def text(self, x: float, y: float, text: str, size: float, **options: object) -> None:
        """One line or block of text; names from files are never read as formulas."""
        settings = {"va": "top", "color": INK, "parse_math": False, **options}
        if self.measuring:
            return
        self.axes.text(x, self.at(y), text, fontsize=size, **settings)

    def paragraph(
        self, x: float, y: float, width: float, text: str, size: float, **options: object
    ) -> float:
        """Wrapped text; returns the height below it. A letter is taken as half its height wide."""
        share = _BOLD_LETTER if options.get("weight") == "bold" else _LETTER
        letters = max(12, int(width / (size * _MM_PER_POINT * share)))
        lines = textwrap.wrap(text, letters)
        self.text(x, y, "\n".join(lines), size, linespacing=1.1, **options)
        return y - len(lines) * size * _MM_PER_POINT * 1.3 - 0.4 * size * _MM_PER_POINT

    def bullets(self, x: float, y: float, width: float, texts: Sequence[str], size: float) -> float:
        """A paragraph each, behind a short stroke."""
        for text in texts:
            middle = self.at(y - size * _MM_PER_POINT * 0.55)
            if not self.measuring:
                self.axes.plot([x, x + 2.6], [middle, middle], color=STRONG, lw=1.8)
            y = self.paragraph(x + 5, y, width - 5, text, size)
        return y

    def box(self, y: float, height: float, text: str, size: float = 12.5) -> None:
        """A framed line across the panel for what must not be overlooked."""
        frame = (LEFT, self.at(y - height))
        self.axes.add_patch(
            FancyBboxPatch(
                frame, RIGHT - LEFT, height, boxstyle="square,pad=0", fc="white", ec=INK, lw=1.6
            )
        )
        self.text(LEFT + 4, y - height / 2, text, size, va="center", weight="bold")

    def tag(self, x: float, y: float, text: str, *, taken: bool) -> None:
        """A tag on a string: solid for take, broken for leave; the word says it."""
        width = 7.0 + 3.45 * len(text)
        self.axes.add_patch(
            FancyBboxPatch(
                (x, self.at(y - 9)),
                width,
                9,
                boxstyle="round,pad=0,rounding_size=1.6",
                fc=STRONG if taken else "white",
                ec=STRONG if taken else INK,
                lw=1.6,
                ls="-" if taken else (0, (4, 2)),
            )
        )
        hole = (x + 3.4, self.at(y - 4.5))
        self.axes.add_patch(Circle(hole, 1.25, fc="white", ec=INK, lw=0.9))
        colour = "white" if taken else INK
        self.text(x + 6.4, y - 4.5, text, 13, va="center", weight="bold", color=colour)

    def foot(self, words: Words, note: str = "") -> None:
        """The line of 100 mm, and what holds for the whole panel."""
        draw_check_line(self.axes, LEFT, self.at(_CHECK_LINE_MM))
        self.text(LEFT + 103, _CHECK_LINE_MM, words("check_line"), 8.5, va="center")
        self.text(RIGHT, _CHECK_LINE_MM, note or words("made"), 8.5, va="center", ha="right")


#: Draws one panel.
Panel = Callable[[Sheet], None]


def lay_out(panels: Sequence[Panel], paper: str) -> Iterator[Figure]:
    """Panels on pages of a paper of `GUIDE_PAPERS`; a single panel takes A4 on any."""
    name, on_page = GUIDE_PAPERS["a4" if len(panels) == 1 else paper]
    for first in range(0, len(panels), on_page):
        figure, axes = blank_page(name)
        for index, panel in enumerate(panels[first : first + on_page]):
            panel(Sheet(axes, (on_page - 1 - index) * PANEL_HEIGHT))
        yield figure


def fit(
    sheet: Sheet,
    top: float,
    draw: Callable[[float, float], float],
    *,
    largest: float = 11.0,
) -> None:
    """Draw in the largest type with which it ends above the check line."""
    sheet.measuring = True
    sizes = [size for size in _SIZES if size <= largest and draw(top, size) >= _FLOOR_MM]
    sheet.measuring = False
    draw(top, sizes[0] if sizes else _SIZES[-1])


def draw_head(sheet: Sheet, title: str, subtitle: str) -> float:
    sheet.text(LEFT, TOP, title, 21, weight="bold", family="DejaVu Serif")
    # A long language is written smaller rather than off the page.
    fits = (RIGHT - LEFT) / (max(1, len(subtitle)) * _LETTER * _MM_PER_POINT)
    sheet.text(LEFT, TOP - 10.5, subtitle, min(10.5, fits), color=FAINT)
    line = sheet.at(TOP - 17)
    sheet.axes.plot([LEFT, RIGHT], [line, line], color=INK, lw=2.2)
    return TOP - 21
