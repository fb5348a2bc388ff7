"""`maturity walk`: which trees to sample, which way, and when it is enough."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click
from rich.console import Console

from maturity.commands.dates import A_MOMENT
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.screen import output, photo_progress, show_problems
from maturity.commands.season_options import measurements_option, threads_option
from maturity.commands.walk_options import at_seven, costs_of
from maturity.commands.walk_screen import say, show_plan, show_progress
from maturity.scoring import SeasonScore, score_season
from maturity.season import read_season
from maturity.season.season import Season
from maturity.stored_walk import PLAN_FILE, StoredPlan, new_plan, read_plan
from maturity.tables import write_json
from maturity.walk.entry import refuse_entry
from maturity.walk.files import default_folder, write_geojson, write_gpx, write_walk_csv
from maturity.walk.plan import WalkPlan, plan_walk
from maturity.walk.progress import WalkProgress, walk_progress

_POSITIVE = click.IntRange(min=1)


@click.command(
    epilog="Example: maturity walk sample-images/season --block Quarry --date 2025-11-28 --out walk"
)
@click.argument("season", type=click.Path(path_type=Path))
@click.option("--block", required=True, help="Block to walk.")
@click.option(
    "--out",
    metavar="DIR",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder of the plan (default: walk-BLOCK-DATE). With a plan in it: enough, or go on?",
)
@click.option(
    "--date",
    "moment",
    metavar="DATE",
    type=A_MOMENT,
    help="When you go in: 2026-11-10 (7 in the morning) or 2026-11-10T15:00 (default: now).",
)
@click.option("--trees", metavar="K", type=_POSITIVE, help="Trees, instead of a planned number.")
@click.option("--fruit", metavar="M", type=click.IntRange(1, 12), help="Fruit of each tree.")
@click.option(
    "--oven", metavar="N", type=click.IntRange(1, 12), help="Dried of each, with --trees."
)
@click.option(
    "--error", metavar="PCT", type=float, help="95 % interval wanted, +- PCT % dry matter."
)
@click.option(
    "--clear", metavar="SHARE", type=float, help="Chance wanted of ready or not yet, as 0.8."
)
@click.option("--rounds", metavar="R", type=_POSITIVE, help="Rounds; look at results after each.")
@click.option("--seed", metavar="S", type=click.IntRange(min=0), help="Same seed, same trees.")
@click.option("--without-edge-rows", is_flag=True, help="Leave the first and the last row out.")
@click.option(
    "--costs", metavar="TREE,PHOTO,OVEN", help="Your own costs, any unit (default: a guess)."
)
@click.option(
    "--confirmed-by",
    metavar="NAME",
    help="Who stands for going in though a re-entry period is open or unknown.",
)
@click.option(
    "--skip",
    "skipped",
    metavar="TREE",
    multiple=True,
    help="Tree of the plan without fruit or out of reach, again for more.",
)
@click.option("--anew", is_flag=True, help="Draw a new plan over the one in DIR.")
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the plan, or where the walk stands, as JSON.",
)
@measurements_option
@threads_option
def walk(
    season: Path,
    block: str,
    out: Path | None,
    moment: datetime.datetime | None,
    trees: int | None,
    fruit: int | None,
    oven: int | None,
    error: float | None,
    clear: float | None,
    rounds: int | None,
    seed: int | None,
    without_edge_rows: bool,
    costs: str | None,
    confirmed_by: str | None,
    skipped: tuple[str, ...],
    anew: bool,
    json_file: Path | None,
    results: Path | None,
    threads: int,
) -> None:
    """Plan a walk through a block of SEASON, or say whether its results are enough.

    Trees are drawn at random, spread over the block, each with the same chance. A folder that
    holds a plan is gone on with: enter the readings in SEASON, and run the same command again.
    """
    when = at_seven(moment)
    folder = default_folder(block, when) if out is None else out
    season_read = read_season(season, needs_data=False)
    stored = None if anew else read_plan(folder, block)
    if stored is not None:
        planning = (
            trees,
            fruit,
            oven,
            error,
            clear,
            rounds,
            seed,
            costs,
            without_edge_rows or None,
        )
        if any(one is not None for one in planning):
            raise click.UsageError(
                f"{folder} holds a plan already: give --anew to draw another, or another --out"
            )
        _go_on(
            season_read, stored, folder, when, skipped, confirmed_by, json_file, results, threads
        )
        return
    if skipped:
        raise click.UsageError("--skip goes with the folder of a plan (--out DIR)")
    plan = plan_walk(
        season_read,
        block,
        moment=when,
        trees=trees,
        fruit=fruit,
        oven=oven,
        half_width_pct=error,
        clear=clear,
        rounds=rounds,
        seed=seed,
        without_edge_rows=without_edge_rows,
        confirmed_by=confirmed_by,
        costs=costs_of(costs),
        score=_score(season_read, results, threads),
    )
    made = _write_all(folder, plan, season_read, results)
    if json_file is not None:
        write_json(json_file, plan.to_dict())
    show_plan(output(), plan, folder, made)
    problems = show_problems(output(), season_read, used=USED_TABLES)
    sys.exit(LEFT_OUT if plan.notes or problems else DONE)


def _score(season: Season, results: Path | None, threads: int) -> SeasonScore | None:
    """Earlier visits; None where nothing was measured yet."""
    if not season.photos and not any(season.tables[name].rows for name in ("oven", "meter")):
        return None
    with photo_progress() as progress:
        return score_season(season, results=results, threads=threads, progress=progress)


def _write_all(folder: Path, plan: WalkPlan, season: Season, results: Path | None) -> list[str]:
    """Every file of a plan; returns their names."""
    # Loaded here only: matplotlib takes long to load, and other commands do without.
    from maturity.cards import card_text, write_cards
    from maturity.walk.sheet import write_sheet

    row = next(row for row in season.tables["blocks"].rows if row["block"] == plan.block)
    point = None if row["lat"] is None or row["lon"] is None else (row["lat"], row["lon"])
    for tree in plan.tree_names:
        card_text(plan.block, tree)  # a name that no card can bear is said before anything is made
    write_walk_csv(folder / "walk.csv", plan)
    write_sheet(folder / "walk.pdf", plan)
    write_cards(
        folder / "cards.pdf",
        tiles=plan.design.fruit_per_tree,
        trees=[(plan.block, tree) for tree in plan.tree_names],
    )
    made = ["walk.pdf", "cards.pdf", "walk.csv"]
    if plan.trees.has_positions or point is not None:
        write_gpx(folder / "walk.gpx", plan, point)
        write_geojson(folder / "walk.geojson", plan, point)
        made += ["walk.gpx", "walk.geojson"]
    if not plan.trees.has_positions:
        what = "no walk.gpx and no walk.geojson" if point is None else "maps show the block only"
        plan.notes.append(f"the positions of the trees are not all known: {what}")
    stored = new_plan(plan.to_dict())
    stored.save(folder)
    stored.record(_results_of(season, results))
    return [*made, PLAN_FILE]


#: Tables that a walk rests on; mistakes elsewhere change nothing here.
USED_TABLES = ("blocks", "trees", "policy", "sprays", "photos", "fruit", "oven", "meter")


def _results_of(season: Season, results: Path | None) -> Path:
    return season.folder / "results" if results is None else results


def _go_on(
    season: Season,
    stored: StoredPlan,
    folder: Path,
    when: datetime.datetime,
    skipped: tuple[str, ...],
    confirmed_by: str | None,
    json_file: Path | None,
    results: Path | None,
    threads: int,
) -> None:
    with photo_progress() as progress:
        state = walk_progress(
            season,
            stored,
            moment=when,
            skip=skipped,
            confirmed_by=confirmed_by,
            results=results,
            threads=threads,
            progress=progress,
        )
    stored.save(folder)
    stored.record(_results_of(season, results))
    if json_file is not None:
        write_json(json_file, state.to_dict())
    if state.entry is not None:
        # Before anybody reads "go on".
        refuse_entry(state.entry, stored.block)
    console = output()
    show_progress(console, state)
    if not state.going_on:
        _show_next(console, season, state, results, threads)
    problems = show_problems(console, season, used=USED_TABLES)
    sys.exit(LEFT_OUT if state.notes or problems else DONE)


def _show_next(
    console: Console, season: Season, state: WalkProgress, results: Path | None, threads: int
) -> None:
    """Size of the next walk, a week on, from what this one taught."""
    if all(one.state in ("ready", "not_cleared") for one in state.answers):
        return
    later = state.plan.moment + datetime.timedelta(days=7)
    try:
        plan = plan_walk(
            season,
            state.plan.block,
            moment=later,
            confirmed_by="not asked: size only",
            seed=0,
            score=_score(season, results, threads),
        )
    except ValueError as error:
        say(console, f"The next walk cannot be planned yet: {error}.")
        return
    say(console, f"Next walk, about {later:%Y-%m-%d}: {plan.size_sentence()}")
    for sentence in plan.basis:
        say(console, sentence)
