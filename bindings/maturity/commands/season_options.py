"""Options that several commands on a season have in common."""

from __future__ import annotations

from pathlib import Path

import click

from maturity.commands.dates import A_MOMENT

calibration_option = click.option(
    "--calibration",
    type=click.Path(exists=True, dir_okay=False, path_type=Path),
    help="Stored calibration of shape and meters against dry matter (JSON).",
)
results_option = click.option(
    "--results",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for measurements and results (default: SEASON/results).",
)
#: Of commands that write nothing else there.
measurements_option = click.option(
    "--results",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for measurements (default: SEASON/results).",
)
as_of_option = click.option(
    "--as-of",
    type=A_MOMENT,
    help="Moment for withholding and re-entry periods (default: day of each visit).",
)
pool_option = click.option(
    "--pool",
    is_flag=True,
    help="Also rank the blocks of a cultivar by means drawn together; no decision changes.",
)
threads_option = click.option(
    "--threads", type=click.IntRange(min=0), default=0, help="0: one for each core."
)
