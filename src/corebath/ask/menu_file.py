"""A menu as a TOML file: courses, dishes and the kitchen, with the answers in the words of the other questions."""

from __future__ import annotations

import difflib
import json
from collections.abc import Iterator, Mapping
from typing import Any

from corebath.data_files import read_text

from .menu_question import BATH, COURSE, DISH, KITCHEN, TOP, Kind, MenuQuestion, Row
from .menu_question import KINDS as _KINDS
from .question import short
from .tables import no_single_answer, read_tables, typed
from .understand import Misunderstood

_COURSE, _DISH, _BATH = _KINDS


def example_file() -> str:
    """A menu to begin with, with a word on every key."""
    return read_text("corebath.ask", "menu.toml")


def read_menu(text: str) -> MenuQuestion:
    """The question in a menu file. Raises Misunderstood with one sentence for everything that has no place in it."""
    data = read_tables(text, "menu")
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
                    f"{short(key)!r} is no key of {where}: {meant} are {', '.join(known)}"
                )
            elif key in wanted:
                answer = typed(value)
                if answer is None:
                    self.sentences[f"{prefix}{key}"] = no_single_answer(key, where)
                else:
                    found[key] = answer
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
            called = f"{kind.word} {i}" + (f" ({short(name)})" if isinstance(name, str) else "")
            rows.append(Row(**self.answers(table, f"{kind.letter}{i}.", called, accepted, accepted)))
        return tuple(rows)


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
