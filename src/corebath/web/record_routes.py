"""Routes of the kitchen's records: rows by day, one more row, what was done about one, and the table."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Query, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.ask.records import understand_action, understand_record
from corebath.ask.understand import Misunderstood
from corebath.log.errors import Outdated
from corebath.units import render

from .record_page import Wanted, add_page, asked_of, list_page, offer, table_of
from .site import Answers, Site, sentence

First = Annotated[str, Query(alias="from")]
Last = Annotated[str, Query(alias="to")]


def record_routes(site: Site) -> APIRouter:
    """The records; these addresses stand before those of single cooks."""
    routes = APIRouter()

    @routes.get("/log/records", response_class=HTMLResponse)
    def records(first: First = "", last: Last = "", cook: str = "", asking: str = "") -> Response:
        """The rows of some days, or about one cook."""
        return list_page(site, Wanted(first, last, cook, asking))

    @routes.get("/log/records.csv")
    def table(first: First = "", last: Last = "", cook: str = "", asking: str = "") -> Response:
        """The same rows as a table."""
        wanted = Wanted(first, last, cook, asking)
        made = table_of(site, wanted)
        if made is None:
            return list_page(site, wanted)
        text, name = made
        headers = {"Content-Disposition": f'attachment; filename="{name}"'}
        return Response(text.encode("utf-8"), media_type="text/csv; charset=utf-8", headers=headers)

    @routes.get("/log/records/add", response_class=HTMLResponse)
    def form(step: str = "", cook: str = "", corrects: str = "") -> Response:
        """The form of a row, with what is known already."""
        try:
            return add_page(site, offer(site, step, cook, corrects))
        except ValueError as error:
            return add_page(site, {"step": step}, {"corrects": sentence(error)})

    @routes.post("/log/records/add", response_class=HTMLResponse)
    def add(answers: Answers) -> Response:
        """One more row; what is not clear is told, and nothing typed is lost."""
        try:
            question, cook, old = asked_of(site, answers)
        except ValueError as error:
            return add_page(site, {**answers, "cook": "", "corrects": ""}, {"corrects": sentence(error)})
        try:
            record = understand_record(question, site.clock(), site.kitchen(), cook=cook, old=old)
            kept = site.store.add_record(record).record
        except Misunderstood as error:
            return add_page(site, answers, error.sentences)
        except (Outdated, ValueError) as error:
            return add_page(site, answers, {"corrects": sentence(error)})
        day = kept.at.astimezone(site.kitchen().zone).date()
        return RedirectResponse(f"/log/records?from={day}&to={day}#row-{kept.id}", status_code=303)

    @routes.post("/log/records/{number}/action", response_class=HTMLResponse)
    def act(number: int, answers: Answers) -> Response:
        """What was done about a row that missed a limit."""
        wanted = Wanted(*(answers.get(name, "")[:40] for name in ("from", "to", "cook", "asking")))
        try:
            done = understand_action(
                site.store.record(number), answers.get("action", ""), answers.get("by", ""), site.clock()
            )
        except Misunderstood as error:
            said = {name: render(text, site.kitchen().preference) for name, text in error.sentences.items()}
            return list_page(site, wanted, 422, {**answers, "row": str(number)}, said)
        site.store.add_record(done)
        return RedirectResponse(f"/log/records?{wanted.query(asking='')}#row-{number}", status_code=303)

    return routes
