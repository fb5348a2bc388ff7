"""The map on the sheet of a walk."""

from __future__ import annotations

from matplotlib.axes import Axes

from maturity.walk.plan import WalkPlan

_HIGHEST_MM, _LOWEST_MM = 125.0, 25.0
#: Lines of the rounds, and their names.
_LINES = (("-", "solid"), ("--", "dashed"), (":", "dotted"), ("-.", "dash-dotted"))


def draw_map(
    axes: Axes, plan: WalkPlan, *, left: float, right: float, top: float, lowest: float
) -> float | None:
    """Rows from left to right, the trees of the walk numbered, the way as a line.

    Returns the height of the row numbers below it; None where there was no room.
    """
    room = min(_HIGHEST_MM, top - lowest)
    if room < _LOWEST_MM:
        return None
    along = [place[1] for place in plan.trees.places]
    across = [place[2] for place in plan.trees.places]
    up = room / (max(along) - min(along) or 1.0)
    wide = (right - left - 10.0) / (max(across) - min(across) or 1.0)
    if plan.trees.in_metres:
        up = wide = min(up, wide)
    begin, bottom = left + 5.0, top - 4.0 - (max(along) - min(along)) * up

    def on_page(place: tuple[float, float]) -> tuple[float, float]:
        return (begin + (place[1] - min(across)) * wide, bottom + (place[0] - min(along)) * up)

    spots = [on_page(place[1:]) for place in plan.trees.places]
    axes.scatter(*zip(*spots), s=1.5, color="0.55", linewidths=0)
    for number, one in enumerate(plan.rounds):
        axes.plot(
            *zip(*(on_page(place) for place in one.path_places)),
            color="0.3",
            lw=0.9,
            ls=_LINES[number % len(_LINES)][0],
        )
        where = {tree.tree: place for tree, place in zip(one.path, one.path_places)}
        for stop in one.stops:
            spot = on_page(where[stop.tree])
            axes.scatter(*spot, s=75, color="white", edgecolors="black", linewidths=0.9, zorder=3)
            axes.text(*spot, str(stop.number), fontsize=6.5, ha="center", va="center", zorder=4)
    rows = {place[0]: (tree.row, place) for tree, place in zip(plan.trees.trees, plan.trees.places)}
    free_from = 0.0
    for _, (name, place) in sorted(rows.items()):
        x = on_page(place[1:])[0]
        if x >= free_from:
            axes.text(
                x, bottom - 4.0, name, fontsize=7.5, ha="center", va="center", parse_math=False
            )
            free_from = x + 2.0 + 2.0 * len(name)
    return bottom - 4.0


def map_caption(plan: WalkPlan) -> str:
    """How to read the map, and where each round begins."""
    scale = "to scale" if plan.trees.in_metres else "not to scale"
    if len(plan.rounds) == 1:
        row = plan.rounds[0].path[0].row
        return f"Rows by number, {scale}. The way begins at the lower end of row {row}."
    ways = "; ".join(
        f"round {number + 1} {_LINES[number % len(_LINES)][1]}, from row {one.path[0].row}"
        for number, one in enumerate(plan.rounds)
    )
    return f"Rows by number, {scale}. Each round begins at the lower end of a row: {ways}."
