"""`maturity score`: a season folder to block estimates and decisions."""

from __future__ import annotations

import datetime
import re
import sys
from pathlib import Path

import click
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity import _core
from maturity.block_visit import DECISION_WORDS, BlockVisit
from maturity.cluster.dask_cluster import cluster_client
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.limits import photo_limit_options
from maturity.commands.screen import output, photo_progress, show_flags, show_list, show_problems
from maturity.commands.season_options import (
    as_of_option,
    calibration_option,
    pool_option,
    results_option,
    threads_option,
)
from maturity.flowering_plan import plan_sentences
from maturity.flowering_text import flowering_sentences
from maturity.photo_limits import PhotoLimits
from maturity.plain_text import as_sentence
from maturity.scoring import SeasonScore, score_season
from maturity.tables import write_csv, write_json

_REST = "see score.json or the report"
_SEASON = click.Path(path_type=Path)
_FILE = click.Path(dir_okay=False, path_type=Path)


@click.command(epilog="Example: maturity score sample-images/season --json scores.json")
@click.argument("season", type=_SEASON)
@calibration_option
@click.option("--json", "json_file", type=_FILE, help="Write everything as JSON.")
@click.option("--csv", "csv_file", type=_FILE, help="Write one row for each block and visit.")
@results_option
@as_of_option
@click.option(
    "--measured",
    metavar="DATASET",
    help="Dataset of `maturity measure --dataset`: what it holds is not measured again.",
)
@click.option(
    "--cluster",
    metavar="ADDRESS",
    help="Let a Dask cluster measure and score, like tcp://10.0.0.5:8786.",
)
@pool_option
@click.option(
    "--duplicate-limit",
    type=click.FloatRange(min=0),
    default=_core.duplicate_limit_pct,
    show_default=True,
    help="Oven duplicates further apart than this are named, points of % (AOAC 934.06: 0.2).",
)
@click.option(
    "--other-cultivar",
    is_flag=True,
    help="Use a calibration of one cultivar for blocks of others too, at your own risk.",
)
@threads_option
@photo_limit_options
def score(
    season: Path,
    calibration: Path | None,
    json_file: Path | None,
    csv_file: Path | None,
    results: Path | None,
    as_of: datetime.datetime | None,
    measured: str | None,
    cluster: str | None,
    pool: bool,
    duplicate_limit: float,
    other_cultivar: bool,
    threads: int,
    max_megapixels: float,
    max_seconds: float,
) -> None:
    """Say for each block of SEASON how mature it is, how sure that is, and why.

    Where fruit.csv or trees.csv name several flowerings in a block, each is estimated apart and the
    block joined by their shares of the crop.
    """
    limits = PhotoLimits(max_megapixels, max_seconds)
    result = run_score(
        season,
        results=results,
        calibration=calibration,
        as_of=as_of,
        threads=threads,
        limits=limits,
        measured=measured,
        pool=pool,
        duplicate_limit_pct=duplicate_limit,
        other_cultivar=other_cultivar,
        cluster=cluster,
    )
    folder = season / "results" if results is None else results
    frame = result.to_frame()
    rows = frame.to_dict("records")
    for file in (folder / "score.json", json_file):
        if file is not None:
            write_json(file, result.to_write())
    for file in (folder / "score.csv", csv_file):
        if file is not None:
            write_csv(file, list(frame.columns), rows)
    show_score(output(), result)
    sys.exit(DONE if result.complete else LEFT_OUT)


def run_score(
    season: Path,
    *,
    results: Path | None,
    calibration: Path | None = None,
    as_of: datetime.datetime | None = None,
    threads: int = 0,
    limits: PhotoLimits | None = None,
    measured: str | None = None,
    pool: bool = False,
    duplicate_limit_pct: float = _core.duplicate_limit_pct,
    other_cultivar: bool = False,
    cluster: str | None = None,
) -> SeasonScore:
    """Score a season folder with a progress bar, here or on a cluster."""
    with photo_progress() as progress, cluster_client(cluster) as client:
        return score_season(
            season,
            results=results,
            calibration=calibration,
            as_of=as_of,
            threads=threads,
            limits=limits,
            measured=measured,
            progress=progress,
            pool=pool,
            duplicate_limit_pct=duplicate_limit_pct,
            other_cultivar=other_cultivar,
            client=client,
        )


