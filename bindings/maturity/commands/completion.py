"""`maturity completion`: what a shell needs to complete commands, options and files."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

_WHERE = {
    "bash": "maturity completion bash >> ~/.bashrc",
    "zsh": "maturity completion zsh >> ~/.zshrc",
    "fish": "maturity completion fish > ~/.config/fish/completions/maturity.fish",
}


@click.command(epilog="Example: maturity completion bash >> ~/.bashrc")
@click.argument("shell", type=click.Choice(list(_WHERE)))
@click.pass_context
def completion(context: click.Context, shell: str) -> None:
    """Print what makes the Tab key complete commands and options in a shell."""
    made = get_completion_class(shell)
    if made is None:
        raise click.UsageError(f"this click does not know {shell}")
    program = context.find_root().command
    script = made(program, {}, "maturity", "_MATURITY_COMPLETE")
    click.echo(f"# For new shells: {_WHERE[shell]}")
    click.echo(script.source())
