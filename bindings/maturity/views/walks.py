"""Tables, plots and notebook pages of walks: planned, under way, and what they gave."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

import pandas

from maturity import _core
from maturity.views.drawing import FAINT, INK, STRONG, axes_or_new, draw_intervals
from maturity.views.pages import page, table
from maturity.views.records import row_of

if TYPE_CHECKING:
    from maturity.walk.plan import WalkPlan
    from maturity.walk.progress import WalkProgress
    from maturity.walk_answer import WalkAnswer

_NORMAL_95 = 1.96
#: Lines of the rounds, by their order.
_LINES = ("-", "--", ":", "-.")


def draw_counts(ax: Any, counts: dict[str, int], title: str) -> Any:
    """A bar for each count."""
    ax = axes_or_new(ax, 4)
    names, places = list(counts), range(len(counts) - 1, -1, -1)
    bars = ax.barh(list(places), list(counts.values()), height=0.5, color=STRONG)
    ax.bar_label(bars, padding=4)
    ax.set_yticks(list(places))
    ax.set_yticklabels(names)
    ax.set_xlim(0, max(1.0, 1.15 * max(counts.values())))
    ax.set_xlabel("number")
    ax.set_title(title, fontsize=10, loc="left", parse_math=False, wrap=True)
    return ax


def sample_plan_plot(self: _core.SamplePlan, ax: Any = None) -> Any:
    """What to add: trees, fruit on photos, oven readings; the title says what that would settle."""
    counts = {"trees": self.trees, "fruit on photos": self.photos, "oven readings": self.oven}
    return draw_counts(ax, counts, plan_title(self))


def plan_title(plan: _core.SamplePlan) -> str:
    """What a plan comes to, over its picture."""
    if plan.outcome != "plan":
        return plan.outcome_sentence
    chance = "" if plan.p_settle is None else f": settles it with {100 * plan.p_settle:.0f} in 100"
    return f"To add{chance}"


def sample_plan_html(self: _core.SamplePlan) -> str:
    """What to add, and the same in a sentence."""
    from maturity.planning import plan_sentence

    return page("More samples", row_of(self), [plan_sentence(self)])


def design_plot(self: _core.WalkDesign, ax: Any = None) -> Any:
    """Trees, fruit on photos and oven readings of the walk; the title says its expected error."""
    counts = {
        "trees": self.trees,
        "fruit on photos": self.trees * self.fruit_per_tree,
        "oven readings": self.trees * self.oven_per_tree,
    }
    return draw_counts(
        ax, counts, f"Expected error: +- {_NORMAL_95 * self.standard_error:.1f} % (95 %)"
    )


def walk_result_plot(self: _core.WalkResult, ax: Any = None) -> Any:
    """The mean with its 95 % interval as a plain random draw, and as the trees lay spread out."""
    rows: list[tuple[str, float | None, float | None, float | None]] = []
    for name, error in (("at random", self.random_error), ("spread out", self.balanced_error)):
        if error is not None:
            half = _NORMAL_95 * error
            rows.append((name, self.mean, self.mean - half, self.mean + half))
    ax = draw_intervals(ax, rows)
    ax.set_xlabel("mean dry matter of the walk, %")
    return ax


def plan_frame(self: WalkPlan) -> pandas.DataFrame:
    """One row for each fruit to take: round, stop, row, tree, place, fruit, side, height, dry."""
    rows = [
        {
            "round": number,
            "stop": stop.number,
            "row": stop.row,
            "tree": stop.tree,
            "lat_deg": stop.lat,
            "lon_deg": stop.lon,
            "fruit": fruit.fruit,
            "side": fruit.side,
            "height": fruit.height,
            "dry": fruit.dry,
        }
        for number, one in enumerate(self.rounds, 1)
        for stop in one.stops
        for fruit in stop.fruit
    ]
    return pandas.DataFrame(rows)


def plan_plot(self: WalkPlan, ax: Any = None) -> Any:
    """All trees as dots, the way as a line for each round, its stops numbered.

    Parameters
    ----------
    ax : matplotlib.axes.Axes, optional
        Default: those of a new figure.

    Returns
    -------
    matplotlib.axes.Axes
    """
    ax = axes_or_new(ax)
    along = [place[1] for place in self.trees.places]
    across = [place[2] for place in self.trees.places]
    ax.plot(across, along, ".", color=FAINT, ms=2, ls="")
    for number, one in enumerate(self.rounds):
        way = [(place[1], place[0]) for place in one.path_places]
        line = _LINES[number % len(_LINES)]
        ax.plot(*zip(*way), color=STRONG, lw=1.2, ls=line, label=f"round {number + 1}")
        where = {tree.tree: place for tree, place in zip(one.path, way)}
        for stop in one.stops:
            x, y = where[stop.tree]
            ax.plot(x, y, "o", color="white", mec=INK, ms=13)
            ax.text(x, y, str(stop.number), ha="center", va="center", fontsize=7, color=INK)
    unit = "m" if self.trees.in_metres else "counted"
    ax.set_xlabel(f"across the rows, {'m' if self.trees.in_metres else 'rows counted'}")
    ax.set_ylabel(f"along the rows, {unit if self.trees.in_metres else 'trees counted'}")
    if self.trees.in_metres:
        ax.set_aspect("equal", adjustable="datalim")
    ax.set_title(f"Walk of {self.block}, {self.moment:%Y-%m-%d}", fontsize=10, parse_math=False)
    if len(self.rounds) > 1:
        ax.legend(frameon=False, fontsize=8, loc="upper left", bbox_to_anchor=(1.0, 1.0))
    return ax


def plan_html(self: WalkPlan) -> str:
    """How many, why, and what to mind before going in."""
    rows = {
        "trees": self.design.trees,
        "trees that may be drawn": self.eligible,
        "rounds": len(self.rounds),
        "fruit of each tree": self.design.fruit_per_tree,
        "oven readings of each tree": self.design.oven_per_tree,
        "seed": self.seed,
        "going in": "allowed" if self.entry.allowed else "not allowed",
    }
    said = [self.size_sentence(), *self.policy_sentences(), *self.basis, *self.entry.reasons]
    said += [f"Sampled fruit is not for eating or sale. {self.not_for_eating}"] * bool(
        self.not_for_eating
    )
    title = f"Walk of block {self.block}, {self.moment:%Y-%m-%d %H:%M}"
    return page(title, rows, [*said, *self.left_out, *self.notes])


def plan_repr(self: WalkPlan) -> str:
    """The plan in a line."""
    size = f"trees {self.design.trees}, rounds {len(self.rounds)}, seed {self.seed}"
    return f"<WalkPlan {self.block!r}, {self.moment:%Y-%m-%d %H:%M}: {size}>"


def progress_frame(self: WalkProgress) -> pandas.DataFrame:
    """One row for each tree of the plan: round, tree, state (done, drying, to_do, skipped)."""
    states = {**dict.fromkeys(self.done, "done"), **dict.fromkeys(self.drying, "drying")}
    states |= {**dict.fromkeys(self.to_do, "to_do"), **dict.fromkeys(self.plan.skipped, "skipped")}
    rows = [
        {"round": number, "tree": tree, "state": states.get(tree, "to_do")}
        for number, members in enumerate(self.plan.rounds, 1)
        for tree in members
    ]
    return pandas.DataFrame(rows)


def progress_plot(self: WalkProgress, ax: Any = None) -> Any:
    """The chance that the rule is met under each row of policy, and what this look asks for.

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
        No round is done: there is nothing to judge yet.
    """
    if not self.answers:
        done = f"{len(self.done)} of {len(self.plan.trees)} trees done"
        raise ValueError(f"walk of block {self.plan.block}: no round is complete yet ({done})")
    return _draw_answers(self.answers, ax)


def answer_plot(self: WalkAnswer, ax: Any = None) -> Any:
    """The chance that the rule is met, and what this look asks for to say ready or not yet."""
    return _draw_answers([self], ax)


def _draw_answers(answers: list[WalkAnswer], ax: Any) -> Any:
    ax = axes_or_new(ax, 1 + len(answers))
    places = range(len(answers) - 1, -1, -1)
    for place, one in zip(places, answers):
        estimate = one.visit.estimate
        if one.look is not None:
            needed = 100 * one.look.needed
            ax.plot([100 - needed, needed], [place] * 2, color=FAINT, lw=7, alpha=0.35)
            for end, word in ((100 - needed, "not yet"), (needed, "ready")):
                ax.plot(end, place, "|", color=INK, ms=18, mew=1.6)
                ax.annotate(
                    word, (end, place), (0, 12), textcoords="offset points", ha="center", fontsize=8
                )
        if estimate is not None and estimate.readiness is not None:
            ax.plot(estimate.readiness, place, "o", color=STRONG, ms=8)
    ax.set_yticks(list(places))
    ax.set_yticklabels([one.visit.market or one.visit.rule for one in answers], parse_math=False)
    ax.set_ylim(-0.6, len(answers) - 0.4)
    ax.set_xlim(-4, 104)
    ax.set_xlabel("chance in 100 that the rule is met; between the strokes: go on")
    return ax


def progress_html(self: WalkProgress) -> str:
    """Where the walk stands, and what each row of policy says."""
    rows = {
        "trees done": len(self.done),
        "drying": ", ".join(self.drying) or "none",
        "to walk": ", ".join(self.to_do) or "none",
        "skipped": ", ".join(self.plan.skipped) or "none",
        "rounds done": f"{self.rounds_done} of {len(self.plan.rounds)}",
        "next trees": ", ".join(self.next_trees()) or "none",
    }
    said = [text for one in self.answers for text in one.sentences()]
    said += [] if self.crop is None else [self.crop]
    said += [] if self.entry is None else self.entry.reasons
    return page(f"Walk of block {self.plan.block}", rows, [*said, *self.notes])


def progress_repr(self: WalkProgress) -> str:
    """The walk in a line."""
    states = ", ".join(one.state for one in self.answers) or "no round done"
    trees = f"{len(self.done)} of {len(self.plan.trees)} trees done"
    return f"<WalkProgress {self.plan.block!r}: {trees}; {states}>"


def answer_frame(self: WalkAnswer) -> pandas.DataFrame:
    """One row: block, market, state, readiness_in_100, and what the look asks for."""
    row: dict[str, Any] = {"block": self.visit.block, "market": self.visit.market}
    row["state"] = self.state
    estimate = self.visit.estimate
    row["readiness_in_100"] = None if estimate is None else estimate.readiness
    row.update({} if self.look is None else row_of(self.look))
    row["chance_at_end"] = self.chance_at_end
    return pandas.DataFrame([row])


def answer_html(self: WalkAnswer) -> str:
    """The row of `to_frame`, and the answer in words."""
    return table("Look at a walk", answer_frame(self).to_dict("records"), self.sentences())


#: By type of the library: plot.
WALK_PLOTS: dict[type, Callable[..., Any]] = {
    _core.SamplePlan: sample_plan_plot,
    _core.WalkDesign: design_plot,
    _core.WalkResult: walk_result_plot,
}
