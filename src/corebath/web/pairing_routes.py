"""Routes that pair other devices with this kitchen, and part them again."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.show.qr import code_of

from .guard import keep_session
from .guard_pace import retry_after
from .guard_settings import pairing
from .pairing import Household, TooMany
from .site import Answers, Site, sentence


def pairing_routes(site: Site, household: Household) -> APIRouter:
    """The page a new device opens, and what Gear offers for it."""
    routes = APIRouter()

    def page(code: str, name: str = "", mistake: str = "", status: int = 200) -> HTMLResponse:
        return site.html(
            "pair.html", site.fresh.preference, status, code=code[:40], device=name[:80], mistake=mistake,
            longest=pairing().device_name_characters,
        )  # fmt: skip

    @routes.get("/pair", response_class=HTMLResponse)
    def to_pair(code: str = "") -> Response:
        """Ask for the code; the link of a picture brings it along. Looking at the page does not use the code up."""
        return page(code)

    @routes.post("/pair", response_class=HTMLResponse)
    def pair(request: Request, answers: Answers) -> Response:
        """Pair the device that sends a code that holds."""
        code, name = answers.get("code", ""), answers.get("name", "")
        try:
            session = household.pair(code, name, request.client.host if request.client else "")
        except TooMany as error:
            answer: Response = page(code, name, sentence(error), 429)
            answer.headers["Retry-After"] = retry_after(error.wait_s)
            return answer
        except ValueError as error:
            return page(code, name, sentence(error), 422)
        answer = RedirectResponse("/", status_code=303)
        keep_session(answer, household, session, request)
        return answer

    @routes.post("/gear/pair", response_class=HTMLResponse)
    def offer_code() -> Response:
        """A code for one more device."""
        if not household.serving.network:
            return site.html("pairing_code.html", site.kitchen().preference, 422, code=None)
        code = household.new_code()
        link = household.link(code)
        return site.html(
            "pairing_code.html", site.kitchen().preference, code=code, link=link, drawn=code_of(link).svg,
            until=code.until.astimezone(site.kitchen().zone), address=household.serving.network,
        )  # fmt: skip

    @routes.post("/gear/unpair")
    def unpair() -> Response:
        """Part all devices."""
        household.unpair_all()
        return RedirectResponse("/gear#devices-head", status_code=303)

    return routes
