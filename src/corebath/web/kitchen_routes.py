"""Routes of the Kitchen screen: cooks in progress, and what happened to them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime, timedelta
from itertools import pairwise
from zoneinfo import ZoneInfo

from fastapi import APIRouter, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse

from corebath.ask.moment import parse_past
from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.log.cook import Cook, Event, Happening
from corebath.log.gear import Kitchen
from corebath.plan.make import make_plan
from corebath.units import NotUnderstood, parse_temperature, render

from .cook_page import back_to, cook_page, in_progress, refused_page, revision_of
from .cook_view import cook_view, zone_of
from .site import Answers, Site
from .tasks import DONE_WORDS, done_keys

_ONCE = (Happening.DROPPED_IN, Happening.PULLED, Happening.SERVED)
_DOUBLE_TAP = timedelta(minutes=1)


def kitchen_routes(site: Site) -> APIRouter:
    """The Kitchen screen and what happened."""
    routes = APIRouter()

    @routes.post("/kitchen/start")
    def start(answers: Answers) -> Response:
        """Start a cook from the question of a plan."""
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
        return site.html("kitchen.html", site.kitchen().preference, views=in_progress(site), now=site.clock())

    @routes.get("/kitchen/{cook_id}", response_class=HTMLResponse)
    def one_cook(cook_id: int) -> Response:
        """One cook in progress; one that is ended has its page in the log."""
        return back_to(site, cook_id) if site.store.cook(cook_id).ended else cook_page(site, cook_id)

    @routes.post("/kitchen/{cook_id}/event", response_class=HTMLResponse)
    def add_event(cook_id: int, answers: Answers) -> Response:
        """What happened, now or at the time given."""
        kitchen, now = site.kitchen(), site.clock()
        zone = zone_of(site.store.cook(cook_id), kitchen)
        try:
            event = _event(answers, kitchen, zone, now)
            with site.changing:
                cook = site.store.cook(cook_id)
                if event.happening is Happening.DONE and event.text in done_keys(cook):
                    return back_to(site, cook_id)
                told = cook.first(event.happening) if event.happening in _ONCE else None
                if told is not None and now - told.told_at < _DOUBLE_TAP and not answers.get("at", "").strip():
                    return back_to(site, cook_id)
                check_event(cook, event, zone)
                site.store.add_event(cook_id, event)
        except ValueError as error:
            return refused_page(site, cook_id, "event", answers, error)
        return back_to(site, cook_id)

    @routes.post("/kitchen/{cook_id}/event/{event_id}", response_class=HTMLResponse)
    def change_event(cook_id: int, event_id: int, answers: Answers) -> Response:
        """Change when something happened, or take it back."""
        kitchen, now = site.kitchen(), site.clock()
        revision = revision_of(answers)
        if "remove" in answers:
            site.store.remove_event(cook_id, event_id, revision)
            return back_to(site, cook_id)
        cook = site.store.cook(cook_id)
        zone = zone_of(cook, kitchen)
        kept = next((e for e in cook.events if e.id == event_id), None)
        try:
            if kept is None:
                raise NotUnderstood("it was removed meanwhile, so there is no time to change")
            event = replace(kept, at=parse_past(answers.get("at", ""), now, zone), told_at=now)
            check_event(cook, event, zone)
            site.store.change_event(cook_id, event, revision)
        except ValueError as error:
            return refused_page(site, cook_id, "changed", {**answers, "event": str(event_id)}, error)
        return back_to(site, cook_id)

    @routes.post("/kitchen/{cook_id}/name", response_class=HTMLResponse)
    def rename(cook_id: int, answers: Answers) -> Response:
        """Call a cook something else, so that two of one food are told apart."""
        try:
            site.store.rename_cook(cook_id, answers.get("name", "").strip(), revision_of(answers))
        except ValueError as error:
            return refused_page(site, cook_id, "name", answers, error)
        return back_to(site, cook_id)

    @routes.post("/kitchen/{cook_id}/end")
    def end(cook_id: int, answers: Answers) -> Response:
        """Nothing more is expected: on to the log."""
        site.store.end_cook(cook_id, revision_of(answers))
        return back_to(site, cook_id)

    @routes.get("/api/cooks/{cook_id}")
    def api_cook(cook_id: int) -> JSONResponse:
        """A cook as it stands now."""
        kitchen = site.kitchen()
        view = cook_view(site.store.cook(cook_id), site.store, kitchen, site.clock())
        task = view.next_task
        return JSONResponse(
            {
                "revision": view.cook.revision,
                "name": view.cook.name,
                "next": None if task is None else {"key": task.key, "at": task.at.isoformat()},
                "core": render(view.core_words, kitchen.preference, both=False),
                "ready": view.ready,
                "verdict": view.judged.decision.value if view.judged is not None and view.faulty else None,
            }
        )

    return routes


def _event(answers: Mapping[str, str], kitchen: Kitchen, zone: ZoneInfo, now: datetime) -> Event:
    value_C, text, task = None, answers.get("text", "").strip(), answers.get("task", "")
    try:
        happening = Happening(Happening.DONE if task in DONE_WORDS else answers.get("happening", ""))
    except ValueError:
        happening = None
    if happening is None or (happening is Happening.DONE and task not in DONE_WORDS):
        raise NotUnderstood("tap what happened: nothing is recorded yet")
    if happening is Happening.DONE:
        text = task
    if happening is Happening.SET_POINT:
        value_C = parse_temperature(answers.get("value", ""), prefer=kitchen.preference.temperature)
    if happening is Happening.NOTE and not text:
        raise NotUnderstood("the note is empty: write something first")
    at = parse_past(answers.get("at", ""), now, zone)
    return Event(happening, at, now, value_C, text)


def check_event(cook: Cook, event: Event, zone: ZoneInfo) -> None:
    """Refuse what cannot have happened: some things twice, and the pull before the drop-in."""
    others = [e for e in cook.events if e is not event and (event.id is None or e.id != event.id)]
    told = next((e for e in others if e.happening is event.happening), None)
    if told is not None and event.happening in _ONCE:
        at = told.at.astimezone(zone)
        raise NotUnderstood(
            f"“{event.happening.value}” is recorded already, at {at:%H:%M}: change its time below, or remove it first"
        )
    order = sorted((e for e in (*others, event) if e.happening in _ONCE), key=lambda e: _ONCE.index(e.happening))
    for early, late in pairwise(order):
        if late.at < early.at and event in (early, late):
            raise NotUnderstood(f"it cannot have been {late.happening.value} before it was {early.happening.value}")
