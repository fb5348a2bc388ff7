"""Days and moments on the command line."""

from __future__ import annotations

import datetime
from typing import Any

import click

_DAY = ["%Y-%m-%d"]
_MOMENTS = [*_DAY, "%Y-%m-%dT%H:%M", "%Y-%m-%d %H:%M"]


class _Date(click.DateTime):
    """As click's, but neither help nor message shows a format string."""

    def get_metavar(self, _param: click.Parameter) -> str:
        return "DATE"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> datetime.datetime:
        try:
            found: datetime.datetime = super().convert(value, param, ctx)
        except click.BadParameter:
            hour = " or, with the hour, 2026-11-10T15:00" if len(self.formats) > 1 else ""
            self.fail(f"{value!r}; expected a day as 2026-11-10{hour}", param, ctx)
        return found


A_DAY = _Date(_DAY)
A_MOMENT = _Date(_MOMENTS)
