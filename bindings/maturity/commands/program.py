"""The group of commands: in the order of a season's work, and forgiving of a slip."""

from __future__ import annotations

import difflib
import re
import textwrap

import click

from maturity.plain_text import plain_text

#: Every message fits this.
_COLUMNS = 80


class Program(click.Group):
    """Lists commands in the order they were added, with one whole line each."""

    def list_commands(self, _context: click.Context) -> list[str]:
        """In the order of the work, not of the alphabet."""
        return list(self.commands)

    def format_commands(self, context: click.Context, formatter: click.HelpFormatter) -> None:
        """One line for each command, wrapped, never cut."""
        rows = [(name, _line(self.commands[name])) for name in self.list_commands(context)]
        with formatter.section("Commands, in the order of a season"):
            formatter.write_dl(rows)

    def resolve_command(
        self, context: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command named; an unknown one is answered with those that are like it."""
        name = args[0] if args else ""
        if name and not name.startswith("-") and name not in self.commands:
            near = difflib.get_close_matches(name, self.commands, n=2, cutoff=0.5)
            meant = f" Did you mean {' or '.join(near)}?" if near else ""
            known = ", ".join(self.commands)
            said = f"No such command '{name}'.{meant} Commands: {known}."
            context.fail(said)
        return super().resolve_command(context, args)


def _line(command: click.Command) -> str:
    """The first sentence of a command's help."""
    return " ".join((command.help or "").split("\n\n")[0].split())


def usage_mistake(error: click.ClickException) -> str:
    """A slip on the command line as lines of 80 letters: the sentence, and what to write."""
    context = getattr(error, "ctx", None)
    said = _in_words(error.format_message()).strip()
    lines = _wrapped(f"maturity: {said}{'' if said.endswith(('.', '?')) else '.'}")
    if context is not None:
        lines += _wrapped(" ".join(context.get_usage().split()), indent="  ")
        lines.append(f"Next: {context.command_path} --help lists the options, with an example.")
    else:
        lines.append("Next: maturity --help lists the commands.")
    return "\n".join(lines)


def _in_words(message: str) -> str:
    """Ranges as people write them."""
    number = r"(-?\d+(?:\.\d+)?)"
    message = re.sub(rf"is not in the range {number}<=x<={number}", r"is not \1 to \2", message)
    message = re.sub(rf"is not in the range x>={number}", r"is not \1 or more", message)
    return re.sub(r"(option: \S+) Did you mean", r"\1. Did you mean", message)


def _wrapped(line: str, indent: str = "") -> list[str]:
    return textwrap.wrap(
        line,
        _COLUMNS,
        break_long_words=False,
        break_on_hyphens=False,
        subsequent_indent=indent,
    ) or [""]


def error_words(error: Exception) -> str:
    """What an error says; of the system's own errors the file and the reason, without a number."""
    if isinstance(error, OSError) and error.filename and str(error).startswith("[Errno"):
        reason = str(error.strerror)
        return (
            f"{plain_text(str(error.filename))}: {reason[:1].lower()}{reason[1:]}; check the path, "
            "and that it may be read and written"
        )
    return str(error)


def mistake(message: str, command: str | None) -> str:
    """A user's mistake as lines of 80 letters: the sentence, and where to look next."""
    lines = [wrapped for line in f"maturity: {message}".splitlines() for wrapped in _wrapped(line)]
    help_of = "maturity --help" if command is None else f"maturity {command} --help"
    return "\n".join([*lines, f"Next: put that right and run it again; {help_of} has an example."])
