"""Routes of the Log screen: what was cooked, what was thought of it, and what to change."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

from fastapi import APIRouter, Query, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.ask.moment import parse_past
from corebath.log.compare import compare
from corebath.log.cook import Cook, Event, Happening, Rating
from corebath.log.errors import Outdated
from corebath.log.gear import Kitchen
from corebath.plan.plan import Plan
from corebath.show.compare_chart import compare_drawing
from corebath.show.scale import day_label
from corebath.show.svg import to_svg
from corebath.units import NotUnderstood

from .cook_page import back_to, cook_page, refused_page, revision_of
from .cook_view import plan_of, zone_of
from .kitchen_routes import check_event
from .next_time import outcome_of
from .site import Answers, Site, sentence

_ASPECTS = ("tender", "juicy", "done", "crust", "salt")
_A_PAGE = 50


def log_routes(site: Site) -> APIRouter:
    """The Log screen."""
    routes = APIRouter()

    @routes.get("/log", response_class=HTMLResponse)
    def log(q: str = "", page: int = 0) -> Response:
        """Everything cooked, the latest first."""
        kitchen = site.kitchen()
        page = min(max(page, 0), 10_000)
        found = site.store.cooks(q[:80], first=_A_PAGE * page, most=_A_PAGE)
        more = found.total > _A_PAGE * (page + 1)
        return site.html("log.html", kitchen.preference, found=found, q=q[:80], page=page, more=more, kitchen=kitchen)

    @routes.get("/log/compare", response_class=HTMLResponse)
    def compared(cook: Annotated[list[int] | None, Query()] = None) -> Response:
        """Two cooks, the second against the first: in a sentence, in a table, and their curves."""
        kitchen = site.kitchen()
        chosen = sorted((site.store.cook(i) for i in (cook or [])[:2]), key=lambda c: (c.cooked_at, c.id))
        known = [(c, p, o) for c in chosen if (p := _plan(c, kitchen)) and (o := outcome_of(c, kitchen))]
        two = len(cook or []) == len(set(cook or [])) == 2
        if not two or len(known) != 2:
            told = (
                "One of them cannot be compared: its plan is not understood any more, or it was pulled too soon."
                if two
                else "Tick exactly two cooks."
            )
            return site.html("compared.html", kitchen.preference, 422, told=told, comparison=None, charts=(), named=())
        names = _names(chosen, kitchen)
        curves = tuple((n, p, c.bath_s or c.planned_bath_s) for n, (c, p, _) in zip(names, known, strict=True))
        charts = [
            to_svg(replace(compare_drawing(curves, kitchen.preference, wide=w), key=f"compare-{n}"), standalone=False)
            for n, w in (("narrow", False), ("wide", True))
        ]
        first, second = (replace(o, name=n) for n, (_, _, o) in zip(names, known, strict=True))
        return site.html(
            "compared.html",
            kitchen.preference,
            told="",
            comparison=compare(first, second),
            charts=charts,
            named=tuple(zip(chosen, names, strict=True)),
        )

    @routes.get("/log/{cook_id}", response_class=HTMLResponse)
    def logged(cook_id: int) -> Response:
        """One cook in the log; one that goes on has its page in the kitchen."""
        return cook_page(site, cook_id) if site.store.cook(cook_id).ended else back_to(site, cook_id)

    @routes.post("/log/{cook_id}/rating", response_class=HTMLResponse)
    def rate(cook_id: int, answers: Answers) -> Response:
        """What the table thought. Against a change made meanwhile the words typed stay in the form."""
        try:
            given = {a: _steps(answers[a]) for a in _ASPECTS if answers.get(a, "")}
            rating = Rating(**given, note=answers.get("note", "").strip())
            site.store.rate(cook_id, rating, revision_of(answers))
        except ValueError as error:
            return refused_page(site, cook_id, "rating", answers, error)
        except Outdated as error:
            return cook_page(site, cook_id, 409, answers, rating=sentence(error))
        return back_to(site, cook_id)

    @routes.post("/log/{cook_id}/bath", response_class=HTMLResponse)
    def bath_times(cook_id: int, answers: Answers) -> Response:
        """When it dropped in and was pulled, told afterwards."""
        now = site.clock()
        zone = zone_of(site.store.cook(cook_id), site.kitchen())
        try:
            with site.changing:
                cook = site.store.cook(cook_id)
                told = []
                for happening in (Happening.DROPPED_IN, Happening.PULLED):
                    if cook.first(happening) is None:
                        if not answers.get(happening.name, "").strip():
                            raise NotUnderstood(f"say when it was {happening.value}")
                        told.append(Event(happening, parse_past(answers[happening.name], now, zone), now))
                for event in told:
                    check_event(replace(cook, events=(*cook.events, *told)), event, zone)
                for event in told:
                    site.store.add_event(cook_id, event)
        except ValueError as error:
            return refused_page(site, cook_id, "bath", answers, error)
        return back_to(site, cook_id)

    @routes.post("/log/{cook_id}/reopen")
    def reopen(cook_id: int, answers: Answers) -> Response:
        """Back to the kitchen."""
        site.store.reopen_cook(cook_id, revision_of(answers))
        return back_to(site, cook_id)

    @routes.post("/log/{cook_id}/remove")
    def remove(cook_id: int, answers: Answers) -> Response:
        """Forget a cook."""
        site.store.remove_cook(cook_id, revision_of(answers))
        return RedirectResponse("/log", status_code=303)

    return routes


def _steps(told: str) -> int:
    if told not in ("-2", "-1", "0", "1", "2"):
        raise NotUnderstood("a rating goes from -2, far too little, to 2, far too much")
    return int(told)


def _names(cooks: list[Cook], kitchen: Kitchen) -> list[str]:
    """What two cooks are called beside each other: with their day and, where that does not tell them apart, more."""
    here = [cook.cooked_at.astimezone(kitchen.zone) for cook in cooks]
    days = [f"{cook.name} of {day_label(at)}" for cook, at in zip(cooks, here, strict=True)]
    times = [f"{day}, {at:%H:%M}" for day, at in zip(days, here, strict=True)]
    numbers = [f"{time}, number {cook.id}" for time, cook in zip(times, cooks, strict=True)]
    return next(names for names in (days, times, numbers) if len(set(names)) == len(names) or names is numbers)


def _plan(cook: Cook, kitchen: Kitchen) -> Plan | None:
    return plan_of(cook.question, cook.planned_at, kitchen)
