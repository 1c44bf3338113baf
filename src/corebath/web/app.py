"""The web application. Routes parse, call and render; nothing is computed here."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import parse_qsl

from fastapi import FastAPI, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, PlainTextResponse, RedirectResponse
from fastapi.staticfiles import StaticFiles
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, preference_of, understand
from corebath.log.gear import Kitchen
from corebath.log.store import Outdated, Store, StoreError
from corebath.plan.make import make_plan
from corebath.show.as_json import plan_as_json
from corebath.units import Preference, render

from .gear_page import changed_gear, gear_page, outdated_gear
from .plan_page import CUTS, Part, canonical, first_question, plan_page

_STATIC = Path(__file__).parent / "static"
_LONGEST_QUERY = 4000
_LARGEST_FORM = 65_536
_TEMPLATES = {Part.WHOLE: "plan.html", Part.PLAN: "plan.html", Part.ENDS: "_ends.html"}
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


def create_app(
    store: Store, fresh: Kitchen, *, example: bool = False, clock: Clock = lambda: datetime.now(UTC)
) -> FastAPI:
    """The app over one store.

    fresh : the kitchen of a store that has none yet;  example : open with an example question instead of an empty
    one;  clock : the moment of asking, for tests
    """
    app = FastAPI(title="corebath", docs_url=None, redoc_url=None)
    pages = Environment(
        loader=PackageLoader("corebath.web"), autoescape=select_autoescape(), undefined=StrictUndefined,
        trim_blocks=True, lstrip_blocks=True,
    )  # fmt: skip
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")

    @app.middleware("http")
    async def guard(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
        refused = _refused(request)
        response = refused if refused is not None else await call_next(request)
        response.headers.update(_HEADERS)
        return response

    @app.exception_handler(StoreError)
    def cannot_store(_: Request, error: Exception) -> Response:
        return PlainTextResponse(_sentence(error), status_code=503)

    def kitchen() -> Kitchen:
        kept = store.kitchen()
        return kept[0] if kept is not None else fresh

    def html(name: str, preference: Preference, status: int, **values: Any) -> HTMLResponse:
        body = pages.get_template(name).render(
            say=lambda text: render(text, preference),
            say_once=lambda text: render(text, preference, both=False),
            **values,
        )
        return HTMLResponse(body, status_code=status)

    @app.get("/", response_class=HTMLResponse)
    def plan(request: Request) -> Response:
        """The Plan screen for the question in the address; with `X-Part: plan` only what follows the question."""
        now, place = clock(), kitchen()
        question = Question.of(request.query_params)
        asked = request.headers.get("x-part", "")
        part = Part(asked) if asked in set(Part) else Part.WHOLE
        if not request.query_params and example:
            return RedirectResponse(f"/?{first_question(now, place).query()}", status_code=303)
        whole = canonical(question, now, place)
        if part is Part.WHOLE and request.query_params and dict(request.query_params) != whole.given():
            return RedirectResponse(f"/?{whole.query()}", status_code=303)
        cut = request.headers.get("x-cut", "")
        page = plan_page(whole, now, place, part, (cut,) if cut in CUTS else CUTS)
        response = html(_TEMPLATES[part], page.preference, page.status, page=page)
        response.headers["X-Question"] = whole.query()
        return response

    @app.get("/api/plan", openapi_extra=_QUESTION_IN_QUERY)
    def api_plan(request: Request) -> JSONResponse:
        """The plan as JSON for the same query as the Plan screen; see docs/json.md."""
        question, place = Question.of(request.query_params), kitchen()
        preference = preference_of(question, place)
        try:
            wanted = understand(question, clock(), place)
        except Misunderstood as error:
            said: dict[str, Any] = {k: render(s, preference) for k, s in error.sentences.items()}
            return JSONResponse({"errors": said, "choices": error.choices}, status_code=422)
        return JSONResponse(plan_as_json(make_plan(wanted), preference))

    @app.get("/gear", response_class=HTMLResponse)
    def gear() -> Response:
        """The Gear screen."""
        kept = store.kitchen()
        page = gear_page(*(kept if kept is not None else (fresh, 0)))
        return html("gear.html", page.kitchen.preference, 200, page=page)

    @app.post("/gear", response_class=HTMLResponse)
    async def change_gear(request: Request) -> Response:
        """Change the gear; the form carries the revision it was made for."""
        answers = dict(parse_qsl((await request.body()).decode("utf-8", "replace"), keep_blank_values=True))
        kept = store.kitchen()
        page = changed_gear(answers, *(kept if kept is not None else (fresh, 0)))
        if not page.mistakes:
            try:
                store.save_kitchen(page.kitchen, page.revision)
                return RedirectResponse("/gear", status_code=303)
            except Outdated as error:
                kept = store.kitchen()
                page = outdated_gear(answers, *(kept if kept is not None else (fresh, 0)), _sentence(error))
        return html("gear.html", page.kitchen.preference, 422, page=page)

    return app


def _sentence(error: Exception) -> str:
    """What went wrong as a sentence; only its first letter is changed, since it may name a file."""
    said = f"{error}."
    return said[:1].upper() + said[1:]


def _refused(request: Request) -> Response | None:
    """An answer for requests that are too large, or that another site's page sends; None for all others."""
    if len(request.url.query) > _LONGEST_QUERY:
        text = f"The question is too long: at most {_LONGEST_QUERY} characters are accepted."
        return PlainTextResponse(text, status_code=422)
    if request.method not in ("GET", "HEAD"):
        if int(request.headers.get("content-length") or 0) > _LARGEST_FORM:
            return PlainTextResponse("The form is too large.", status_code=413)
        origin = request.headers.get("origin")
        if origin is not None and origin.split("//")[-1] != request.headers.get("host"):
            return PlainTextResponse("Only corebath's own pages may change anything here.", status_code=403)
    return None
