"""What goes to the screen: tables that fit 80 columns, a progress bar on a terminal only."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn

from maturity.measuring import Progress as ProgressCall

#: Narrowest screen that every table fits.
SCREEN_COLUMNS = 80


def output() -> Console:
    """Standard output. Names from files are never read as markup."""
    console = Console(markup=False, highlight=False, emoji=False, soft_wrap=False)
    console.width = min(max(console.width, SCREEN_COLUMNS), 100)
    return console


@contextlib.contextmanager
def photo_progress() -> Iterator[ProgressCall | None]:
    """A bar with the time left on a terminal; None where nobody looks on."""
    console = Console(stderr=True)
    if not console.is_terminal:
        yield None
        return
    columns = (
        TextColumn("photos"),
        BarColumn(),
        MofNCompleteColumn(),
        TimeRemainingColumn(),
    )
    with Progress(*columns, console=console, transient=True) as bar:
        task = bar.add_task("photos", total=None)

        def show(done: int, total: int) -> None:
            bar.update(task, completed=done, total=total)

        yield show
