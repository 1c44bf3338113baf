"""The web application: one site, its guards and its routes. Nothing is computed here."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from pathlib import Path

from fastapi import FastAPI, Request, Response
from fastapi.responses import PlainTextResponse
from fastapi.staticfiles import StaticFiles

from corebath.log.errors import Missing, Outdated, StoreError

from .gear_routes import gear_routes
from .kitchen_routes import kitchen_routes
from .log_routes import log_routes
from .plan_routes import plan_routes
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


def create_app(site: Site) -> FastAPI:
    """The app of one site."""
    app = FastAPI(title="corebath", docs_url=None, redoc_url=None)
    app.mount("/static", StaticFiles(directory=_STATIC), name="static")
    for routes in (plan_routes, kitchen_routes, log_routes, gear_routes):
        app.include_router(routes(site))

    @app.middleware("http")
    async def guard(request: Request, call_next: Callable[[Request], Awaitable[Response]]) -> Response:
        refused = _refused(request)
        response = refused if refused is not None else await call_next(request)
        for name, value in _HEADERS.items():
            response.headers.setdefault(name, value)
        return response

    @app.exception_handler(StoreError)
    def cannot_store(_: Request, error: Exception) -> Response:
        status = 404 if isinstance(error, Missing) else 409 if isinstance(error, Outdated) else 503
        return PlainTextResponse(sentence(error), status_code=status)

    return app


def _refused(request: Request) -> Response | None:
    """An answer for requests that are too large, or that another site's page sends; None for all others."""
    if len(request.url.query) > _LONGEST_QUERY:
        text = f"The question is too long: at most {_LONGEST_QUERY} characters are accepted."
        return PlainTextResponse(text, status_code=422)
    if request.method not in ("GET", "HEAD"):
        multipart = request.headers.get("content-type", "").startswith("multipart/form-data")
        most = _LARGEST_FILE if multipart or request.url.path.startswith("/api/") else _LARGEST_FORM
        if int(request.headers.get("content-length") or 0) > most:
            return PlainTextResponse("What was sent is too large.", status_code=413)
        origin = request.headers.get("origin")
        if origin is not None and origin.split("//")[-1] != request.headers.get("host"):
            return PlainTextResponse("Only corebath's own pages may change anything here.", status_code=403)
    return None
