"""What goes to the screen: tables that fit 80 columns, a progress bar on a terminal only."""

from __future__ import annotations

import contextlib
from collections.abc import Iterable, Iterator, Sequence

from rich.console import Console
from rich.padding import Padding
from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn
from rich.text import Text

from maturity import _core
from maturity.measuring import Progress as ProgressCall
from maturity.season.problems import alike_problems
from maturity.season.season import Season

#: Narrowest screen that every table fits.
SCREEN_COLUMNS = 80
#: Longest list on the screen.
_LISTED = 20


def output() -> Console:
    """Standard output. Names from files are never read as markup."""
    console = Console(markup=False, highlight=False, emoji=False, soft_wrap=False)
    console.width = min(max(console.width, SCREEN_COLUMNS), 100)
    return console


def show_problems(
    console: Console,
    season: Season,
    rest: str = "see `maturity score`",
    used: Sequence[str] | None = None,
) -> int:
    """What is wrong in the files of a season; `rest`: where the others are, if there are more.

    `used` names the tables that bear on the answer; None: all. Returns how many of their problems
    there are; those of other files are counted on the screen only.
    """
    shown = season.problems if used is None else season.problems_of(*used)
    alike = alike_problems(shown)
    counts = [len(one.problems) for one in alike]
    show_list(console, "Problems in the files", list(map(str, alike)), rest, counts)
    others = len(season.problems) - len(shown)
    if others:
        what = "1 problem" if others == 1 else f"{others} problems"
        console.print(Text(f"\n{what} in files that this does not use: see `maturity score`."))
    return len(shown)


def show_list(
    console: Console, title: str, lines: Sequence[str], rest: str, counts: Sequence[int] = ()
) -> None:
    """A titled list, cut to what a screen holds; `counts` where a line stands for several."""
    if not lines:
        return
    counts = counts or [1] * len(lines)
    console.print(Text(f"\n{title} ({sum(counts)}):"))
    for line in lines[:_LISTED]:
        console.print(Padding(Text(line), (0, 0, 0, 2), expand=False))
    if len(lines) > _LISTED:
        console.print(Text(f"  and {sum(counts[_LISTED:])} more, {rest}"))


def show_flags(console: Console, used: Iterable[str]) -> None:
    """What each flag of photos and fruit among the words `used` means and asks for, once."""
    words = set(used)
    known = {**_core.photo_flag_sentences(), **_core.fruit_flag_sentences()}
    lines = [f"{flag}: {sentence}" for flag, sentence in known.items() if flag in words]
    show_list(console, "What these flags mean", lines, "see docs/flags.md")


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
