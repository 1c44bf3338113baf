"""Routes of the Menu screen: the page, the same as files, and the start of its cooks."""

from __future__ import annotations

from collections.abc import Callable
from urllib.parse import parse_qsl

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse

from corebath.ask.menu import menu_preference
from corebath.ask.menu_file import example_file, read_menu, write_menu
from corebath.ask.menu_question import MenuQuestion
from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood, understand
from corebath.log.cook import Cook
from corebath.plan.make import make_plan
from corebath.plan.menu.answer import MenuPlan
from corebath.plan.why.menu import menu_whys
from corebath.show.calendar import tasks_calendar
from corebath.show.menu_csv import menu_as_csv
from corebath.show.menu_json import menu_as_json
from corebath.show.menu_words import menu_name, works
from corebath.show.why_words import by_part
from corebath.units import Preference, render

from .menu_page import canonical, menu_page, solved
from .refusals import not_asked
from .site import Answers, Site, misunderstood_as_json

_MOST_COOKS = 12


def menu_routes(site: Site) -> APIRouter:
    """The Menu screen, and the menu as data, table, calendar and file."""
    routes = APIRouter()

    def asked(request: Request) -> MenuQuestion:
        return MenuQuestion.of(request.query_params.multi_items())

    def as_file(
        request: Request, name: str, media: str, make: Callable[[MenuPlan, Preference], bytes | str]
    ) -> Response:
        question, kitchen = asked(request), site.kitchen()
        if not question.pairs():
            return not_asked(site, request)
        try:
            _, plan = solved(question, site.clock(), kitchen)
        except Misunderstood:
            return RedirectResponse(f"/menu?{question.query()}", status_code=303)
        if not works(plan):
            return RedirectResponse(f"/menu?{question.query()}", status_code=303)
        return _download(make(plan, menu_preference(question, kitchen)), name, media)

    @routes.get("/menu", response_class=HTMLResponse)
    def menu(request: Request, add: str = "", remove: str = "") -> Response:
        """The Menu screen for the question in the address; add : course, dish or bath, remove : a row such as d2."""
        now, kitchen = site.clock(), site.kitchen()
        if not request.query_params and site.example:
            question = canonical(read_menu(example_file()), now, kitchen)
            return RedirectResponse(f"/menu?{question.query()}", status_code=303)
        question = canonical(asked(request).without(remove).more(add), now, kitchen)
        if request.query_params and request.query_params.multi_items() != question.pairs():
            return RedirectResponse(f"/menu?{question.query()}", status_code=303)
        page = menu_page(question, now, kitchen)
        whys = {} if page.plan is None else by_part(menu_whys(page.plan))
        return site.html("menu.html", page.preference, page.status, page=page, whys=whys)

    @routes.post("/menu/start", response_class=HTMLResponse)
    def start(answers: Answers) -> Response:
        """Start one cook for each dish, from the questions the page sent; all of them or none."""
        now, kitchen = site.clock(), site.kitchen()
        cooks: list[Cook] = []
        wrong: list[str] = []
        for i in range(1, _MOST_COOKS + 1):
            if f"cook{i}" not in answers:
                continue
            name = answers.get(f"name{i}", "").strip()
            question = Question.of(parse_qsl(answers[f"cook{i}"]))
            try:
                plan = make_plan(understand(question, now, kitchen), offer=False)
                cooks.append(
                    Cook(
                        question=question.query(),
                        planned_at=now,
                        name=name or plan.request.food.name,
                        food=plan.request.food.key,
                        set_point_C=plan.set_point_C,
                        thickness_m=plan.request.body.thickness_m,
                        planned_bath_s=plan.bath_s,
                    )
                )
            except Misunderstood as error:
                wrong += [f"{name}: {sentence}" for sentence in error.sentences.values()]
            except ValueError as error:
                wrong.append(f"{name}: {error}.")
        if wrong or not cooks:
            said = render(" ".join(wrong) or "No dish was sent to start.", kitchen.preference)
            words = {"head": "Not started", "text": said, "where": "/menu", "words": "To the menu"}
            return site.html("refused.html", kitchen.preference, 422, **words)
        for cook in cooks:
            site.store.start_cook(cook)
        return RedirectResponse("/kitchen", status_code=303)

    @routes.get("/menu.csv")
    def table(request: Request) -> Response:
        """The run sheet as a table."""
        return as_file(request, "menu.csv", "text/csv; charset=utf-8", menu_as_csv)

    @routes.get("/menu.ics")
    def calendar(request: Request) -> Response:
        """The run sheet as a calendar."""

        def made(plan: MenuPlan, preference: Preference) -> bytes:
            return tasks_calendar(menu_name(plan), plan.run_sheet, plan.menu.zone, site.clock(), preference)

        return as_file(request, "menu.ics", "text/calendar; charset=utf-8", made)

    @routes.get("/menu.toml")
    def file(request: Request) -> Response:
        """The question as a file that `corebath menu` takes."""
        question = asked(request)
        if not question.pairs():
            return not_asked(site, request)
        return _download(write_menu(question), "menu.toml", "text/plain; charset=utf-8")

    @routes.get("/api/menu")
    def api_menu(request: Request) -> JSONResponse:
        """The menu as JSON for the same query as the Menu screen; see docs/json-menu.md."""
        question, kitchen = asked(request), site.kitchen()
        preference = menu_preference(question, kitchen)
        try:
            _, plan = solved(question, site.clock(), kitchen)
        except Misunderstood as error:
            return misunderstood_as_json(error, preference)
        return JSONResponse(menu_as_json(plan, preference))

    return routes


def _download(content: bytes | str, name: str, media: str) -> Response:
    return Response(content, media_type=media, headers={"Content-Disposition": f'attachment; filename="{name}"'})
