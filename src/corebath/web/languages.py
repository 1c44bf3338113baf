"""The language of a page: the one this device chose, else the one its browser asks for."""

from __future__ import annotations

from urllib.parse import urlsplit, urlunsplit

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from corebath.language import LANGUAGES, asked_for, html, reading
from corebath.show.together import page_together

from .site import form_of

COOKIE = "corebath-language"
_YEAR_s = 365 * 86_400


class Languages:
    """Says every page of the app inside in the reader's language, its numbers tied to their units."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        language = language_of(Headers(scope=scope))
        started: Message | None = None
        body = b""

        async def said(message: Message) -> None:
            nonlocal started, body
            if message["type"] == "http.response.start":
                if _is_page(Headers(raw=message["headers"])):
                    started = message
                else:
                    await send(message)
            elif started is None:
                await send(message)
            else:
                body += message.get("body", b"")
                if message.get("more_body", False):
                    return
                page = page_together(html(body.decode("utf-8"), language)).encode("utf-8")
                headers = MutableHeaders(raw=started["headers"])
                headers["Content-Length"] = str(len(page))
                headers["Content-Language"] = language
                headers.add_vary_header("Accept-Language, Cookie")
                await send(started)
                await send({"type": "http.response.body", "body": page})

        with reading(language):
            await self.app(scope, receive, said)


def language_of(headers: Headers) -> str:
    """The language of a request: a key of `LANGUAGES`."""
    chosen = cookie_parser(headers.get("cookie", "")).get(COOKIE, "")
    return chosen if chosen in LANGUAGES else asked_for(headers.get("accept-language", ""))


def language_routes() -> APIRouter:
    """The choice of a language for this device."""
    routes = APIRouter()

    @routes.post("/language")
    async def choose(request: Request) -> RedirectResponse:
        """Keep the choice in a cookie, and go back to the page it was made on."""
        form = await form_of(request)
        came_from = urlsplit(request.headers.get("referer", ""))
        path = came_from.path if came_from.netloc == request.headers.get("host") else ""
        back = urlunsplit(("", "", "/" + path.lstrip("/\\"), came_from.query, ""))
        response = RedirectResponse(back, status_code=303)
        if form.get("language") in LANGUAGES:
            response.set_cookie(COOKIE, form["language"], max_age=_YEAR_s, httponly=True, samesite="lax")
        return response

    return routes


def _is_page(headers: Headers) -> bool:
    return headers.get("content-type", "").startswith("text/html") and "content-encoding" not in headers
