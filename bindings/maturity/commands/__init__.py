"""The command line `maturity`: one file for each command."""

from __future__ import annotations

import sys

import click

from maturity.about import about
from maturity.commands.board import board
from maturity.commands.calibrate import calibrate
from maturity.commands.check import check
from maturity.commands.completion import completion
from maturity.commands.exits import UNUSABLE
from maturity.commands.forecast import forecast
from maturity.commands.guide import guide
from maturity.commands.measure import measure
from maturity.commands.program import Program, error_words, mistake, usage_mistake
from maturity.commands.report import report
from maturity.commands.score import score
from maturity.commands.start import start
from maturity.commands.walk import walk


def _show_version(context: click.Context, _option: click.Parameter, asked: bool) -> None:
    if asked and not context.resilient_parsing:
        for name, version in about().items():
            click.echo(f"{name}: {version}")
        context.exit()


@click.group(
    cls=Program,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="Exit codes: 0 done; 1 done, but something was left out; 2 unusable input or usage.",
)
@click.option(
    "--version",
    is_flag=True,
    expose_value=False,
    is_eager=True,
    callback=_show_version,
    help="Show the version and what it rests on.",
)
def command() -> None:
    """Fruit maturity, block by block, from photos and dry matter."""


for one in (
    start,
    board,
    walk,
    measure,
    calibrate,
    score,
    forecast,
    guide,
    check,
    report,
    completion,
):
    command.add_command(one)


def _named_command() -> str | None:
    return next((word for word in sys.argv[1:] if word in command.commands), None)


def main() -> None:
    """Run the command line; a user's mistake ends in a sentence, not in a traceback."""
    try:
        command.main(prog_name="maturity", standalone_mode=False)
    except click.exceptions.Exit as finished:
        sys.exit(finished.exit_code)
    except click.Abort:
        click.echo("Stopped. What was measured so far is kept; run it again to go on.", err=True)
        sys.exit(1)
    except click.ClickException as error:
        click.echo(usage_mistake(error), err=True)
        sys.exit(UNUSABLE)
    except BrokenPipeError:
        sys.stderr.close()
        sys.exit(1)
    except (ValueError, OSError) as error:
        click.echo(mistake(error_words(error), _named_command()), err=True)
        sys.exit(UNUSABLE)
