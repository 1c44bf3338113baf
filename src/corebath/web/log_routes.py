"""Routes of the Log screen: what was cooked, what was thought of it, and what to change."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.log.compare import compare
from corebath.log.cook import Cook, Rating
from corebath.log.gear import Kitchen
from corebath.log.words import hear
from corebath.plan.plan import Plan
from corebath.show.compare_chart import compare_drawing
from corebath.show.scale import day_label
from corebath.show.svg import to_svg
from corebath.units import render

from .cook_view import cook_view, plan_of, words_of
from .next_time import outcome_of, proposal
from .site import Site, form_of, sentence

_ASPECTS = ("tender", "juicy", "done", "crust", "salt")


def log_routes(site: Site) -> APIRouter:
    """The Log screen."""
    routes = APIRouter()

    def shown(cook_id: int, status: int = 200, **mistakes: str) -> HTMLResponse:
        kitchen = site.kitchen()
        cook, now = site.store.cook(cook_id), site.clock()
        view = cook_view(cook, site.store, kitchen, now)
        note = cook.rating.note if cook.rating is not None else ""
        return site.html(
            "logged.html",
            kitchen.preference,
            status,
            view=view,
            mistakes=mistakes,
            words_of=words_of,
            heard=hear(note) if note else None,
            proposed=proposal(cook, site.store, kitchen, now) if cook.rating is not None else None,
        )

    @routes.get("/log", response_class=HTMLResponse)
    def log(q: str = "", page: int = 0) -> Response:
        """Everything cooked, the latest first."""
        kitchen = site.kitchen()
        page = min(max(page, 0), 10_000)
        found = site.store.cooks(q[:80], first=50 * page, most=50)
        return site.html("log.html", kitchen.preference, found=found, q=q[:80], page=page, kitchen=kitchen)

    @routes.get("/log/compare", response_class=HTMLResponse)
    def compared(cook: Annotated[list[int] | None, Query()] = None) -> Response:
        """Two cooks, the second against the first: in a sentence, in a table, and their curves."""
        kitchen = site.kitchen()
        chosen = sorted((site.store.cook(i) for i in (cook or [])[:2]), key=lambda c: c.planned_at)
        known = [(c, p, o) for c in chosen if (p := _plan(c, kitchen)) and (o := outcome_of(c, kitchen))]
        if len(cook or []) != 2 or len(known) != 2:
            told = (
                "One of them cannot be compared: its plan is not understood any more, or it was pulled too soon."
                if len(cook or []) == 2
                else "Tick two cooks, no fewer and no more."
            )
            return site.html("compared.html", kitchen.preference, 422, told=told, comparison=None, charts=(), cooks=())
        names = [f"{c.name} of {day_label(c.planned_at.astimezone(kitchen.zone))}" for c, _, _ in known]
        curves = tuple((n, p, c.bath_s or c.planned_bath_s) for n, (c, p, _) in zip(names, known, strict=True))
        charts = [
            to_svg(replace(compare_drawing(curves, kitchen.preference, wide=w), key=f"compare-{n}"), standalone=False)
            for n, w in (("narrow", False), ("wide", True))
        ]
        first, second = (replace(o, name=n) for n, (_, _, o) in zip(names, known, strict=True))
        return site.html(
            "compared.html", kitchen.preference, told="", comparison=compare(first, second), charts=charts, cooks=chosen
        )

    @routes.get("/log/{cook_id}", response_class=HTMLResponse)
    def logged(cook_id: int) -> Response:
        """One cook in the log."""
        return shown(cook_id)

    @routes.post("/log/{cook_id}/rating", response_class=HTMLResponse)
    async def rate(cook_id: int, request: Request) -> Response:
        """What the table thought."""
        answers = await form_of(request)
        try:
            given = {a: int(answers[a]) for a in _ASPECTS if answers.get(a, "") != ""}
            rating = Rating(**given, note=answers.get("note", "").strip())
            site.store.rate(cook_id, rating, int(answers.get("revision") or 0))
        except ValueError as error:
            return shown(cook_id, 422, rating=render(sentence(error), site.kitchen().preference))
        return RedirectResponse(f"/log/{cook_id}", status_code=303)

    @routes.post("/log/{cook_id}/reopen")
    async def reopen(cook_id: int, request: Request) -> Response:
        """Back to the kitchen."""
        answers = await form_of(request)
        site.store.reopen_cook(cook_id, int(answers.get("revision") or 0))
        return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)

    @routes.post("/log/{cook_id}/remove")
    async def remove(cook_id: int, request: Request) -> Response:
        """Forget a cook."""
        answers = await form_of(request)
        site.store.remove_cook(cook_id, int(answers.get("revision") or 0))
        return RedirectResponse("/log", status_code=303)

    return routes


def _plan(cook: Cook, kitchen: Kitchen) -> Plan | None:
    return plan_of(cook.question, cook.planned_at, kitchen)
