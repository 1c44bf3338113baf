"""Routes of what is handed on: the card, the labels, the fridge card, the message and the calendar of a plan."""

from __future__ import annotations

from collections.abc import Callable

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.ask.question import Question
from corebath.ask.understand import Misunderstood
from corebath.language import spoken
from corebath.show.calendar import plan_calendar
from corebath.show.card_sheet import card_pdf, usual_paper, web_print
from corebath.show.labels_sheet import fridge_pdf, label_lines, labels_pdf, plan_labels
from corebath.show.message import message

from .card_page import Handed, handed_on, handed_on_from_cook
from .refusals import not_asked
from .site import Site

_PDF, _CALENDAR = "application/pdf", "text/calendar; charset=utf-8"


def card_routes(site: Site) -> APIRouter:
    """Everything that leaves the screen; each address takes the query of the Plan screen."""
    routes = APIRouter()

    def of_question(request: Request, make: Callable[[Handed], Response]) -> Response:
        question, kitchen = Question.of(request.query_params), site.kitchen()
        if not question.given():
            return not_asked(site, request)
        try:
            return make(handed_on(question, site.clock(), kitchen))
        except Misunderstood:
            return RedirectResponse(f"/?{question.query()}", status_code=303)
        except ValueError as error:
            return _refused(site, str(error), f"/?{question.query()}")

    def of_cook(cook_id: int, make: Callable[[Handed], Response]) -> Response:
        handed = handed_on_from_cook(site.store.cook(cook_id), site.clock(), site.kitchen())
        if handed is None:
            return _refused(site, "The question behind this cook is not understood any more.", f"/kitchen/{cook_id}")
        try:
            return make(handed)
        except ValueError as error:
            return _refused(site, str(error), handed.back)

    def page(request: Request, handed: Handed) -> Response:
        card = handed.card(request.headers.get("host", ""), request.url.scheme)
        return site.html("card.html", handed.preference, card=card, printed=web_print(card), handed=handed, style="")

    def paged(request: Request, handed: Handed) -> Response:
        card = handed.card(request.headers.get("host", ""), request.url.scheme)
        return _file(card_pdf(card, _paper(request, handed)), _PDF, f"card-{handed.plan.request.food.key}.pdf")

    @routes.get("/card", response_class=HTMLResponse)
    def card(request: Request) -> Response:
        """The card as a page to look at and to print."""
        return of_question(request, lambda handed: page(request, handed))

    @routes.get("/card.pdf")
    def card_as_pdf(request: Request) -> Response:
        """The card as a PDF of one page. paper : a4, letter or a5"""
        return of_question(request, lambda handed: paged(request, handed))

    @routes.get("/kitchen/{cook_id}/card", response_class=HTMLResponse)
    def card_of_cook(cook_id: int, request: Request) -> Response:
        """The card of the plan behind a cook."""
        return of_cook(cook_id, lambda handed: page(request, handed))

    @routes.get("/kitchen/{cook_id}/card.pdf")
    def card_of_cook_as_pdf(cook_id: int, request: Request) -> Response:
        """The same as a PDF."""
        return of_cook(cook_id, lambda handed: paged(request, handed))

    @routes.get("/labels", response_class=HTMLResponse)
    def labels(request: Request) -> Response:
        """The label of each bag, to look at, with its sheet and the fridge card to print."""

        def make(handed: Handed) -> Response:
            made = plan_labels(handed.plan, handed.ends)
            lines = label_lines(made[0], handed.preference)
            return site.html("labels.html", handed.preference, handed=handed, lines=lines, count=len(made))

        return of_question(request, make)

    @routes.get("/labels.pdf")
    def labels_as_pdf(request: Request) -> Response:
        """Sheets of bag labels. paper : a4 or letter;  count : how many, as many as bags by default"""

        def make(handed: Handed) -> Response:
            made = plan_labels(handed.plan, handed.ends, count=_count(request))
            sheets = labels_pdf(made, handed.preference, _paper(request, handed))
            return _file(sheets, _PDF, f"labels-{handed.plan.request.food.key}.pdf")

        return of_question(request, make)

    @routes.get("/fridge.pdf")
    def fridge_as_pdf(request: Request) -> Response:
        """The card for the fridge door. paper : a4 or letter;  count : bags inside"""

        def make(handed: Handed) -> Response:
            made = plan_labels(handed.plan, handed.ends, count=_count(request))
            door = fridge_pdf(made, handed.preference, handed.made, _paper(request, handed))
            return _file(door, _PDF, f"fridge-{handed.plan.request.food.key}.pdf")

        return of_question(request, make)

    @routes.get("/plan.ics")
    def calendar(request: Request) -> Response:
        """The run sheet as a calendar file."""

        def make(handed: Handed) -> Response:
            sheet = plan_calendar(handed.plan, handed.made, handed.preference, tasks=handed.ends.run_sheet)
            return _file(sheet, _CALENDAR, f"cook-{handed.plan.request.food.key}.ics", shown="attachment")

        return of_question(request, make)

    @routes.get("/message", response_class=HTMLResponse)
    def text(request: Request) -> Response:
        """The plan in a few sentences, to be copied into a message."""

        def make(handed: Handed) -> Response:
            # What a text area holds is a cook's own elsewhere and is not translated with its page.
            said = spoken(message(handed.plan, handed.ends, handed.preference, handed.made))
            return site.html("message.html", handed.preference, handed=handed, text=said)

        return of_question(request, make)

    return routes


def _file(body: bytes, kind: str, name: str, *, shown: str = "inline") -> Response:
    return Response(body, media_type=kind, headers={"Content-Disposition": f'{shown}; filename="{name}"'})


def _paper(request: Request, handed: Handed) -> str:
    return request.query_params.get("paper", "") or usual_paper(handed.preference)


def _count(request: Request) -> int | None:
    typed = request.query_params.get("count", "").strip()
    if not typed:
        return None
    if not (typed.isascii() and typed.isdigit() and len(typed) <= 6):
        raise ValueError("the number of labels must be a whole number")
    return int(typed)


def _refused(site: Site, text: str, back: str) -> Response:
    said = f"{text[:1].upper()}{text[1:].rstrip('.')}."
    head, words = "This is not handed on", "Back to the plan"
    return site.html("refused.html", site.kitchen().preference, 422, head=head, text=said, where=back, words=words)
