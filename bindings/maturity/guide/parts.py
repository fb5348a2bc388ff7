"""One fruit of the block with its parts named."""

from __future__ import annotations

from dataclasses import dataclass

from matplotlib.axes import Axes

from maturity.guide.basis import GuideFruit
from maturity.guide.words import Words
from maturity.views.drawing import FAINT, INK, STRONG

SHEET = "#f3efe2"


@dataclass(frozen=True)
class Part:
    """A part: its place on the outline, mm right of and below the stem; its side of the drawing."""

    key: str
    x: float
    y: float
    on_right: bool


def fruit_parts(fruit: GuideFruit) -> list[Part]:
    """Where the parts lie on an outline whose stem is up and whose beak side is right.

    Shares of the length are those of a usual fruit (common practice, no source): they place a
    label, nothing is measured by them.
    """
    points = fruit.outline_mm
    bottom = max(points, key=lambda one: one[1])
    length = bottom[1]

    def edge(share: float, *, right: bool) -> tuple[float, float]:
        side = [one for one in points if (one[0] > 0) == right]
        return min(side, key=lambda one: abs(one[1] - share * length))

    places = [
        ("part_stem", (0.0, -4.0), True),
        ("part_shoulder_beak", edge(0.10, right=True), True),
        ("part_belly", edge(0.42, right=True), True),
        ("part_sinus", edge(0.74, right=True), True),
        ("part_beak", edge(0.88, right=True), True),
        ("part_hollow", (0.0, 0.8), False),
        ("part_shoulder_back", edge(0.12, right=False), False),
        ("part_cheek", (-0.05 * length, 0.42 * length), False),
        ("part_back", edge(0.62, right=False), False),
        ("part_nose", bottom, False),
    ]
    return [Part(key, x, y, right) for key, (x, y), right in places]


def draw_outline(
    axes: Axes,
    fruit: GuideFruit,
    stem: tuple[float, float],
    *,
    taken: bool,
    scale: float = 1.0,
    filled: bool = True,
    lw: float = 1.8,
) -> None:
    """An outline at `scale`: solid and filled for a fruit to take, broken for one to leave."""
    xs = [stem[0] + scale * x for x, _ in fruit.outline_mm]
    ys = [stem[1] - scale * y for _, y in fruit.outline_mm]
    if filled and taken:
        axes.fill(xs, ys, fc=SHEET, ec="none")
    axes.plot(
        [*xs, xs[0]],
        [*ys, ys[0]],
        color=STRONG if taken else INK,
        lw=lw,
        ls="-" if taken else (0, (5, 2.5)),
        solid_joinstyle="round",
    )


def draw_stem(axes: Axes, stem: tuple[float, float], scale: float = 1.0) -> None:
    """A short stalk at the stem point."""
    x, y = stem
    axes.plot([x, x - 1.2 * scale], [y, y + 6.5 * scale], color=INK, lw=3.2 * scale)


def draw_named_parts(
    axes: Axes,
    fruit: GuideFruit,
    words: Words,
    stem: tuple[float, float],
    edges: tuple[float, float],
    *,
    scale: float = 1.0,
    size: float = 9.5,
) -> None:
    """The fruit with a label and a line to each part; labels end at the x of `edges`."""
    draw_stem(axes, stem, scale)
    draw_outline(axes, fruit, stem, taken=True, scale=scale)
    step = 1.75 * size * 0.3528
    for right in (True, False):
        height = stem[1] + 16 * scale
        parts = [one for one in fruit_parts(fruit) if one.on_right == right]
        for part in sorted(parts, key=lambda one: one.y):
            x, y = stem[0] + scale * part.x, stem[1] - scale * part.y
            height = min(height - step, y + 4.0 * scale)
            at = edges[1] if right else edges[0]
            # Long labels are broken so that they keep clear of the drawing.
            text = _broken(words(part.key))
            height -= step * 0.5 * text.count("\n")
            axes.text(
                at,
                height,
                text,
                fontsize=size,
                color=INK,
                ha="left" if right else "right",
                va="center",
                linespacing=1.05,
            )
            axes.plot([at - 1.2 if right else at + 1.2, x], [height, y], color=FAINT, lw=0.7)
            axes.plot([x], [y], "o", color=INK, ms=2.6)
            height -= step * 0.5 * text.count("\n")


def _broken(text: str, letters: int = 17) -> str:
    """A label in lines of about so many letters."""
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + len(word) >= letters:
            lines.append(word)
        else:
            lines[-1] = f"{lines[-1]} {word}".strip()
    return "\n".join(lines)
