"""The whole app as its OpenAPI document describes it, asked over HTTP with what schemathesis makes of that."""

from __future__ import annotations

import copy
import os
from collections.abc import Callable
from typing import Any

import requests
import schemathesis
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.core.errors import IncorrectUsage
from schemathesis.core.failures import FailureGroup
from schemathesis.core.result import Ok
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_headers_conformance,
    response_schema_conformance,
    status_code_conformance,
)
from tests.fuzz.typed import answers
from tests.web.own_kitchen import CHICKEN, STEAK, OwnKitchen
from tests.web.own_page import token_in

from corebath.web.described import Described
from corebath.web.guard_token import HEADER

# Numbers of cooks, rows and photos: some that are there, some that cannot be.
_NUMBERS = [1, 1, 2, 2, 3, 4, 99, 0, -1, 2**31, 2**63 - 1, 2**63, 10**40]
_CHECKS = [
    schemathesis.checks.not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
    response_headers_conformance,
]
# How often each operation is asked: few in every run of the tests, more by hand: `FUZZ_EXAMPLES=100 pytest tests/fuzz`.
EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "0"))


def with_answers(document: dict[str, Any]) -> dict[str, Any]:
    """The document with a format at every text, that stands for what is typed into the answer of its name."""
    whole = copy.deepcopy(document)
    for ways in whole["paths"].values():
        for operation in ways.values():
            for parameter in operation.get("parameters", ()):
                parameter["schema"] = _typed(parameter["schema"], parameter["name"])
            for media, content in operation.get("requestBody", {}).get("content", {}).items():
                if media != "application/json":
                    fields = content["schema"]["properties"]
                    content["schema"]["properties"] = {name: _typed(schema, name) for name, schema in fields.items()}
    return whole


def _typed(schema: dict[str, Any], name: str) -> dict[str, Any]:
    if schema.get("type") == "integer":
        return {"enum": _NUMBERS}
    if schema.get("format") == "binary" or schema.get("type") != "string":
        return schema
    kind = f"answer-{name}"
    schemathesis.openapi.format(kind, answers(name))
    return {"type": "string", "format": kind}


class Asker:
    """Asks every operation of an app some hundred times, as a page of its own would. asked : how often, by status"""

    def __init__(self, kitchen: OwnKitchen) -> None:
        self._kitchen = kitchen
        self._session = requests.Session()
        self.asked: dict[int, int] = {}
        app = kitchen.app
        assert isinstance(app, Described)
        self._schema = schemathesis.openapi.from_dict(with_answers(app.openapi()))
        self._furnish()

    def _furnish(self) -> None:
        for question in (STEAK, CHICKEN, STEAK):
            self.post("/kitchen/start", dict(question))
        self.post("/kitchen/2/event", {"happening": "dropped in", "at": "30 min ago"})
        self.post("/kitchen/3/end", {"revision": "1"})
        self.post("/log/records/add", {"step": "keep", "batch": "fridge", "measured": "09:00 12 C", "by": "JM"})

    def post(self, path: str, form: dict[str, Any]) -> requests.Response:
        """Send a form."""
        return self._session.post(
            f"{self._kitchen.address}{path}", data=form, headers=self._token(), allow_redirects=False
        )

    def _token(self) -> dict[str, str]:
        return {HEADER: token_in(self._session.get(f"{self._kitchen.address}/pair").text)}

    def operations(self, wanted: Callable[[str], bool]) -> list[Any]:
        """The operations whose path is wanted."""
        every = [found.ok() for found in self._schema.get_all_operations() if isinstance(found, Ok)]
        return [operation for operation in every if wanted(operation.path)]

    def _count(self, status: int) -> None:
        self.asked[status] = self.asked.get(status, 0) + 1

    def _follow(self, where: str) -> None:
        """Go on to the page an answer leads to, which must be a page."""
        assert where.startswith("/")
        page = self._session.get(f"{self._kitchen.address}{where}", timeout=120)
        self._count(page.status_code)
        assert page.status_code < 500, where
        assert page.headers["content-type"].startswith("text/html"), where

    def ask(self, operation: Any, examples: int) -> None:
        """Ask one operation; raises AssertionError with all that an answer had wrong."""

        @settings(
            max_examples=examples, deadline=None, database=None, suppress_health_check=list(HealthCheck),
            phases=(Phase.generate,),
        )  # fmt: skip
        @given(case=operation.as_strategy())
        def one(case: Any) -> None:
            token = self._token() if case.method == "POST" else {}
            answer = case.call(
                base_url=self._kitchen.address, session=self._session, headers=token, allow_redirects=False,
                timeout=120,
            )  # fmt: skip
            self._count(answer.status_code)
            if answer.status_code == 303:
                self._follow(answer.headers["location"][0])
            try:
                case.validate_response(answer, checks=_CHECKS)
            except (FailureGroup, IncorrectUsage) as failure:
                raise AssertionError(f"{case.as_curl_command()}: {getattr(failure, 'exceptions', failure)}") from None

        one()
