"""What `maturity walk` says on the screen."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity.block_visit import in_100
from maturity.walk.plan import WalkPlan
from maturity.walk.progress import WalkProgress


def show_plan(console: Console, plan: WalkPlan, folder: Path, made: list[str]) -> None:
    """The plan in words; the trees are in the files."""
    console.print(Text(f"Walk, block {plan.block}, {plan.moment:%Y-%m-%d %H:%M}"))
    for sentence in [plan.size_sentence(), *plan.policy_sentences()]:
        say(console, sentence)
    for number, one in enumerate(plan.rounds, 1):
        length = "" if one.length_m is None else f", {one.length_m:.0f} m"
        trees = " ".join(stop.tree for stop in one.stops)
        say(console, f"Round {number}{length}: trees {trees}")
    if len(plan.rounds) > 1:
        whole = "" if plan.in_one_go_m is None else f" (all in one go: {plan.in_one_go_m:.0f} m)"
        say(console, f"Look at results after a whole round, never in between{whole}.")
    say(console, f"Drawn from {plan.eligible} trees, {plan.drawn_by}; seed {plan.seed}.")
    for sentence in plan.basis:
        say(console, sentence)
    _show_compared(console, plan)
    for name in plan.left_out:
        say(console, f"Left out: {name}.")
    if plan.entry.taken_on_by is not None:
        say(console, f"RE-ENTRY OPEN OR UNKNOWN, taken on by {plan.entry.taken_on_by}.")
    for reason in plan.entry.reasons + plan.entry.notes:
        say(console, f"Re-entry: {reason}.")
    if plan.not_for_eating is not None:
        say(console, f"Sampled fruit is NOT FOR EATING OR SALE. {plan.not_for_eating}")
    for note in plan.notes:
        say(console, f"Note: {note}.")
    console.print(Text(f"Made in {folder}: {', '.join(made)}"))
    console.print(
        Text("Print walk.pdf at 100 %. Labels, local rules and licensed practice come first.")
    )


def _show_compared(console: Console, plan: WalkPlan) -> None:
    """What fewer and more trees would buy."""
    table = Table(box=None, pad_edge=False, padding=(0, 3, 0, 2))
    known = plan.design.p_clear is not None
    for heading in ("Trees", "Oven", "Cost", "Error (95 %)", *(["Clear"] if known else [])):
        table.add_column(Text(heading), justify="right")
    for one in plan.compared:
        chosen = " *" if one.trees == plan.design.trees else ""
        row = [
            f"{one.trees}{chosen}",
            str(one.trees * one.oven_per_tree),
            f"{one.cost:.0f}",
            f"+- {1.96 * one.standard_error:.1f} %",
        ]
        table.add_row(*row, *([f"{in_100(100 * (one.p_clear or 0))} in 100"] if known else []))
    console.print(table)
    say(console, "*: the plan. Cost: from --costs, else a guess in no currency.")
    if known:
        say(console, "Clear: chance that the walk by itself says ready or not yet.")


def show_progress(console: Console, state: WalkProgress) -> None:
    """Where the walk stands, and enough or go on."""
    plan = state.plan
    console.print(Text(f"Walk, block {plan.block}, planned for {plan.moment:%Y-%m-%d %H:%M}"))
    total = len(state.done) + len(state.drying) + len(state.to_do)
    say(
        console,
        f"{len(state.done)} of {total} trees have oven results; {state.rounds_done} of "
        f"{len(plan.rounds)} rounds are done.",
    )
    if state.drying:
        say(console, f"Still in the dryer: tree {' '.join(state.drying)}.")
    if not state.rounds_done:
        todo = "go on" if state.next_trees() else "wait for the dryer"
        say(console, f"No whole round yet, and part of a round is part of the block: {todo}.")
    for one in state.answers:
        market = "" if one.visit.market is None else f"Market {one.visit.market}: "
        for index, sentence in enumerate(one.sentences()):
            say(console, (market if index == 0 else "") + sentence)
    if state.entry is not None:
        if state.entry.taken_on_by is not None:
            say(console, f"RE-ENTRY OPEN OR UNKNOWN, taken on by {state.entry.taken_on_by}.")
        for reason in state.entry.reasons + state.entry.notes:
            say(console, f"Re-entry: {reason}.")
    trees = state.next_trees()
    if trees and state.going_on:
        say(console, f"Next, {len(trees)} trees in this order: {' '.join(trees)}")
        say(console, f"Left in all: {len(state.to_do)} trees.")
        say(console, f"Enter {plan.moment:%Y-%m-%d} as the date of all fruit of this walk.")
    _show_result(console, state)
    for note in state.notes:
        say(console, f"Note: {note}.")


def _show_result(console: Console, state: WalkProgress) -> None:
    result = state.result
    if result is None:
        return
    say(console, f"The walk itself: mean of {result.trees} trees {result.mean:.1f} %.")
    if result.between_variance is not None and result.within_variance is not None:
        say(
            console,
            f"Variance between trees {result.between_variance:.2f}, between fruit of a tree "
            f"{result.within_variance:.2f} (% squared).",
        )
    elif result.trees > 1:
        say(console, "One dried fruit a tree: variance between and within trees not told apart.")
    if result.random_error is not None:
        text = f"Error of the mean (1 SD): {result.random_error:.2f} % as of a plain random draw"
        if result.balanced_error is not None:
            text += f", {result.balanced_error:.2f} % with the spread of the trees credited"
        say(console, f"{text}.")
    if state.crop is not None:
        say(console, state.crop)


def say(console: Console, text: str) -> None:
    console.print(Padding(Text(text), (0, 0, 0, 2), expand=False))
