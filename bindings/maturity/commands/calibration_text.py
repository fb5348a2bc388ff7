"""What `maturity calibrate` prints: outcome, slopes, agreement with its ranges, and limits."""

from __future__ import annotations

from collections.abc import Sequence

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from maturity import _core
from maturity.calibrating import SeasonCalibration

#: Name of a row, all fruit as independent, and what to expect of another block (None: few to tell).
_Row = tuple[str, _core.Agreement | None, _core.ClusteredAgreement | None]


#: A bias that is 0 by construction has no range.
_ROUNDING = 1e-6


def show_calibration(console: Console, made: SeasonCalibration) -> None:
    """Outcome, slopes, agreement and limits of each calibration."""
    if len(made.seasons) > 1:
        console.print(Text(f"Seasons: {', '.join(made.seasons)}"))
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
    if made.shape or made.meters:
        console.print(Text("How to read the tables:"))
        _say(console, _LEGEND)
        console.print()
    console.print(Text("Limits:"))
    for limit in made.limits:
        _say(console, limit)
    if made.left_out:
        _say(console, f"{made.left_out} left out or in doubt: see the file for each with reason.")


def _say(console: Console, text: str) -> None:
    console.print(Padding(Text(text), (0, 0, 0, 2), expand=False))


def _predicted(share: float, p_value: float, left_out: str) -> str:
    much = f"{share:.2f}" if share > 0 else "none"
    return (
        f"Each {left_out} left out in turn, slopes of the others predict {much} of the variance "
        f"within it (P {p_value:.3f})."
    )


def _show_shape(console: Console, shape: _core.ShapeCalibration) -> None:
    _say(console, f"Outcome: {shape.outcome_sentence}.")
    if shape.within_r_squared is not None and shape.p_value is not None:
        _say(console, _predicted(shape.within_r_squared, shape.p_value, "block"))
    if shape.by_season is not None:
        season = shape.by_season
        _say(console, _predicted(season.within_r_squared, season.p_value, "season"))
    table = _table("Descriptor", "% per unit", "Error (SD)", "of which between blocks")
    for index, name in enumerate(shape.names):
        error = float(shape.slopes_covariance[index, index]) ** 0.5
        spread = float(shape.between_block_sd[index])
        table.add_row(name, f"{shape.slopes[index]:.2f}", f"{error:.2f}", f"{spread:.2f}")
    console.print(table)
    if shape.not_selected:
        _say(console, f"Not selected: {', '.join(shape.not_selected)}.")
    rows: list[_Row] = [
        ("as predicted", shape.new_block, shape.new_block_ranges),
        ("mean put right", shape.after_local_mean, shape.after_local_mean_ranges),
    ]
    _show_agreement(console, rows, "block")
    if shape.by_season is not None:
        season = shape.by_season
        rows = [
            ("as predicted", season.new_block, season.new_block_ranges),
            ("mean put right", season.after_local_mean, season.after_local_mean_ranges),
        ]
        _show_agreement(console, rows, "season")


def _show_meter(console: Console, meter: _core.MeterFit) -> None:
    rows: list[_Row] = [("as read", meter.overall, meter.by_block)]
    _show_agreement(console, rows, "block")
    _say(console, _textbook(meter.overall))
    fold, season = meter.corrected_by_fold, meter.corrected_by_season
    if fold is not None:
        _say(console, "Corrected by bias and slope of the other blocks, each left out in turn:")
        _show_agreement(console, [("corrected", fold.agreement, fold.ranges)], "block")
    if season is not None:
        _say(console, "As read, and corrected by the other seasons, each left out in turn:")
        rows = [
            ("as read", meter.overall, meter.by_season),
            ("corrected", season.agreement, season.ranges),
        ]
        _show_agreement(console, rows, "season")
    if meter.slope is not None:
        slope = meter.slope
        _say(
            console,
            f"A reading changes by {slope.mean:.2f} for 1 % of dry matter (standard error "
            f"{slope.standard_error:.2f}); for another visit give or take {slope.new_block_sd:.2f} "
            f"(SD; between visits {slope.between_block_sd:.2f}).",
        )
    if meter.within_block_sep is None:
        _say(console, "Too few fruit to tell its error once bias and slope are out.")
    else:
        _say(
            console,
            f"Once the bias of each visit and the slope are out: SEP {meter.within_block_sep:.2f} "
            f"% ({meter.overall.pairs} fruit, {meter.within_block_fruit - 1} degrees of freedom).",
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


def _textbook(one: _core.Agreement) -> str:
    """The textbook's tests, which take fruit as independent, with that said."""
    beyond = {True: "more than", False: "no more than"}
    return (
        f"Textbook tests, as if fruit were independent: bias over fruit {one.bias:+.2f} "
        f"{beyond[one.bias_significant]} chance explains ({one.bias_limit:.2f}), slope "
        f"{one.slope:.2f} {beyond[one.slope_significant]} (t {one.slope_t:.1f}, limit "
        f"{one.slope_t_limit:.1f})."
    )


def _show_agreement(console: Console, rows: Sequence[_Row], unit: str) -> None:
    """Values with their ranges where they can be told; _LEGEND says what they are."""
    known = [(name, plain, ranges) for name, plain, ranges in rows if plain is not None]
    if not known:
        return
    table = _table("", "Bias", "SEP", "RMSEP", "Slope", "R2", "RPD")
    for name, plain, ranges in known:
        if ranges is None:
            table.add_row(name, *_values(plain))
            continue
        bias, sep, rmsep, slope, r_squared, rpd = _values(ranges)
        bias += " *" if ranges.bias_significant else ""
        slope += " *" if ranges.slope_significant else ""
        table.add_row(name, bias, sep, rmsep, slope, r_squared, rpd)
        known_bias = ranges.bias_interval[1] - ranges.bias_interval[0] > _ROUNDING
        for end, which in enumerate(("95 % from", "to")):
            table.add_row(
                which,
                f"{ranges.bias_interval[end]:+.2f}" if known_bias else "-",
                f"{ranges.sep_interval[end]:.2f}",
                f"{ranges.rmsep_interval[end]:.2f}",
                _end(ranges.slope_interval, end),
                _end(ranges.r_squared_interval, end),
                f"{ranges.rpd_sep_interval[end]:.1f}",
            )
    console.print(table)
    if any(ranges for _, _, ranges in known):
        _say(console, f"95 %: for another {unit}; each {unit} counts once.")
    else:
        _say(console, f"Ranges for another {unit} cannot be told from fewer than 3.")


_LEGEND = (
    "In % dry matter; error is predicted minus oven. SEP: without the bias; RMSEP: with it; slope: "
    "of oven on predicted; R2: squared correlation; RPD: SD of oven over SEP. * more than chance "
    "explains: bias from 0, slope from 1. 'mean put right': by the mean of the visit's "
    "other fruit; no bias by construction."
)


def _values(one: _core.Agreement | _core.ClusteredAgreement) -> tuple[str, ...]:
    return (
        f"{round(one.bias, 2) + 0.0:+.2f}",  # no -0.00
        f"{one.sep:.2f}",
        f"{one.rmsep:.2f}",
        f"{one.slope:.2f}",
        f"{one.r_squared:.2f}",
        f"{one.rpd_sep:.1f}",
    )


def _end(interval: tuple[float, float] | None, end: int) -> str:
    return "-" if interval is None else f"{interval[end]:.2f}"


def _table(*headings: str) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 1, 0, 2))
    for index, heading in enumerate(headings):
        table.add_column(Text(heading), justify="right" if index else "left", overflow="fold")
    return table
