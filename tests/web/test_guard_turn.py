"""Turns of pages that take long: few at once, given up with their client, and never lost."""

from __future__ import annotations

import asyncio
from collections.abc import Awaitable, Callable

import pytest
from starlette.types import Message
from tests.web.apart import run_apart

from corebath.web.guard_body import Gone
from corebath.web.guard_turn import Turn

ASKED: Message = {"type": "http.request", "body": b"", "more_body": False}
LEFT: Message = {"type": "http.disconnect"}


def _client(gone: asyncio.Event) -> Callable[[], Awaitable[Message]]:
    """What a client sends: its request, and a while later that it is gone."""
    told = [ASKED]

    async def receive() -> Message:
        if told:
            return told.pop()
        await gone.wait()
        return LEFT

    return receive


def test_a_client_that_gives_up_while_it_waits_takes_no_turn() -> None:
    async def run() -> None:
        turns, gone = asyncio.Semaphore(1), asyncio.Event()
        first, second, third = (Turn(turns) for _ in range(3))
        assert await (await first.wait(_client(asyncio.Event())))() == ASKED
        waiting = asyncio.create_task(second.wait(_client(gone)))
        last = asyncio.create_task(third.wait(_client(asyncio.Event())))
        await asyncio.sleep(0.01)
        gone.set()
        with pytest.raises(Gone):
            await waiting
        second.over()
        assert not last.done()
        first.over()
        assert await (await last)() == ASKED
        third.over()
        third.over()
        assert not turns.locked()
        await turns.acquire()
        assert turns.locked()  # there is still just one

    run_apart(run())


def test_a_turn_that_is_cancelled_while_it_waits_is_not_lost() -> None:
    async def run() -> None:
        turns = asyncio.Semaphore(1)
        first = Turn(turns)
        await first.wait(_client(asyncio.Event()))
        second = Turn(turns)
        waiting = asyncio.create_task(second.wait(_client(asyncio.Event())))
        await asyncio.sleep(0.01)
        first.over()  # its turn comes in the same moment
        waiting.cancel()
        with pytest.raises(asyncio.CancelledError):
            await waiting
        second.over()
        await asyncio.wait_for(Turn(turns).wait(_client(asyncio.Event())), 5)

    run_apart(run())
