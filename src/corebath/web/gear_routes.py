"""Routes of the Gear screen."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.log.store import Outdated

from .gear_page import changed_gear, gear_page, outdated_gear
from .site import Site, form_of, sentence


def gear_routes(site: Site) -> APIRouter:
    """The Gear screen and its changes."""
    routes = APIRouter()

    @routes.get("/gear", response_class=HTMLResponse)
    def gear() -> Response:
        """The Gear screen."""
        page = gear_page(*site.kitchen_and_revision())
        return site.html("gear.html", page.kitchen.preference, page=page)

    @routes.post("/gear", response_class=HTMLResponse)
    async def change_gear(request: Request) -> Response:
        """Change the gear; the form carries the revision it was made for."""
        answers = await form_of(request)
        page = changed_gear(answers, *site.kitchen_and_revision())
        if not page.mistakes:
            try:
                site.store.save_kitchen(page.kitchen, page.revision)
                return RedirectResponse("/gear", status_code=303)
            except Outdated as error:
                page = outdated_gear(answers, *site.kitchen_and_revision(), sentence(error))
        return site.html("gear.html", page.kitchen.preference, 422, page=page)

    return routes
