"""Routes of the Plan screen."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse

from corebath.ask.question import Question
from corebath.ask.told import told_of
from corebath.ask.understand import Misunderstood, preference_of, understand
from corebath.plan.make import make_plan
from corebath.show.as_json import plan_as_json

from .plan_page import CUTS, Part, canonical, first_question, plan_page
from .site import Site, misunderstood_as_json

_TEMPLATES = {Part.WHOLE: "plan.html", Part.PLAN: "plan.html", Part.ENDS: "_ends.html"}
_QUESTION_IN_QUERY = {
    "parameters": [{"name": name, "in": "query", "schema": {"type": "string"}} for name in Question.names()]
}


def plan_routes(site: Site) -> APIRouter:
    """The Plan screen and the plan as data."""
    routes = APIRouter()

    @routes.get("/", response_class=HTMLResponse)
    def plan(request: Request) -> Response:
        """The Plan screen for the question in the address; see `Part` for `X-Part` and `CUTS` for `X-Cut`."""
        now, kitchen = site.clock(), site.kitchen()
        question = Question.of(request.query_params)
        asked, cut = request.headers.get("x-part", ""), request.headers.get("x-cut", "")
        part = Part(asked) if asked in set(Part) else Part.WHOLE
        if not request.query_params and site.example:
            return RedirectResponse(f"/?{first_question(now, kitchen).query()}", status_code=303)
        whole = canonical(question, now, kitchen)
        if part is Part.WHOLE and request.query_params and dict(request.query_params) != whole.given():
            return RedirectResponse(f"/?{whole.query()}", status_code=303)
        page = plan_page(whole, now, kitchen, part, (cut,) if cut in CUTS else CUTS)
        response = site.html(_TEMPLATES[part], page.preference, page.status, page=page, whys=page.whys)
        response.headers["X-Question"] = whole.query()
        return response

    @routes.get("/api/plan", openapi_extra=_QUESTION_IN_QUERY)
    def api_plan(request: Request) -> JSONResponse:
        """The plan as JSON for the same query as the Plan screen; see docs/json.md."""
        question, kitchen = Question.of(request.query_params), site.kitchen()
        preference = preference_of(question, kitchen)
        try:
            wanted = understand(question, site.clock(), kitchen)
        except Misunderstood as error:
            return misunderstood_as_json(error, preference)
        return JSONResponse(plan_as_json(make_plan(wanted), preference, told_of(question, kitchen)))

    return routes
