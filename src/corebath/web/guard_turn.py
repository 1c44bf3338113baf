"""Pages are reckoned a few at a time, so that what is told or posted meanwhile is kept at once."""

from __future__ import annotations

import asyncio
from contextlib import suppress

from starlette.types import Message, Receive

from .guard_body import Gone


class Turn:
    """The turn of one request among those that take long."""

    def __init__(self, turns: asyncio.Semaphore) -> None:
        self._turns, self._has = turns, False

    async def wait(self, receive: Receive) -> Receive:
        """Wait for it; returns what the route is to receive from. Raises Gone for a client that gave up meanwhile."""
        held: list[Message] = []
        if self._turns.locked():
            # Whoever drags the point on the map asks anew before the last answer came: nobody reads that one any more.
            message = await receive()
            held.append(message)
            if message["type"] == "http.request" and not message.get("more_body", False):
                await self._come_or_go(receive)
                return _first(held, receive)
        await self._turns.acquire()
        self._has = True
        return _first(held, receive)

    def over(self) -> None:
        """Let the next one in; does nothing the second time."""
        if self._has:
            self._has = False
            self._turns.release()

    async def _come_or_go(self, receive: Receive) -> None:
        turn, gone = asyncio.ensure_future(self._turns.acquire()), asyncio.ensure_future(receive())
        try:
            await asyncio.wait((turn, gone), return_when=asyncio.FIRST_COMPLETED)
        finally:
            gone.cancel()
            turn.cancel()  # no effect on one that has come
            with suppress(asyncio.CancelledError):
                self._has = await turn
        if not self._has:
            raise Gone


def _first(held: list[Message], receive: Receive) -> Receive:
    """What was received already, then the rest."""

    async def received() -> Message:
        return held.pop(0) if held else await receive()

    return received
