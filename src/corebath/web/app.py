"""The web application: one site, its guards and its routes. Nothing is computed here."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.staticfiles import StaticFiles
from starlette.exceptions import HTTPException

from corebath.log.errors import Missing, Outdated, StoreError

from .card_routes import card_routes
from .gear_routes import gear_routes
from .kitchen_routes import kitchen_routes
from .log_routes import log_routes
from .photo_routes import photo_routes
from .plan_routes import plan_routes
from .poster_routes import poster_routes
from .reading_routes import reading_routes
from .refusals import refused
from .site import Site, sentence

_STATIC = Path(__file__).parent / "static"
_LONGEST_QUERY = 4000
_LARGEST_FORM, _LARGEST_FILE = 65_536, 16_000_000
_HEADERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; "
        "form-action 'self'; base-uri 'none'; frame-ancestors 'none'; manifest-src 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}
# What happens in a kitchen changes by the minute: going back must not show an old page with an old clock.
_FRESH = ("/kitchen", "/log", "/gear", "/api/cooks")


def create_app(site: Site) -> FastAPI:
    """The app of one site."""
    app = FastAPI(title="corebath", docs_url=None, redoc_url=None)
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")
    for routes in (plan_routes, kitchen_routes, reading_routes, log_routes, photo_routes, gear_routes, card_routes, poster_routes):
        app.include_router(routes(site))

    @app.middleware("http")
    async def guard(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
        wrong = _wrong(request)
        return _headed(request, refused(site, request, *wrong) if wrong is not None else await call_next(request))

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
        return _headed(request, refused(site, request, 500, text))

    return app


def _headed(request: Request, response: Response) -> Response:
    for name, value in _HEADERS.items():
        response.headers.setdefault(name, value)
    if request.url.path.startswith(_FRESH):
        response.headers.setdefault("Cache-Control", "no-store")
    return response


def _wrong(request: Request) -> tuple[int, str] | None:
    """Status and sentence for requests that are too large, or that another site's page sends; None for all others."""
    if len(request.url.query) > _LONGEST_QUERY:
        return 422, f"The question is too long: at most {_LONGEST_QUERY} characters are accepted."
    if request.method in ("GET", "HEAD"):
        return None
    length = request.headers.get("content-length", "")
    if not length.isdecimal() and (length or "transfer-encoding" in request.headers):
        return 411, "What is sent must say how long it is."
    multipart = request.headers.get("content-type", "").startswith("multipart/form-data")
    most = _LARGEST_FILE if multipart or request.url.path.startswith("/api/") else _LARGEST_FORM
    if int(length or 0) > most:
        return 413, f"What was sent is too large: at most {most / 1_000_000:.2g} MB is accepted."
    origin = request.headers.get("origin")
    if origin is not None and origin.split("//")[-1] != request.headers.get("host"):
        return 403, "Only corebath's own pages may change anything here."
    return None
