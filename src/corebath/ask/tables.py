"""Tables of a TOML file as answers: read with one sentence for what is wrong, each value as it would be typed."""

from __future__ import annotations

import re
import tomllib
from datetime import date, datetime, time
from typing import Any

from .understand import Misunderstood

MOST_CHARACTERS = 60_000
_AT = re.compile(r"(.*?)\s*\(at (?:line (\d+), column \d+|end of document)\)", re.DOTALL)


def read_tables(text: str, what: str) -> dict[str, Any]:
    """The tables of a file. what : which kind, "menu" or "batch".  Raises Misunderstood for `file`, in one sentence."""
    if len(text) > MOST_CHARACTERS:
        raise _unread(f"a {what} file can have {MOST_CHARACTERS} characters at most")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise _unread(f"the {what} file is not understood: it is nested too deeply") from None
    except tomllib.TOMLDecodeError as error:
        raise _unread(_where(str(error), text, what)) from None


def typed(value: object) -> str | None:
    """A value of the file as it would be typed; None for one that is no single answer."""
    if isinstance(value, bool):
        return None
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, datetime):
        return value.isoformat(timespec="minutes")
    if isinstance(value, time):
        return f"{value:%H:%M}"
    return str(value) if isinstance(value, int | float | date) else None


def no_single_answer(key: str, where: str) -> str:
    """The sentence for a value that is a list, a table, or true or false."""
    return f"{key} of {where} must be one answer, written as text in quotes"


def _unread(sentence: str) -> Misunderstood:
    return Misunderstood({"file": sentence}, {})


def _where(said: str, text: str, what: str) -> str:
    """What the parser says, as a sentence that begins with the line."""
    match = _AT.fullmatch(said)
    if match is None:
        return f"the {what} file is not understood: {said}"
    line, wrong = match[2] or len(text.splitlines()), match[1].rstrip(".")
    return f"line {line} of the {what} file is not understood: {wrong[:1].lower()}{wrong[1:]}"
