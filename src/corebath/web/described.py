"""The app described for programs: what its routes read and answer, in the OpenAPI document at /openapi.json."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from fastapi import FastAPI

from corebath.ask.batch_question import LOT
from corebath.ask.batch_question import TOP as BATCH
from corebath.ask.menu_question import KINDS, KITCHEN
from corebath.ask.menu_question import TOP as MENU
from corebath.ask.poster import PosterQuestion
from corebath.ask.question import Question
from corebath.data_files import read_json, read_toml

_PAGE = "text/html"
_URLENCODED, _MULTIPART = "application/x-www-form-urlencoded", "multipart/form-data"
_TEXT = {"type": "string"}
_REFUSED = {
    "type": "object",
    "properties": {
        "error": {"type": "string", "description": "what was wrong, in one sentence"},
        "errors": {"type": "object", "additionalProperties": _TEXT, "description": "one sentence by answer"},
        "choices": {"type": "object", "description": "answers that would do, by answer"},
    },
    "anyOf": [{"required": ["error"]}, {"required": ["errors"]}],
    "additionalProperties": False,
}
_READINGS: dict[str, Any] = {
    "description": "A reading, or a list of readings, as docs/store.md describes them.",
    "anyOf": [{"type": "object"}, {"type": "array", "items": {"type": "object"}}, {"type": "number"}, _TEXT],
}


class Described(FastAPI):
    """A FastAPI app whose OpenAPI document says of forms, queries, files and refusals what they are."""

    def openapi(self) -> dict[str, Any]:
        """The document, made once."""
        if self.openapi_schema is None:
            self.openapi_schema = described(super().openapi())
        return self.openapi_schema


def described(document: dict[str, Any]) -> dict[str, Any]:
    """A document that FastAPI made, completed in place by data/api.toml and the JSON schemas of `show`."""
    known = read_toml("corebath.web", "api.toml")
    schemas = document["components"]["schemas"] = {"Refused": _REFUSED}
    for path, file in known["schemas"].items():
        name = file.split(".")[0].capitalize()
        schemas[name] = _moved(read_json("corebath.show", file), f"#/components/schemas/{name}")
        if path in document["paths"]:
            _answers_with(document["paths"][path]["get"], "application/json", {"$ref": f"#/components/schemas/{name}"})
    for path, ways in document["paths"].items():
        for way, operation in ways.items():
            suffix = path.rpartition(".")[2]
            if suffix in known["files"]:
                _answers_with(operation, known["files"][suffix], {})
            _say_refusals(operation, program=path.startswith("/api/"))
            if way == "post":
                _say_form(operation, path, known)
                if "303" in operation["responses"] and _PAGE not in operation["responses"]["200"]["content"]:
                    del operation["responses"]["200"]  # it only leads on
            _say_query(operation, known["queries"].get(path, ()))
    photo = document["paths"]["/log/{cook_id}/photo/{photo_id}"]["get"]
    photo["responses"]["200"]["content"] = {kind: {} for kind in ("image/jpeg", "image/png", "image/webp")}
    return document


def _answers_with(operation: dict[str, Any], media: str, schema: dict[str, Any]) -> None:
    operation["responses"]["200"]["content"] = {media: {"schema": schema} if schema else {}}


def _say_refusals(operation: dict[str, Any], *, program: bool) -> None:
    """Refusals are a page of one sentence, or JSON for programs; and a page may lead on to another one."""
    refused = {"application/json": {"schema": {"$ref": "#/components/schemas/Refused"}}} if program else {_PAGE: {}}
    operation["responses"].pop("422", None)
    for status, words in (("4XX", "Refused, in one sentence."), ("5XX", "It failed, in one sentence.")):
        operation["responses"][status] = {"description": words, "content": refused}
    if not program:
        operation["responses"]["303"] = {"description": "On to the page that shows it."}


def _say_form(operation: dict[str, Any], path: str, known: dict[str, Any]) -> None:
    media, schema = "application/json", _READINGS
    if path in known["uploads"]:
        file, *others = known["uploads"][path]
        media, schema = _MULTIPART, _form({file: {"type": "string", "format": "binary"}} | dict.fromkeys(others, _TEXT))
    elif path in known["forms"]:
        names = _names(known["forms"][path], {"question": Question.names()})
        media, schema = _URLENCODED, _form(dict.fromkeys(names, _TEXT))
    operation["requestBody"] = {"content": {media: {"schema": schema}}}


def _form(properties: dict[str, dict[str, str]]) -> dict[str, Any]:
    return {"type": "object", "properties": properties}


def _say_query(operation: dict[str, Any], wanted: Iterable[str]) -> None:
    rows = [f"{kind.letter}1.{name}" for kind in KINDS for name in kind.accepted]
    questions = {
        "plan": Question.names(),
        "poster": PosterQuestion.names(),
        "batch": (*BATCH, *(f"l1.{name}" for name in LOT)),
        "menu": (*MENU, *KITCHEN, *rows),
    }
    there = operation.get("parameters", [])
    said = {parameter["name"] for parameter in there}
    more = [{"name": n, "in": "query", "schema": _TEXT} for n in _names(wanted, questions) if n not in said]
    if there or more:
        operation["parameters"] = [*there, *more]


def _names(told: Iterable[str], groups: dict[str, tuple[str, ...]]) -> list[str]:
    return [name for one in told for name in groups.get(one, (one,))]


def _moved(schema: Any, to: str) -> Any:
    """A JSON schema whose references lead to where it stands now."""
    if isinstance(schema, dict):
        return {
            key: f"{to}{value[1:]}" if key == "$ref" else _moved(value, to)
            for key, value in schema.items()
            if key != "$schema"
        }
    return [_moved(item, to) for item in schema] if isinstance(schema, list) else schema
