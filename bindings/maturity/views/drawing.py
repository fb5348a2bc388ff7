"""What every plot method begins with."""

from __future__ import annotations

from typing import Any

INK, STRONG = "#1f2a30", "#0d4f5c"


def axes_or_new(ax: Any) -> Any:
    """The axes given, or those of a new figure."""
    if ax is not None:
        return ax
    # Loaded here only: matplotlib takes long to load, and most uses draw nothing.
    from matplotlib import pyplot

    return pyplot.subplots()[1]


def mark_minimum(ax: Any, minimum_dm_pct: float) -> None:
    """The user's minimum as a broken line with its name."""
    ax.axhline(minimum_dm_pct, color=INK, lw=1, ls="--")
    ax.annotate(
        f"minimum {minimum_dm_pct:g} %",
        (0.01, minimum_dm_pct),
        xycoords=("axes fraction", "data"),
        va="bottom",
        fontsize=8,
    )
