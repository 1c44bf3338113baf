"""What a command prints, in the language of the terminal."""

from __future__ import annotations

import os
from copy import copy
from typing import Any

import click

from corebath.language import ENGLISH, from_environment, translated


def language() -> str:
    """The language of this terminal, a key of `corebath.language.LANGUAGES`."""
    return from_environment(os.environ)


def echo(text: object = "", *, err: bool = False, **options: Any) -> None:
    """Print a text for a reader. Data for a program goes through `click.echo` as it is."""
    click.echo(translated(str(text), language()), err=err, **options)


def spoken(command: click.Command) -> click.Command:
    """A command with its help in the language of the terminal."""
    tongue = language()
    if tongue == ENGLISH:
        return command
    said = copy(command)
    said.help = translated(command.help or "", tongue)
    said.short_help = translated(command.short_help or "", tongue)
    said.params = [_explained(parameter, tongue) for parameter in command.params]
    if isinstance(said, click.Group):
        said.commands = {name: spoken(inner) for name, inner in said.commands.items()}
    return said


def _explained(parameter: click.Parameter, tongue: str) -> click.Parameter:
    if not isinstance(parameter, click.Option) or not parameter.help:
        return parameter
    said = copy(parameter)
    said.help = translated(parameter.help, tongue)
    return said
