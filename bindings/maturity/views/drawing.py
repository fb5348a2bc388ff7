"""What every plot begins with: the inks, the axes, marked levels, rows of intervals."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

#: The only place where inks stand: plots, printed pages and the report take them from here.
INK, STRONG, FAINT = "#1f2a30", "#0d4f5c", "#5a6368"


def axes_or_new(ax: Any, rows: int | None = None) -> Any:
    """The axes given, or those of a new figure, as high as so many rows need."""
    if ax is not None:
        return ax
    # Loaded here only: matplotlib takes long to load, and most uses draw nothing.
    from matplotlib import pyplot

    height = 4.8 if rows is None else 1.1 + 0.34 * rows
    return pyplot.subplots(figsize=(6.4, height), layout="constrained")[1]


def mark_level(ax: Any, level: float, text: str, *, right: bool = False, ls: str = "--") -> None:
    """A level as a broken line with its name above it, at the left or the right end."""
    ax.axhline(level, color=INK, lw=1, ls=ls)
    ax.annotate(
        text,
        (1.0 if right else 0.01, level),
        xycoords=("axes fraction", "data"),
        ha="right" if right else "left",
        va="bottom",
        fontsize=8,
        color=INK,
    )


def mark_minimum(ax: Any, minimum_dm_pct: float, *, right: bool = False) -> None:
    """The user's minimum."""
    mark_level(ax, minimum_dm_pct, f"your minimum {minimum_dm_pct:g} %", right=right)


def draw_intervals(
    ax: Any, rows: Sequence[tuple[str, float | None, float | None, float | None]]
) -> Any:
    """A named row for each value with its lower and upper end, the first on top."""
    ax = axes_or_new(ax, len(rows))
    places = range(len(rows) - 1, -1, -1)
    for place, (_, value, low, high) in zip(places, rows):
        if low is not None and high is not None:
            ax.plot([low, high], [place, place], color=STRONG, lw=2)
        if value is not None:
            ax.plot(value, place, "o", color=STRONG, ms=6)
    ax.set_yticks(list(places))
    ax.set_yticklabels([name for name, *_ in rows], parse_math=False)
    ax.set_ylim(-0.6, len(rows) - 0.4)
    return ax
