"""Routes of a week's portions: the page, and the same as data, tables, calendar and labels."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, JSONResponse, RedirectResponse

from corebath.ask.batch import batch_preference
from corebath.ask.batch_file import example_file, read_batch
from corebath.ask.batch_question import BatchQuestion
from corebath.ask.understand import Misunderstood
from corebath.plan.batch.answer import BatchPlan
from corebath.plan.why.batch import batch_whys
from corebath.show.batch_csv import bags_as_csv, days_as_csv
from corebath.show.batch_json import batch_as_json
from corebath.show.calendar import tasks_calendar
from corebath.show.labels_sheet import labels_pdf
from corebath.show.why_words import by_part
from corebath.units import Preference

from .batch_page import batch_page, canonical, planned
from .refusals import not_asked
from .site import Site, misunderstood_as_json

_TABLE = "text/csv; charset=utf-8"


def batch_routes(site: Site) -> APIRouter:
    """The page of a week's portions, and its files."""
    routes = APIRouter()

    def asked(request: Request) -> BatchQuestion:
        return BatchQuestion.of(request.query_params.multi_items())

    def as_file(
        request: Request, name: str, media: str, make: Callable[[BatchPlan, Preference], bytes | str]
    ) -> Response:
        question, kitchen = asked(request), site.kitchen()
        if not question.pairs():
            return not_asked(site, request)
        try:
            made = make(planned(question, site.clock(), kitchen), batch_preference(question, kitchen))
        except Misunderstood:
            return RedirectResponse(f"/batch?{question.query()}", status_code=303)
        return Response(made, media_type=media, headers={"Content-Disposition": f'attachment; filename="{name}"'})

    @routes.get("/batch", response_class=HTMLResponse)
    def batch(request: Request, add: str = "", remove: str = "") -> Response:
        """The page for the question in the address; add : one more food, remove : the number of a row."""
        now, kitchen = site.clock(), site.kitchen()
        if not request.query_params and site.example:
            # The widest vessel: a week's bags do not hang free in a small one.
            widest = max(kitchen.vessels, key=lambda owned: owned.vessel.volume_m3, default=None)
            example = read_batch(example_file()).changed(vessel="" if widest is None else widest.name)
            example = canonical(example, now, kitchen)
            return RedirectResponse(f"/batch?{example.query()}", status_code=303)
        question = asked(request).without(remove)
        question = canonical(question.more() if add else question, now, kitchen)
        if request.query_params and request.query_params.multi_items() != question.pairs():
            return RedirectResponse(f"/batch?{question.query()}", status_code=303)
        page = batch_page(question, now, kitchen)
        whys = {} if page.plan is None else by_part(batch_whys(page.plan))
        return site.html("batch.html", page.preference, page.status, page=page, whys=whys)

    @routes.get("/api/batch")
    def api_batch(request: Request) -> JSONResponse:
        """The batch as JSON for the same query as its page; see docs/json-batch.md."""
        question, kitchen = asked(request), site.kitchen()
        preference = batch_preference(question, kitchen)
        try:
            plan = planned(question, site.clock(), kitchen)
        except Misunderstood as error:
            return misunderstood_as_json(error, preference)
        return JSONResponse(batch_as_json(plan, preference))

    @routes.get("/batch.csv")
    def bags(request: Request) -> Response:
        """One row for every bag."""
        return as_file(request, "batch-bags.csv", _TABLE, bags_as_csv)

    @routes.get("/batch-days.csv")
    def days(request: Request) -> Response:
        """One row for every task of the week."""
        return as_file(request, "batch-days.csv", _TABLE, days_as_csv)

    @routes.get("/batch.ics")
    def calendar(request: Request) -> Response:
        """The tasks of the week as a calendar file."""

        def make(plan: BatchPlan, preference: Preference) -> bytes:
            name = " and ".join(lot.name for lot in plan.batch.lots)
            return tasks_calendar(f"Batch: {name}", plan.run_sheet, plan.batch.zone, site.clock(), preference)

        return as_file(request, "batch.ics", "text/calendar; charset=utf-8", make)

    @routes.get("/batch.pdf")
    def labels(request: Request) -> Response:
        """A sheet with the label of every bag."""
        return as_file(
            request, "batch-labels.pdf", "application/pdf", lambda plan, preference: labels_pdf(plan.labels, preference)
        )

    return routes
