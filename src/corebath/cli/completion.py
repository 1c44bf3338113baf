"""`corebath completion`: the shell script that completes commands."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class


@click.command("completion", help="Print the script that completes commands in your shell.")
@click.argument("shell", type=click.Choice(["bash", "zsh", "fish"]))
def command(shell: str) -> None:
    """Print the completion script; for bash: corebath completion bash >> ~/.bashrc."""
    from corebath.cli import main

    kind = get_completion_class(shell)
    assert kind is not None
    click.echo(kind(main, {}, "corebath", "_COREBATH_COMPLETE").source())
