"""A menu as a TOML file: courses, dishes and the kitchen, with the answers in the words of the other questions."""

from __future__ import annotations

import difflib
import json
import re
import tomllib
from collections.abc import Iterator, Mapping
from datetime import date, datetime, time
from typing import Any

from corebath.data_files import read_text

from .menu_question import BATH, COURSE, DISH, KITCHEN, TOP, Kind, MenuQuestion, Row
from .menu_question import KINDS as _KINDS
from .understand import Misunderstood

MOST_CHARACTERS = 60_000
_AT = re.compile(r"(.*?)\s*\(at (?:line (\d+), column \d+|(end of document))\)", re.DOTALL)
_COURSE, _DISH, _BATH = _KINDS


def example_file() -> str:
    """A menu to begin with, with a word on every key."""
    return read_text("corebath.ask", "menu.toml")


def read_menu(text: str) -> MenuQuestion:
    """The question in a menu file. Raises Misunderstood with one sentence for everything that has no place in it."""
    if len(text) > MOST_CHARACTERS:
        raise Misunderstood({"file": f"a menu file can have {MOST_CHARACTERS} characters at most"}, {})
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise Misunderstood({"file": _where(str(error), text)}, {}) from None
    reader = _Reader()
    top = reader.answers(data, "", "the menu", (*TOP, "kitchen", "course", "dish"), TOP)
    kitchen = reader.table(data, "kitchen")
    plain = reader.answers(kitchen, "kitchen.", "[kitchen]", (*KITCHEN, "baths"), KITCHEN)
    question = MenuQuestion(
        **top,
        **plain,
        courses=reader.rows(data, "course", _COURSE, COURSE),
        dishes=reader.rows(data, "dish", _DISH, DISH),
        baths=reader.rows(kitchen, "baths", _BATH, BATH),
    )
    if reader.sentences:
        raise Misunderstood(reader.sentences, {})
    return question


def write_menu(question: MenuQuestion) -> str:
    """The question as a menu file, which `read_menu` reads again."""
    return "\n".join(_lines(question)) + "\n"


class _Reader:
    """Takes answers out of tables, and keeps a sentence for each that has no place there."""

    def __init__(self) -> None:
        self.sentences: dict[str, str] = {}

    def answers(
        self, table: Mapping[str, Any], prefix: str, where: str, known: tuple[str, ...], wanted: tuple[str, ...]
    ) -> dict[str, str]:
        """The wanted answers of a table as they would be typed."""
        found = {}
        for key, value in table.items():
            if key not in known:
                near = difflib.get_close_matches(key, known, n=1)
                meant = f"did you mean {near[0]}? Accepted" if near else "accepted"
                self.sentences[f"{prefix}{key}"] = (
                    f"{_short(key)!r} is no key of {where}: {meant} are {', '.join(known)}"
                )
            elif key in wanted:
                typed = _typed(value)
                if typed is None:
                    self.sentences[f"{prefix}{key}"] = f"{key} of {where} must be one answer, written as text in quotes"
                else:
                    found[key] = typed
        return found

    def table(self, data: Mapping[str, Any], key: str) -> dict[str, Any]:
        """A table that may be left out."""
        value = data.get(key, {})
        if isinstance(value, dict):
            return value
        self.sentences[key] = f"{key} must be a table, headed [{key}]"
        return {}

    def rows(self, data: Mapping[str, Any], key: str, kind: Kind, accepted: tuple[str, ...]) -> tuple[Row, ...]:
        """The rows of a list of tables that may be left out."""
        value = data.get(key, [])
        if not isinstance(value, list) or not all(isinstance(table, dict) for table in value):
            head = "kitchen.baths" if key == "baths" else key
            self.sentences[key] = f"{key} must be a list of tables, each headed [[{head}]]"
            return ()
        rows = []
        for i, table in enumerate(value, start=1):
            name = table.get("name") or table.get("food")
            called = f"{kind.word} {i}" + (f" ({_short(name)})" if isinstance(name, str) else "")
            rows.append(Row(**self.answers(table, f"{kind.letter}{i}.", called, accepted, accepted)))
        return tuple(rows)


def _typed(value: object) -> str | None:
    """A value of the file as it would be typed; None for one that is no single answer."""
    if isinstance(value, bool):
        return None
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, datetime):
        return value.replace(tzinfo=None).isoformat(timespec="minutes") if value.tzinfo is None else value.isoformat()
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, int | float | date):
        return str(value)
    return None


def _where(said: str, text: str) -> str:
    """What the parser says, as a sentence that begins with the line."""
    match = _AT.fullmatch(said)
    if match is None:
        return f"the menu file is not understood: {said}"
    line = match[2] or str(len(text.splitlines()))
    what = match[1].rstrip(".")
    return f"line {line} of the menu file is not understood: {what[:1].lower()}{what[1:]}"


def _lines(question: MenuQuestion) -> Iterator[str]:
    yield from _written(question, TOP)
    for kind in (_COURSE, _DISH):
        for row in question.rows(kind):
            yield from ("", f"[[{kind.word}]]", *_written(row, kind.accepted))
    kitchen = list(_written(question, KITCHEN))
    if kitchen or question.baths:
        yield from ("", "[kitchen]", *kitchen)
    for row in question.baths:
        yield from ("", "[[kitchen.baths]]", *_written(row, BATH))


def _written(answers: MenuQuestion | Row, names: tuple[str, ...]) -> Iterator[str]:
    for name in names:
        value = getattr(answers, name)
        if value:
            # A string of JSON is one of TOML, but for one character that TOML wants escaped.
            quoted = json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
            yield f"{name} = {quoted}"


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "…"
