"""Routes for readings: typed in, out of a logger's file, and posted by a logger."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile

from corebath.ask.moment import parse_past
from corebath.log.cook import Place, Reading
from corebath.log.ingest import ingest
from corebath.units import NotUnderstood, parse_temperature, render

from .cook_page import back_to, refused_page
from .cook_view import zone_of
from .readings_file import keep, looked_at
from .site import Answers, Site, sentence


def reading_routes(site: Site) -> APIRouter:
    """Readings on their way into a cook."""
    routes = APIRouter()

    @routes.post("/kitchen/{cook_id}/reading", response_class=HTMLResponse)
    def add_reading(cook_id: int, answers: Answers) -> Response:
        """A temperature typed in."""
        kitchen, now = site.kitchen(), site.clock()
        try:
            value_C = parse_temperature(answers.get("value", ""), prefer=kitchen.preference.temperature)
            at = parse_past(answers.get("at", ""), now, zone_of(site.store.cook(cook_id), kitchen))
            site.store.add_readings(cook_id, [Reading(at, _place(answers.get("place", "")), value_C).of_water()])
        except ValueError as error:
            return refused_page(site, cook_id, "reading", answers, error)
        return back_to(site, cook_id)

    @routes.post("/kitchen/{cook_id}/readings/remove", response_class=HTMLResponse)
    def remove_readings(cook_id: int, answers: Answers) -> Response:
        """Take back all readings of one source."""
        site.store.remove_readings(cook_id, answers.get("source", ""))
        return back_to(site, cook_id)

    @routes.post("/api/cooks/{cook_id}/readings")
    async def post_readings(cook_id: int, request: Request) -> JSONResponse:
        """Readings from a logger, as docs/store.md describes them."""
        body, now = await request.body(), site.clock()
        try:
            new = await run_in_threadpool(ingest, site.store, cook_id, body, received_at=now)
        except ValueError as error:
            return JSONResponse({"error": render(sentence(error), site.kitchen().preference)}, status_code=422)
        return JSONResponse({"new": new})

    @routes.post("/kitchen/{cook_id}/file", response_class=HTMLResponse)
    async def look_at_file(cook_id: int, request: Request) -> Response:
        """Read a logger's file and show what was understood, before anything is kept."""
        async with request.form(max_files=1, max_fields=10) as form:
            upload = form.get("file")
            data = await upload.read() if isinstance(upload, UploadFile) else b""
            name = (upload.filename or "")[:60] if isinstance(upload, UploadFile) else ""
            answers = {k: v for k, v in form.items() if isinstance(v, str)}
        if not name and not data:
            return refused_page(site, cook_id, "file", {}, NotUnderstood("choose a file first"))
        return await run_in_threadpool(looked_at, site, cook_id, name or "file", data, answers, site.kitchen())

    @routes.post("/kitchen/{cook_id}/file/{token}", response_class=HTMLResponse)
    def keep_file(cook_id: int, token: str, answers: Answers) -> Response:
        """Keep the readings of a file that was looked at, or look again with other answers."""
        try:
            kept = keep(site, cook_id, token, answers, site.kitchen())
        except ValueError as error:
            return refused_page(site, cook_id, "file", {}, error)
        return kept or refused_page(
            site, cook_id, "file", {}, NotUnderstood("the file is not held any more: choose it again")
        )

    return routes


def _place(told: str) -> Place:
    try:
        return Place(told)
    except ValueError:
        raise NotUnderstood("say what was read, the core or the bath") from None
