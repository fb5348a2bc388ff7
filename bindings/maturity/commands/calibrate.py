"""`maturity calibrate`: what shape and meters say about oven dry matter in a season."""

from __future__ import annotations

import sys
from pathlib import Path

import click
from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity import _core
from maturity.calibrating import SeasonCalibration, calibrate_season
from maturity.commands.exits import DONE, LEFT_OUT
from maturity.commands.screen import output, photo_progress
from maturity.commands.season_options import measurements_option, threads_option
from maturity.tables import write_json
from maturity.visit_scoring import DEFAULT_DESCRIPTORS


@click.command(epilog="Example: maturity calibrate sample-images/season --out calibration.json")
@click.argument("season", type=click.Path(path_type=Path))
@click.option(
    "--out",
    "--json",
    "out",
    required=True,
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the calibrations here (JSON), for maturity score --calibration.",
)
@click.option(
    "--descriptor",
    "descriptors",
    multiple=True,
    help="Shape descriptor to offer, again for each; default: those that score uses.",
)
@measurements_option
@threads_option
def calibrate(
    season: Path, out: Path, descriptors: tuple[str, ...], results: Path | None, threads: int
) -> None:
    """Hold shape and meters of SEASON against its oven values, block by block."""
    with photo_progress() as progress:
        made = calibrate_season(
            season,
            results=results,
            descriptors=descriptors or DEFAULT_DESCRIPTORS,
            threads=threads,
            progress=progress,
        )
    if not made.shape and not made.meters:
        reasons = "; ".join(f"{what}: {reason}" for what, reason in made.missing.items())
        raise click.ClickException(f"nothing to calibrate: {reasons or 'no oven value'}")
    write_json(out, made.to_dict())
    show_calibration(output(), made)
    sys.exit(DONE if made.complete else LEFT_OUT)


def show_calibration(console: Console, made: SeasonCalibration) -> None:
    """Outcome, slopes, agreement and limits of each calibration."""
    for cultivar, shape in made.shape.items():
        console.print(
            Text(
                f"Shape against oven, {cultivar}: {shape.fruit} fruit of {shape.blocks} visits to "
                f"{shape.folds or 1} block{'s' if shape.folds > 1 else ''}"
            )
        )
        _show_shape(console, shape)
        console.print()
    for name, meter in made.meters.items():
        console.print(Text(f"Meter {name} against oven: {meter.overall.pairs} fruit"))
        _show_meter(console, meter)
        console.print()
    for what, reason in made.missing.items():
        _say(console, f"No calibration of {what}: {reason}.")
    console.print(Text("Limits:"))
    for limit in made.limits:
        _say(console, limit)
    left_out = len(made.found.left_out) + len(made.season.problems)
    if left_out:
        _say(console, f"{left_out} left out or in doubt: see the file for each with its reason.")


def _say(console: Console, text: str) -> None:
    console.print(Padding(Text(text), (0, 0, 0, 2), expand=False))


def _show_shape(console: Console, shape: _core.ShapeCalibration) -> None:
    _say(console, f"Outcome: {shape.outcome_sentence}.")
    if shape.within_r_squared is not None and shape.p_value is not None:
        predicted = (
            f"predict {shape.within_r_squared:.2f} of the variance within it"
            if shape.within_r_squared > 0
            else "predict none of the variance within it"
        )
        _say(
            console,
            f"Each block left out in turn, slopes of the others {predicted} "
            f"(P {shape.p_value:.3f}).",
        )
    table = _table("Descriptor", "% per unit", "Error (SD)", "of which between blocks")
    for index, name in enumerate(shape.names):
        error = float(shape.slopes_covariance[index, index]) ** 0.5
        spread = float(shape.between_block_sd[index])
        table.add_row(name, f"{shape.slopes[index]:.2f}", f"{error:.2f}", f"{spread:.2f}")
    console.print(table)
    if shape.not_selected:
        _say(console, f"Not selected: {', '.join(shape.not_selected)}.")
    rows = [
        ("as predicted", shape.new_block),
        ("mean put right", shape.after_local_mean),
    ]
    _show_agreement(console, [(name, one) for name, one in rows if one is not None])


def _show_meter(console: Console, meter: _core.MeterFit) -> None:
    _show_agreement(console, [("all fruit", meter.overall)])
    if meter.within_block_sep is None:
        _say(console, "Too few fruit to tell its error once the bias of a block is out.")
    else:
        _say(
            console,
            f"Once the bias of each block is out: SEP {meter.within_block_sep:.2f} % "
            f"({meter.within_block_fruit} fruit).",
        )
    if meter.bias_sd_between_blocks is None:
        _say(console, "One visit only: how its bias moves between blocks cannot be told.")
    else:
        spread = meter.bias_sd_between_blocks
        _say(console, f"Its bias differs between visits by SD {spread:.2f} %.")
    table = _table("Visit", "Fruit", "Bias, %", "Standard error")
    for one in meter.blocks:
        error = f"{one.standard_error:.2f}"
        table.add_row(Text(one.block), str(one.pairs), f"{one.bias:+.2f}", error)
    console.print(table)


def _show_agreement(console: Console, rows: list[tuple[str, _core.Agreement]]) -> None:
    """Error = predicted - oven. R2 is the squared correlation, RPD the oven's SD over SEP."""
    if not rows:
        return
    table = _table("", "Bias", "SEP", "RMSEP", "Slope", "R2", "RPD")
    for name, one in rows:
        table.add_row(
            name,
            f"{one.bias:+.2f}{' *' if one.bias_significant else ''}",
            f"{one.sep:.2f}",
            f"{one.rmsep:.2f}",
            f"{one.slope:.2f}{' *' if one.slope_significant else ''}",
            f"{one.r_squared:.2f}",
            f"{one.rpd_sep:.1f}",
        )
        for end, which in enumerate(("95 % from", "to")):
            table.add_row(
                which,
                f"{one.bias_interval[end]:+.2f}",
                f"{one.sep_interval[end]:.2f}",
                f"{one.rmsep_interval[end]:.2f}",
                f"{one.slope_interval[end]:.2f}",
                f"{one.r_squared_interval[end]:.2f}",
                f"{one.rpd_sep_interval[end]:.1f}",
            )
    console.print(table)
    _say(
        console,
        "In % dry matter; error is predicted minus oven; * more than chance explains: bias from 0, "
        "slope (of oven on predicted) from 1. SEP: without the bias; RMSEP: with it. R2: squared "
        "correlation; RPD: SD of oven over SEP. Ranges and * take fruit as independent: too narrow "
        "where blocks or visits differ. 'mean put right' has no bias by construction.",
    )


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 2))
    for index, heading in enumerate(headings):
        table.add_column(Text(heading), justify="right" if index else "left", overflow="fold")
    return table
