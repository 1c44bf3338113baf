"""Routes of the Gear screen."""

from __future__ import annotations

from fastapi import APIRouter, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.log.moments import from_us
from corebath.log.store import Outdated

from .gear_page import GearPage, changed_gear, gear_page, outdated_gear
from .pairing import Household
from .site import Answers, Site, sentence


def gear_routes(site: Site, household: Household) -> APIRouter:
    """The Gear screen and its changes."""
    routes = APIRouter()

    def shown(page: GearPage, status: int = 200) -> HTMLResponse:
        zone = page.kitchen.zone
        return site.html(
            "gear.html", page.kitchen.preference, status, page=page, household=household, zone=zone,
            shares=site.store.shares(site.clock()), moment_of=lambda us: from_us(us).astimezone(zone),
        )  # fmt: skip

    @routes.get("/gear", response_class=HTMLResponse)
    def gear() -> Response:
        """The Gear screen."""
        return shown(gear_page(*site.kitchen_and_revision()))

    @routes.post("/gear", response_class=HTMLResponse)
    def change_gear(answers: Answers) -> Response:
        """Change the gear; the form carries the revision it was made for."""
        page = changed_gear(answers, *site.kitchen_and_revision())
        if not page.mistakes:
            try:
                site.store.save_kitchen(page.kitchen, page.revision)
                return RedirectResponse("/gear", status_code=303)
            except Outdated as error:
                page = outdated_gear(answers, *site.kitchen_and_revision(), sentence(error))
        return shown(page, 422)

    return routes
