"""The guard in front of every route: who may ask what, how often and how much, and what every answer carries."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Mapping

from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import Request
from starlette.responses import Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from corebath.log.errors import StoreError

from .guard_body import Gone, TooLarge, TooSlow, again, token_in, whole_body
from .guard_headers import head
from .guard_pace import Buckets, retry_after
from .guard_settings import pace, requests
from .guard_token import HEADER, TOKEN
from .guard_turn import Turn
from .pairing import Caller, Household, Kind, host_of

_CHANGE_NOTHING = ("GET", "HEAD", "OPTIONS")
# What an unknown device may ask for: to be paired, how pages look and read, and cards that were shared.
_OPEN = ("/pair", "/static/", "/s/", "/language")
_READINGS = ("/api/cooks/", "/readings")
# What takes long to reckon: every page but these, and of what is sent only these.
_QUICK_PAGES, _SLOW_FORMS = ("/static/", "/pair"), ("/kitchen/start", "/share")


class Refusal(Exception):  # noqa: N818 - reads as the answer it is
    """What a request is answered that cannot be met. text : one sentence;  headers : that go with it"""

    def __init__(self, status: int, text: str, headers: Mapping[str, str] | None = None) -> None:
        super().__init__(text)
        self.status, self.text, self.headers = status, text, headers or {}


Refuse = Callable[[Request, int, str], Response]


class Guard:
    """ASGI middleware. refuse : makes the page or the JSON of a refusal"""

    def __init__(self, app: ASGIApp, household: Household, refuse: Refuse) -> None:
        self._app, self._household, self._refuse = app, household, refuse
        self._turns = asyncio.Semaphore(requests().pages_at_once)
        self._paces = {kind: Buckets(pace("here" if kind is Kind.HERE else "network")) for kind in Kind}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self._app(scope, receive, send)
            return
        request = Request(scope)
        turn = Turn(self._turns)
        cookie = ""

        async def headed(message: Message) -> None:
            if message["type"] == "http.response.start":
                turn.over()  # what follows takes as long as the client reads
                headers = MutableHeaders(scope=message)
                head(headers, request.url.path)
                if cookie and "set-cookie" not in headers and headers.get("content-type", "").startswith("text/html"):
                    headers.append("set-cookie", self._cookie(cookie, request))
            await send(message)

        try:
            caller = self._known(request)
            cookie = "" if request.url.path.startswith("/s/") else caller.cookie
            TOKEN.set(self._household.form_token(caller.session))
            if request.method not in _CHANGE_NOTHING:
                receive = await self._changes(request, receive, caller)
            if _reckons(request):
                receive = await turn.wait(receive)
        except Gone:
            return
        except Refusal as refusal:
            answer = self._refuse(request, refusal.status, refusal.text)
            answer.headers.update(refusal.headers)
            await answer(scope, receive, headed)
        except StoreError as error:
            await self._refuse(request, 503, f"{str(error)[:1].upper()}{str(error)[1:]}.")(scope, receive, headed)
        else:
            await self._app(scope, receive, headed)
        finally:
            turn.over()

    def _known(self, request: Request) -> Caller:
        """Who asks. Raises Refusal for an address that is not ours, an endless question, haste, and the unknown."""
        if not self._household.answers_to(host_of(request)):
            raise Refusal(421, "This kitchen does not answer to the name in this address.")
        if len(request.url.query) > requests().query_characters:
            most = requests().query_characters
            raise Refusal(422, f"The question is too long: at most {most} characters are accepted.")
        caller = self._household.caller(request)
        wait_s = self._paces[caller.kind].take(caller.address)
        if wait_s:
            later = {"Retry-After": retry_after(wait_s)}
            raise Refusal(429, "Too much is asked at once: wait a moment, then try again.", later)
        if caller.kind is Kind.UNKNOWN and not request.url.path.startswith(_OPEN) and not self._is_logger(request):
            asked = {"WWW-Authenticate": 'Bearer realm="corebath"'}
            raise Refusal(401, "This device is not paired with this kitchen.", asked)
        return caller

    async def _changes(self, request: Request, receive: Receive, caller: Caller) -> Receive:
        """What is sent, to be read by the route. Raises Refusal for what is no form of ours, too much or too slow."""
        headers, limits = request.headers, requests()
        _check_site(headers)
        content_type = headers.get("content-type", "")
        length = headers.get("content-length", "")
        if not (length.isascii() and length.isdecimal()) and (length or "transfer-encoding" in headers):
            raise Refusal(411, "What is sent must say how long it is.")
        large = content_type.startswith("multipart/form-data") or request.url.path.startswith("/api/")
        most = limits.file_bytes if large else limits.form_bytes
        too_large = Refusal(413, f"What was sent is too large: at most {most / 1_000_000:.2g} MB is accepted.")
        if len(length) > 15 or int(length or 0) > most:
            raise too_large
        try:
            body = await whole_body(receive, most, limits.body_s)
        except TooLarge:
            raise too_large from None
        except TooSlow:
            raise Refusal(408, "What was sent came too slowly: send it again.", {"Connection": "close"}) from None
        if not _is_readings(request):
            token = headers.get(HEADER, "") or token_in(body, content_type)
            if not self._household.form_token_fits(caller.session, token):
                raise Refusal(
                    403, "Only corebath's own pages may change anything here: reload the page, then send it again."
                )
        return again(body, receive)

    def _is_logger(self, request: Request) -> bool:
        return _is_readings(request) and self._household.is_logger(request.headers.get("authorization", ""))

    def _cookie(self, value: str, request: Request) -> str:
        """The header that sets a session, as `keep_session` does."""
        answer = Response()
        keep_session(answer, self._household, value, request)
        return answer.headers["set-cookie"]


def keep_session(answer: Response, household: Household, value: str, request: Request) -> None:
    """Let a browser keep a signed session: not for scripts, not for other sites' forms, and encrypted where we are."""
    answer.set_cookie(
        household.cookie_name, value, max_age=household.cookie_age_s, httponly=True, samesite="lax",
        secure=request.url.scheme == "https",
    )  # fmt: skip


def _reckons(request: Request) -> bool:
    """Whether an answer takes long."""
    path = request.url.path
    return not path.startswith(_QUICK_PAGES) if request.method in _CHANGE_NOTHING else path.startswith(_SLOW_FORMS)


def _is_readings(request: Request) -> bool:
    start, end = _READINGS
    path = request.url.path
    return request.method == "POST" and path.startswith(start) and path.endswith(end)


def _check_site(headers: Headers) -> None:
    """Raises Refusal for what another site's page sends, as far as the browser tells."""
    origin = headers.get("origin")
    foreign = origin is not None and origin.split("//")[-1] != headers.get("host")
    if foreign or headers.get("sec-fetch-site", "same-origin") not in ("same-origin", "none"):
        raise Refusal(403, "Only corebath's own pages may change anything here.")
