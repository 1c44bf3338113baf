"""The web application. Routes parse, call and render; nothing is computed here."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, preference_of, understand
from corebath.log.gear import Kitchen
from corebath.plan.make import make_plan
from corebath.show.as_json import plan_as_json
from corebath.units import render

from .plan_page import PlanPage, canonical, first_question, plan_page

_STATIC = Path(__file__).parent / "static"
_LONGEST_QUERY = 4000
_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
}

Clock = Callable[[], datetime]
_QUESTION_IN_QUERY = {
    "parameters": [{"name": name, "in": "query", "schema": {"type": "string"}} for name in Question.names()]
}


def create_app(kitchen: Kitchen, *, demo: bool = False, clock: Clock = lambda: datetime.now(UTC)) -> FastAPI:
    """The app for one kitchen.

    demo : open with an example question instead of an empty one;  clock : the moment of asking, for tests
    """
    app = FastAPI(title="corebath", docs_url=None, redoc_url=None)
    pages = Environment(
        loader=PackageLoader("corebath.web"), autoescape=select_autoescape(), undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")

    @app.middleware("http")
    async def guard(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
        if len(request.url.query) > _LONGEST_QUERY:
            text = f"The question is too long: at most {_LONGEST_QUERY} characters are accepted."
            return HTMLResponse(text, status_code=422, headers=_HEADERS)
        response = await call_next(request)
        response.headers.update(_HEADERS)
        return response

    def html(name: str, page: PlanPage, status: int) -> HTMLResponse:
        body = pages.get_template(name).render(page=page, say=lambda text: render(text, page.preference))
        return HTMLResponse(body, status_code=status, headers={"X-Question": page.question.query()})

    @app.get("/", response_class=HTMLResponse)
    def plan(request: Request) -> Response:
        """The Plan screen for the question in the address; with `X-Part: plan` only what follows the question."""
        now = clock()
        question = Question.of(request.query_params)
        part = request.headers.get("x-part") == "plan"
        if not request.query_params and demo:
            return RedirectResponse(f"/?{first_question(now, kitchen).query()}", status_code=303)
        whole = canonical(question, now, kitchen)
        if not part and request.query_params and dict(request.query_params) != whole.given():
            return RedirectResponse(f"/?{whole.query()}", status_code=303)
        page = plan_page(whole, now, kitchen)
        return html("_plan.html" if part else "plan.html", page, page.status)

    @app.get("/api/plan", openapi_extra=_QUESTION_IN_QUERY)
    def api_plan(request: Request) -> JSONResponse:
        """The plan as JSON for the same query as the Plan screen; see docs/json.md."""
        question = Question.of(request.query_params)
        preference = preference_of(question, kitchen)
        try:
            wanted = understand(question, clock(), kitchen)
        except Misunderstood as error:
            said: dict[str, Any] = {k: render(s, preference) for k, s in error.sentences.items()}
            return JSONResponse({"errors": said, "choices": error.choices}, status_code=422)
        return JSONResponse(plan_as_json(make_plan(wanted), preference))

    return app
