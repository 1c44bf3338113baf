"""`--why`: what stands behind the numbers of an answer."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from typing import Any, NoReturn, TypeVar

import click

from corebath.plan.why.why import Why
from corebath.show.why_json import whys_as_json
from corebath.show.why_text import chosen, why_text
from corebath.units import Preference

from .asking import refuse
from .say import echo

F = TypeVar("F", bound=Callable[..., Any])
_ALL = "all"


def explains(example: str) -> Callable[[F], F]:
    """Give a command `--why`, alone or with the key of one number. example : key of a number the command has"""
    words = f"Print why each number is what it is instead of the answer; with KEY only that one, such as {example}."
    return click.option("--why", metavar="[KEY]", is_flag=False, flag_value=_ALL, default=None, help=words)


def explain(whys: Iterable[Why], key: str, preference: Preference, *, as_json: bool, code: int) -> NoReturn:
    """Print the reasons that are asked for and leave with an exit code; with 2 for a key that none has."""
    try:
        wanted = tuple(whys) if key == _ALL else chosen(whys, key)
    except ValueError as error:
        refuse([f"{error}."])
    if as_json:
        click.echo(json.dumps(whys_as_json(wanted, preference), ensure_ascii=False, indent=2))
    else:
        echo(why_text(wanted, preference), nl=False)
    raise SystemExit(code)
