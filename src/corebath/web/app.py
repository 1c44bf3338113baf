"""The web application: one site, its guards and its routes. Nothing is computed here."""

from __future__ import annotations

from functools import partial
from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from corebath.log.errors import Missing, Outdated, StoreError

from .batch_routes import batch_routes
from .card_routes import card_routes
from .described import Described
from .gear_routes import gear_routes
from .guard import Guard
from .guard_headers import head
from .kitchen_routes import kitchen_routes
from .languages import Languages, language_routes
from .log_routes import log_routes
from .menu_routes import menu_routes
from .pairing import Household, Serving
from .pairing_routes import pairing_routes
from .photo_routes import photo_routes
from .plan_routes import plan_routes
from .poster_routes import poster_routes
from .reading_routes import reading_routes
from .record_routes import record_routes
from .refusals import refused
from .share_routes import share_routes
from .site import Site, sentence

_STATIC = Path(__file__).parent / "static"


def create_app(site: Site, serving: Serving | None = None) -> FastAPI:
    """The app of one site.

    serving : how it is reached, from this machine only when None.  Raises StoreError when its key cannot be kept.
    """
    household = Household(site.store, serving or Serving(), site.clock)
    app = Described(title="corebath", docs_url=None, redoc_url=None)
    app.state.household = household
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")
    app.include_router(record_routes(site))  # before the log's, whose addresses take any number
    for routes in (plan_routes, kitchen_routes, reading_routes, log_routes, photo_routes, card_routes, poster_routes):
        app.include_router(routes(site))
    app.include_router(batch_routes(site))
    app.include_router(menu_routes(site))
    for of_household in (gear_routes, pairing_routes, share_routes):
        app.include_router(of_household(site, household))

    app.include_router(language_routes())
    app.add_middleware(Guard, household=household, refuse=partial(refused, site))
    app.add_middleware(Languages)  # around the guard, whose refusals are pages as well

    @app.exception_handler(StoreError)
    def cannot_store(request: Request, error: Exception) -> Response:
        status = 404 if isinstance(error, Missing) else 409 if isinstance(error, Outdated) else 503
        return refused(site, request, status, sentence(error))

    @app.exception_handler(HTTPException)
    def no_route(request: Request, error: Exception) -> Response:
        return refused(site, request, error.status_code if isinstance(error, HTTPException) else 400)

    @app.exception_handler(RequestValidationError)
    def no_number(request: Request, error: Exception) -> Response:
        where = [e["loc"] for e in error.errors()] if isinstance(error, RequestValidationError) else []
        if any(loc[0] == "path" for loc in where):
            return refused(site, request, 404)
        names = ", ".join(dict.fromkeys(str(loc[1]) for loc in where if len(loc) > 1))
        return refused(site, request, 422, f"The address is not understood: {names} must be a whole number.")

    @app.exception_handler(Exception)
    def broke(request: Request, _: Exception) -> Response:
        text = (
            "This is a mistake in corebath itself; what was kept before is kept, and the times on the page before hold."
        )
        answer = refused(site, request, 500, text)
        head(answer.headers, request.url.path)
        return answer

    return app
