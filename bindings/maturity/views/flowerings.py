"""Table, plot and notebook page of a block whose flowerings are known."""

from __future__ import annotations

from typing import Any

import pandas

from maturity import _core
from maturity.flowering_rows import flowering_rows
from maturity.views.drawing import draw_intervals
from maturity.views.pages import table
from maturity.views.records import Views
from maturity.views.walks import draw_counts, plan_title


def joined_frame(self: _core.JoinedEstimate) -> pandas.DataFrame:
    """One row for each flowering; shares are 0 to 1, intervals 95 %."""
    return pandas.DataFrame(flowering_rows(self))


def joined_plot(self: _core.JoinedEstimate, ax: Any = None) -> Any:
    """Share of mature fruit of each flowering and of the block, with its 95 % interval."""
    named = [(f"flowering {one.name}", one.estimate) for one in self.flowerings]
    rows: list[tuple[str, float | None, float | None, float | None]] = []
    for name, estimate in [*named, ("block", self.block)]:
        low, high = estimate.share_interval or (None, None)
        rows.append((name, _in_100(estimate.share_mature), _in_100(low), _in_100(high)))
    ax = draw_intervals(ax, rows)
    ax.set_xlabel("mature fruit in 100, with 95 % interval")
    return ax


def _in_100(share: float | None) -> float | None:
    return None if share is None else 100 * share


def joined_html(self: _core.JoinedEstimate) -> str:
    """Each flowering, and what keeps the block back."""
    columns = ("flowering", "crop_share", "mean_dm_pct", "share_mature", "readiness_in_100")
    rows = [
        {name: row[name] for name in (*columns, "fruit_with_oven")} for row in flowering_rows(self)
    ]
    said = [] if self.crop_share_sentence is None else [self.crop_share_sentence]
    return table("Flowerings of a block", rows, [*said, *self.sentences])


def flowering_plan_frame(self: _core.FloweringPlan) -> pandas.DataFrame:
    """One row for each flowering: what to add, and its part of what is not known (0 to 1)."""
    return pandas.DataFrame(
        [
            {
                "flowering": one.name,
                "more_trees": one.trees,
                "more_photos": one.photos,
                "more_oven_readings": one.oven,
                "variance_share": one.part,
            }
            for one in self.flowerings
        ]
    )


def flowering_plan_plot(self: _core.FloweringPlan, ax: Any = None) -> Any:
    """Oven readings to add to each flowering; the title says what that would settle."""
    counts = {f"flowering {one.name}": one.oven for one in self.flowerings}
    ax = draw_counts(ax, counts, plan_title(self.block))
    ax.set_xlabel("more oven readings")
    return ax


def flowering_plan_html(self: _core.FloweringPlan) -> str:
    """What each flowering wants, and the same in words."""
    from maturity.flowering_plan import plan_sentences

    rows = flowering_plan_frame(self).to_dict("records")
    return table("More samples, by flowering", rows, plan_sentences(self))


#: By type of the library: table, plot, page.
FLOWERING_VIEWS: dict[type, Views] = {
    _core.JoinedEstimate: (joined_frame, joined_plot, joined_html),
    _core.FloweringPlan: (flowering_plan_frame, flowering_plan_plot, flowering_plan_html),
}
