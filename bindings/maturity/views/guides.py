"""Table, plot and notebook page of a picking guide."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pandas

from maturity.views.drawing import axes_or_new
from maturity.views.pages import table

if TYPE_CHECKING:
    from maturity.guide import WrittenGuide
    from maturity.guide.content import GuideContent


def guide_frame(self: GuideContent) -> pandas.DataFrame:
    """One row for each fruit of a pair: pair, side (take, leave), its sizes and dry matter."""
    from maturity.guide.content import fruit_fields

    rows = [
        {"pair": number, "side": side, **fruit_fields(fruit)}
        for number, pair in enumerate(self.pairs, 1)
        for side, fruit in (("take", pair.take), ("leave", pair.leave))
    ]
    return pandas.DataFrame(rows)


def guide_plot(self: GuideContent, ax: Any = None) -> Any:
    """The outlines of each pair over each other, stem on stem, mm: take solid, leave broken.

    Parameters
    ----------
    ax : matplotlib.axes.Axes, optional
        Default: those of a new figure.

    Returns
    -------
    matplotlib.axes.Axes

    Raises
    ------
    ValueError
        There are no pairs: shape cannot separate fruit here.
    """
    from maturity.guide.parts import draw_outline

    if not self.pairs:
        raise ValueError(f"block {self.basis.visit.block}: {' '.join(self.reasons)}")
    ax = axes_or_new(ax)
    x = 0.0
    for pair in self.pairs:
        both = [point for one in (pair.take, pair.leave) for point in one.outline_mm]
        x -= min(across for across, _ in both)
        for fruit, taken in ((pair.take, True), (pair.leave, False)):
            draw_outline(ax, fruit, (x, 0.0), taken=taken)
        x += max(across for across, _ in both) + 10.0
    ax.set_aspect("equal", adjustable="datalim")
    ax.set_xlabel(f"mm; solid: {self.words('take')}, broken: {self.words('leave')}")
    ax.set_ylabel("mm above the stem")
    return ax


def guide_html(self: GuideContent) -> str:
    """The pairs, and what to look at; or why there are none."""
    columns = ["pair", "side", "tree", "fruit", "length_mm", "width_mm", "mean_dm_pct", "sd_pct"]
    frame = guide_frame(self)
    rows = [] if frame.empty else frame[columns].to_dict("records")
    said = [self.state()]
    if self.teaches:
        said += [*self.pointer_texts(), *self.share_texts()]
    else:
        said += [self.words("cannot_title") + ".", *self.reasons, *self.next_steps]
    return table(f"{self.title()}. {self.subtitle(phone=True)}", rows, said)


def guide_repr(self: GuideContent) -> str:
    """The guide in a line."""
    visit = self.basis.visit
    what = f"{len(self.pairs)} pairs" if self.pairs else "shape cannot separate fruit here"
    return f"<GuideContent {visit.block!r}, {visit.date}: {what}>"


def written_frame(self: WrittenGuide) -> pandas.DataFrame:
    """The table of its content."""
    return self.content.to_frame()


def written_plot(self: WrittenGuide, ax: Any = None) -> Any:
    """The plot of its content; see GuideContent.plot."""
    return self.content.plot(ax)


def written_html(self: WrittenGuide) -> str:
    """The page of its content, and the files written."""
    from html import escape

    files = ", ".join(str(one) for one in self.files)
    return f"{self.content._repr_html_()}<p>{escape(f'Files: {files}')}</p>"
