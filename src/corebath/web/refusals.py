"""Refusals: each a small page of the site with one sentence and a way back, or JSON for programs."""

from __future__ import annotations

import re

from fastapi import Request, Response
from fastapi.responses import JSONResponse

from .site import Site

_HEADS = {
    400: "Not understood",
    401: "Not paired",
    403: "Not allowed",
    404: "Not found",
    405: "Nothing to see here",
    408: "Too slow",
    409: "Changed meanwhile",
    411: "Not understood",
    413: "Too large",
    421: "Not here",
    422: "Not understood",
    429: "Too fast",
    500: "Something broke",
    503: "The store does not answer",
}
_SENTENCES = {
    400: "What was sent is not understood.",
    404: "There is nothing at this address.",
    405: "This address only takes what a form sends.",
}
_COOK = re.compile(r"/(kitchen|log)/(\d{1,18})(/|$)")
_SCREENS = (
    ("/menu", "To the menu"), ("/batch", "To the batch"), ("/poster", "To the table of times"),
    ("/kitchen", "To the kitchen"), ("/log", "To the log"), ("/gear", "To the gear"),
)  # fmt: skip


def refused(site: Site, request: Request, status: int, text: str = "") -> Response:
    """The answer to a request that cannot be met.

    text : one sentence; what goes for the status when empty
    """
    said = text or _SENTENCES.get(status, "This cannot be done.")
    if request.url.path.startswith("/api/"):
        return JSONResponse({"error": said}, status_code=status)
    where, words = _way_back(request.url.path, status)
    head = _HEADS.get(status, "This cannot be done")
    return site.html("refused.html", site.fresh.preference, status, head=head, text=said, where=where, words=words)


def not_asked(site: Site, request: Request) -> Response:
    """The answer to the address of a file or a card without the answers it is made from."""
    return refused(site, request, 422, "No answers came with this address: answer the questions on the page first.")


def _way_back(path: str, status: int) -> tuple[str, str]:
    """Where to go on, and what the link says: the cook itself, or the screen when it may not be there."""
    if status == 401:
        return "/pair", "Pair this device"
    cook = _COOK.match(path)
    if cook and status not in (404, 503):
        return f"/{cook[1]}/{cook[2]}", "Back to the cook as it is now" if status == 409 else "Back to the cook"
    return next(((start, words) for start, words in _SCREENS if path.startswith(start)), ("/", "To the plan"))
