"""Routes of the Log screen: what was cooked, what was thought of it, and what to change."""

from __future__ import annotations

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse

from corebath.log.cook import Rating
from corebath.units import render

from .cook_view import cook_view, words_of
from .site import Site, form_of, sentence

_ASPECTS = ("tender", "juicy", "done", "crust", "salt")


def log_routes(site: Site) -> APIRouter:
    """The Log screen."""
    routes = APIRouter()

    def shown(cook_id: int, status: int = 200, **mistakes: str) -> HTMLResponse:
        kitchen = site.kitchen()
        view = cook_view(site.store.cook(cook_id), site.store, kitchen, site.clock())
        return site.html("logged.html", kitchen.preference, status, view=view, mistakes=mistakes, words_of=words_of)

    @routes.get("/log", response_class=HTMLResponse)
    def log(q: str = "", page: int = 0) -> Response:
        """Everything cooked, the latest first."""
        kitchen = site.kitchen()
        page = min(max(page, 0), 10_000)
        found = site.store.cooks(q[:80], first=50 * page, most=50)
        return site.html("log.html", kitchen.preference, found=found, q=q[:80], page=page, kitchen=kitchen)

    @routes.get("/log/{cook_id}", response_class=HTMLResponse)
    def logged(cook_id: int) -> Response:
        """One cook in the log."""
        return shown(cook_id)

    @routes.post("/log/{cook_id}/rating", response_class=HTMLResponse)
    async def rate(cook_id: int, request: Request) -> Response:
        """What the table thought."""
        answers = await form_of(request)
        try:
            given = {a: int(answers[a]) for a in _ASPECTS if answers.get(a, "") != ""}
            rating = Rating(**given, note=answers.get("note", "").strip())
            site.store.rate(cook_id, rating, int(answers.get("revision") or 0))
        except ValueError as error:
            return shown(cook_id, 422, rating=render(sentence(error), site.kitchen().preference))
        return RedirectResponse(f"/log/{cook_id}", status_code=303)

    @routes.post("/log/{cook_id}/reopen")
    async def reopen(cook_id: int, request: Request) -> Response:
        """Back to the kitchen."""
        answers = await form_of(request)
        site.store.reopen_cook(cook_id, int(answers.get("revision") or 0))
        return RedirectResponse(f"/kitchen/{cook_id}", status_code=303)

    @routes.post("/log/{cook_id}/remove")
    async def remove(cook_id: int, request: Request) -> Response:
        """Forget a cook."""
        answers = await form_of(request)
        site.store.remove_cook(cook_id, int(answers.get("revision") or 0))
        return RedirectResponse("/log", status_code=303)

    return routes
