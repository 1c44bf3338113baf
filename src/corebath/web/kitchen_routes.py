"""Routes of the Kitchen screen: cooks in progress."""

from __future__ import annotations

from datetime import datetime

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse
from starlette.datastructures import UploadFile

from corebath.ask.moment import parse_past
from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.log.cook import Cook, Event, Happening, Place, Reading
from corebath.log.gear import Kitchen
from corebath.log.ingest import ingest
from corebath.plan.make import make_plan
from corebath.units import NotUnderstood, parse_temperature, render

from .cook_view import cook_view, words_of
from .readings_file import keep, looked_at
from .site import Site, form_of, sentence


def kitchen_routes(site: Site) -> APIRouter:
    """The Kitchen screen, what happened, and readings."""
    routes = APIRouter()

    def shown(cook_id: int, status: int = 200, **mistakes: str) -> HTMLResponse:
        kitchen = site.kitchen()
        view = cook_view(site.store.cook(cook_id), site.store, kitchen, site.clock())
        return site.html("cook.html", kitchen.preference, status, view=view, mistakes=mistakes, words_of=words_of)

    @routes.post("/kitchen/start")
    async def start(request: Request) -> Response:
        """Start a cook from the question of a plan."""
        answers = await form_of(request)
        question, now, kitchen = Question.of(answers), site.clock(), site.kitchen()
        try:
            plan = make_plan(understand(question, now, kitchen), offer=False)
        except Misunderstood:
            return RedirectResponse(f"/?{question.query()}", status_code=303)
        food = plan.request.food
        cook = site.store.start_cook(
            Cook(
                question=question.query(),
                planned_at=now,
                name=food.name,
                food=food.key,
                set_point_C=plan.set_point_C,
                thickness_m=plan.request.body.thickness_m,
                planned_bath_s=plan.bath_s,
            )
        )
        return RedirectResponse(f"/kitchen/{cook.id}", status_code=303)

    @routes.get("/kitchen", response_class=HTMLResponse)
    def kitchen_screen() -> Response:
        """All cooks in progress."""
        kitchen, now = site.kitchen(), site.clock()
        views = [cook_view(c, site.store, kitchen, now) for c in site.store.cooks(ended=False).cooks]
        return site.html("kitchen.html", kitchen.preference, views=views)

    @routes.get("/kitchen/{cook_id}", response_class=HTMLResponse)
    def one_cook(cook_id: int) -> Response:
        """One cook in progress."""
        return shown(cook_id)

    @routes.post("/kitchen/{cook_id}/event", response_class=HTMLResponse)
    async def add_event(cook_id: int, request: Request) -> Response:
        """What happened, now or at the time given."""
        answers, kitchen, now = await form_of(request), site.kitchen(), site.clock()
        try:
            event = _event(answers, kitchen, now)
            site.store.add_event(cook_id, event)
        except ValueError as error:
            return shown(cook_id, 422, event=render(sentence(error), kitchen.preference))
        return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)

    @routes.post("/kitchen/{cook_id}/event/{event_id}", response_class=HTMLResponse)
    async def change_event(cook_id: int, event_id: int, request: Request) -> Response:
        """Change when something happened, or take it back."""
        answers, kitchen = await form_of(request), site.kitchen()
        revision = int(answers.get("revision") or 0)
        if "remove" in answers:
            site.store.remove_event(cook_id, event_id, revision)
            return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)
        kept = next((e for e in site.store.cook(cook_id).events if e.id == event_id), None)
        if kept is None:
            return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)
        try:
            at = parse_past(answers.get("at", ""), site.clock(), kitchen.zone)
            site.store.change_event(
                cook_id, Event(kept.happening, at, site.clock(), kept.value_C, kept.text, event_id), revision
            )
        except ValueError as error:
            return shown(cook_id, 422, event=render(sentence(error), kitchen.preference))
        return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)

    @routes.post("/kitchen/{cook_id}/reading", response_class=HTMLResponse)
    async def add_reading(cook_id: int, request: Request) -> Response:
        """A temperature typed in."""
        answers, kitchen, now = await form_of(request), site.kitchen(), site.clock()
        try:
            value_C = parse_temperature(answers.get("value", ""), prefer=kitchen.preference.temperature)
            at = parse_past(answers.get("at", ""), now, kitchen.zone)
            site.store.add_readings(cook_id, [Reading(at, Place(answers.get("place", "core")), value_C)])
        except ValueError as error:
            return shown(cook_id, 422, reading=render(sentence(error), kitchen.preference))
        return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)

    @routes.post("/api/cooks/{cook_id}/readings")
    async def post_readings(cook_id: int, request: Request) -> JSONResponse:
        """Readings from a logger, as docs/store.md describes them."""
        try:
            new = ingest(site.store, cook_id, await request.body(), received_at=site.clock())
        except ValueError as error:
            return JSONResponse({"error": render(sentence(error), site.kitchen().preference)}, status_code=422)
        return JSONResponse({"new": new})

    @routes.post("/kitchen/{cook_id}/file", response_class=HTMLResponse)
    async def look_at_file(cook_id: int, request: Request) -> Response:
        """Read a logger's file and show what was understood, before anything is kept."""
        kitchen = site.kitchen()
        async with request.form(max_files=1, max_fields=10) as form:
            upload = form.get("file")
            data = await upload.read() if isinstance(upload, UploadFile) else b""
            name = (upload.filename or "file")[:60] if isinstance(upload, UploadFile) else "file"
            answers = {k: v for k, v in form.items() if isinstance(v, str)}
        return looked_at(site, cook_id, name, data, answers, kitchen)

    @routes.post("/kitchen/{cook_id}/file/{token}", response_class=HTMLResponse)
    async def keep_file(cook_id: int, token: str, request: Request) -> Response:
        """Keep the readings of a file that was looked at, or look again with other answers."""
        answers, kitchen = await form_of(request), site.kitchen()
        try:
            kept = keep(site, cook_id, token, answers, kitchen)
        except ValueError as error:
            return shown(cook_id, 422, file=render(sentence(error), kitchen.preference))
        return kept or shown(cook_id, 422, file="The file is not held any more: choose it again.")

    @routes.post("/kitchen/{cook_id}/end")
    async def end(cook_id: int, request: Request) -> Response:
        """Nothing more is expected: on to the log."""
        answers = await form_of(request)
        site.store.end_cook(cook_id, int(answers.get("revision") or 0))
        return RedirectResponse(f"/log/{cook_id}", status_code=303)

    @routes.get("/api/cooks/{cook_id}")
    def api_cook(cook_id: int) -> JSONResponse:
        """What the Kitchen screen's script asks for every half minute."""
        kitchen = site.kitchen()
        view = cook_view(site.store.cook(cook_id), site.store, kitchen, site.clock())
        return JSONResponse(
            {
                "revision": view.cook.revision,
                "ready": view.ready,
                "core": render(view.core_words, kitchen.preference, both=False),
            }
        )

    return routes


def _event(answers: dict[str, str], kitchen: Kitchen, now: datetime) -> Event:
    try:
        happening = Happening(answers.get("happening", ""))
    except ValueError:
        raise NotUnderstood("say what happened, by one of the buttons") from None
    value_C = None
    if happening is Happening.SET_POINT:
        value_C = parse_temperature(answers.get("value", ""), prefer=kitchen.preference.temperature)
    at = parse_past(answers.get("at", ""), now, kitchen.zone)
    return Event(happening, at, now, value_C, answers.get("text", "").strip())
