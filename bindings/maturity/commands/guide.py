"""`maturity guide`: what mature fruit of a block looks like, to print and to send."""

from __future__ import annotations

import datetime
import sys
from pathlib import Path

import click

from maturity.commands.dates import A_DAY
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.score import run_score
from maturity.commands.screen import output
from maturity.commands.season_options import (
    calibration_option,
    measurements_option,
    threads_option,
)
from maturity.tables import write_json


@click.command(
    epilog="Example: maturity guide sample-images/season --block Quarry --date 2025-11-11 "
    "--practice --out guide-quarry"
)
@click.argument("season", type=click.Path(path_type=Path))
@click.option("--block", required=True, help="The block, as blocks.csv names it.")
@click.option(
    "--out",
    metavar="DIR",
    required=True,
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for guide.pdf, guide.png and practice.pdf.",
)
@click.option("--date", type=A_DAY, help="Visit (default: the block's latest).")
@click.option("--market", help="Row of policy.csv, where the block has several.")
@click.option(
    "--paper",
    type=click.Choice(["a4", "a3"], case_sensitive=False),
    default="a4",
    help="A4: one pair a page; A3: two. Both at true size.",
)
@click.option("--language", default="en", help="en, es or fr; es and fr are not yet checked.")
@click.option("--practice", is_flag=True, help="Add a sheet to sort, with its answers.")
@calibration_option
@click.option(
    "--json",
    "json_file",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write what the guide says as JSON.",
)
@measurements_option
@threads_option
def guide(
    season: Path,
    block: str,
    out: Path,
    date: datetime.datetime | None,
    market: str | None,
    paper: str,
    language: str,
    practice: bool,
    calibration: Path | None,
    json_file: Path | None,
    results: Path | None,
    threads: int,
) -> None:
    """Print what mature fruit of a block of SEASON looks like, where shape shows it.

    Where this block's data do not show that shape separates fruit, the guide is one page that says
    so, with the reason and the next step (exit code 1).
    """
    # Loaded here only: matplotlib takes long to load, and other commands do without.
    from maturity.guide import write_guide
    from maturity.guide.words import read_words

    read_words(language)  # a slip is said before anything is measured

    score = run_score(season, results=results, calibration=calibration, threads=threads)
    made = write_guide(
        score,
        block,
        out,
        date=None if date is None else date.date(),
        market=market,
        paper=paper,
        language=language,
        practice=practice,
    )
    content = made.content
    if json_file is not None:
        write_json(json_file, content.to_dict())
    console = output()
    console.print(content.state())
    if content.teaches:
        for text in content.share_texts():
            console.print(text)
    else:
        console.print(content.words("cannot_title") + ".")
        for text in [*content.reasons, *content.next_steps]:
            console.print(text)
    if made.no_practice is not None:
        console.print(f"No {made.no_practice}.")
    console.print(f"Made {', '.join(str(file) for file in made.files)}.")
    console.print("Print at 100 % and check the 100 mm line.")
    sys.exit(DONE if content.teaches and made.no_practice is None else LEFT_OUT)
