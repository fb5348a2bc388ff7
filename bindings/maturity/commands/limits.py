"""Options of every command that measures photos: the limits for each photo."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, TypeVar

import click

from maturity.photo_limits import PhotoLimits

_Command = TypeVar("_Command", bound=Callable[..., Any])
_DEFAULTS = PhotoLimits()


def photo_limit_options(command: _Command) -> _Command:
    """Add --max-megapixels and --max-seconds."""
    for option in (
        click.option(
            "--max-seconds",
            type=click.FloatRange(0, 86400),
            default=_DEFAULTS.max_seconds,
            show_default=True,
            help="Give up a photo that takes longer.",
        ),
        click.option(
            "--max-megapixels",
            type=click.FloatRange(0.01, 2000),
            default=_DEFAULTS.max_megapixels,
            show_default=True,
            help="Refuse a photo that claims more.",
        ),
    ):
        command = option(command)
    return command