def show_score(console: Console, result: SeasonScore) -> None:
    """The table of blocks, why each decision is what it is, and what was left out."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in ("Block", "Visit", "Mean dry matter", "Mature share", "Decision"):
        table.add_column(Text(heading), overflow="fold")
    for visit in result.visits:
        table.add_row(*(Text(cell) for cell in _cells(visit)))
    if result.visits:
        console.print(table)
    for visit in result.visits:
        console.print()
        console.print(Text(f"{_title(visit)}: {visit.readiness_sentence()}."))
        sentences = [f"Rule: {visit.rule_sentence()}."] + visit.reason_sentences()
        if visit.latest:
            sentences += next_step_sentences(visit) + [
                f"{as_sentence(note)}." for note in visit.notes
            ]
        lines = flowering_sentences(visit)
        sentences += lines[:1]
        for sentence in sentences:
            console.print(Padding(Text(sentence), (0, 0, 0, 2), expand=False))
        for sentence in lines[1:]:
            console.print(Padding(Text(sentence), (0, 0, 0, 4), expand=False))
    _show_ranking(console, result)
    for name, reason in result.silent_blocks.items():
        console.print(Text(f"\n{name}: no estimate; {reason}."))
    for note in result.notes():
        console.print(Text(f"\nNote: {note}."))
    left_out = [f"{one.what}: {one.reason}" for one in result.left_out]
    show_list(console, "Left out", left_out, _REST)
    show_flags(console, re.findall(r"\w+", " ".join(one.reason for one in result.left_out)))
    show_problems(console, result.season, _REST)
    console.print(
        Text("\nIntervals are 95 %. Labels, local rules and licensed practice come first.")
    )


def _show_ranking(console: Console, result: SeasonScore) -> None:
    """Blocks of a cultivar by dry matter drawn together; it bears on no decision."""
    rows = result.ranking().to_dict("records")
    if not rows:
        return
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for heading in ("Rank", "Block", "Drawn together", "By itself", "Rank"):
        table.add_column(Text(heading), overflow="fold")
    for row in rows:
        table.add_row(
            Text(str(row["pooled_rank"])),
            Text(row["block"]),
            *(
                Text(
                    f"{row[f'{name}_pct']:.1f} % "
                    f"({row[f'{name}_low_pct']:.1f} to {row[f'{name}_high_pct']:.1f})"
                )
                for name in ("pooled_mean_dm", "mean_dm")
            ),
            Text(str(row["pooled_raw_rank"])),
        )
    console.print(
        Text(
            "\nRanking by mean dry matter, the blocks of a cultivar drawn together. A block with "
            "few readings borrows from the others: use it for the order of work only, never to "
            "call a block ready."
        )
    )
    console.print(table)


def next_step_sentences(visit: BlockVisit) -> list[str]:
    """What to do next, where sampling can help."""
    return plan_sentences(visit.plan)


def _title(visit: BlockVisit) -> str:
    market = "" if visit.market is None else f" ({visit.market})"
    return f"{visit.block}{market}, {visit.date.isoformat()}"


def _cells(visit: BlockVisit) -> tuple[str, ...]:
    row = visit.to_row()
    mean = share = "not known"
    if row["mean_dm_pct"] is not None and row["mean_dm_low_pct"] is not None:
        mean = (
            f"{row['mean_dm_pct']:.1f} % "
            f"({row['mean_dm_low_pct']:.1f} to {row['mean_dm_high_pct']:.1f})"
        )
    if row["share_mature"] is not None and row["share_low"] is not None:
        middle, low, high = (
            _two_digits(row[name]) for name in ("share_mature", "share_low", "share_high")
        )
        share = f"{middle} ({low} to {high})"
    name = visit.block if visit.market is None else f"{visit.block} ({visit.market})"
    return (name, visit.date.isoformat(), mean, share, DECISION_WORDS[visit.decision])


def _two_digits(share: float) -> str:
    """A share that never claims none or all."""
    if share < 0.01:
        return "<0.01"
    return ">0.99" if share > 0.99 else f"{share:.2f}"
