"""Reading what a client sends: no more than it may, and no slower."""

from __future__ import annotations

import asyncio
import re

from starlette.types import Message, Receive

from .guard_token import FIELD

_HEAD_BYTES = 4096
_MULTIPART_TOKEN = re.compile(rb'name="' + FIELD.encode() + rb'"\r\n\r\n([^\r\n]{1,200})\r\n')
_PLAIN_TOKEN = re.compile(rb"(?:^|&)" + FIELD.encode() + rb"=([^&]{1,200})")


class TooLarge(Exception):  # noqa: N818 - it is the body that is too large
    """More came than may."""


class TooSlow(Exception):  # noqa: N818 - it is the client that is too slow
    """It did not come in time."""


class Gone(Exception):  # noqa: N818 - it is the client that is gone
    """The client went away before it was done."""


async def whole_body(receive: Receive, most: int, within_s: float) -> bytes:
    """All that a client sends. Raises TooLarge, TooSlow or Gone."""
    parts: list[bytes] = []
    size = 0
    try:
        async with asyncio.timeout(within_s):
            while True:
                message = await receive()
                if message["type"] == "http.disconnect":
                    raise Gone
                part = message.get("body", b"")
                size += len(part)
                if size > most:
                    raise TooLarge
                parts.append(part)
                if not message.get("more_body", False):
                    return b"".join(parts)
    except TimeoutError as error:
        raise TooSlow from error


def again(body: bytes, receive: Receive) -> Receive:
    """A body that was read, to be read again by the route."""
    told = False

    async def told_again() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return told_again


def token_in(body: bytes, content_type: str) -> str:
    """The token of a form; it stands first in a form with files. Empty when there is none."""
    if content_type.startswith("multipart/form-data"):
        found = _MULTIPART_TOKEN.search(body[:_HEAD_BYTES])
    else:
        found = _PLAIN_TOKEN.search(body)
    return found[1].decode("ascii", "replace") if found else ""
