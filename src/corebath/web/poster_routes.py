"""Routes of the table of times: a page, the same as a PDF, and the same as data."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse

from corebath.ask.poster import PAPERS, PosterQuestion, understand_poster
from corebath.ask.understand import Misunderstood, preference_of
from corebath.food.catalogue import catalogue
from corebath.plan.sweep import Sweep, Times, make_times
from corebath.show.poster import make_poster
from corebath.show.poster_data import times_as_json

from .refusals import not_asked
from .site import Site, misunderstood_as_json

_QUESTION_IN_QUERY = {
    "parameters": [{"name": name, "in": "query", "schema": {"type": "string"}} for name in PosterQuestion.names()]
}


@lru_cache(maxsize=16)
def _times(sweep: Sweep) -> Times:
    """The table. Kept, since a page that was read is often printed."""
    return make_times(sweep)


def poster_routes(site: Site) -> APIRouter:
    """The table of times for the question in the address."""
    routes = APIRouter()

    @routes.get("/poster", response_class=HTMLResponse)
    def page(request: Request) -> Response:
        """The table as a page."""
        question, kitchen = PosterQuestion.of(request.query_params), site.kitchen()
        preference = preference_of(question, kitchen)
        shown: dict[str, Any] = {"question": question, "foods": tuple(catalogue().values()), "papers": PAPERS}
        shown |= {"mistakes": {}, "poster": None, "asked": None}
        if not question.given():
            return site.html("poster.html", preference, **shown)
        try:
            asked = understand_poster(question, kitchen, waits=True)
        except Misunderstood as error:
            return site.html("poster.html", preference, 422, **shown | {"mistakes": error.sentences})
        poster = make_poster(_times(asked.sweep), preference, site.clock().astimezone(kitchen.zone).date())
        return site.html("poster.html", preference, **shown | {"poster": poster, "asked": asked})

    @routes.get("/poster.pdf", openapi_extra=_QUESTION_IN_QUERY)
    def pdf(request: Request) -> Response:
        """The table set on paper."""
        question, kitchen = PosterQuestion.of(request.query_params), site.kitchen()
        preference = preference_of(question, kitchen)
        try:
            asked = understand_poster(question, kitchen, waits=True)
        except Misunderstood:
            return page(request) if question.given() else not_asked(site, request)
        from corebath.show.poster_files import typeset  # the typesetter is slow to load

        poster = make_poster(_times(asked.sweep), preference, site.clock().astimezone(kitchen.zone).date())
        name = f'inline; filename="corebath-{asked.sweep.like.food.key}.pdf"'
        headers = {"Content-Disposition": name}
        return Response(typeset(poster, "pdf", asked.paper), media_type="application/pdf", headers=headers)

    @routes.get("/api/poster", openapi_extra=_QUESTION_IN_QUERY)
    def data(request: Request) -> JSONResponse:
        """The table as JSON; see docs/json-poster.md."""
        question, kitchen = PosterQuestion.of(request.query_params), site.kitchen()
        preference = preference_of(question, kitchen)
        try:
            asked = understand_poster(question, kitchen, waits=True)
        except Misunderstood as error:
            return misunderstood_as_json(error, preference)
        made = site.clock().astimezone(kitchen.zone).date()
        return JSONResponse(times_as_json(_times(asked.sweep), preference, made))

    return routes
