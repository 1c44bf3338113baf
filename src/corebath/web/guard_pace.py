"""How often a client may ask: token buckets in memory."""

from __future__ import annotations

import math
import time
from collections import OrderedDict
from collections.abc import Callable

from .guard_settings import Pace

_MOST_CLIENTS = 4096


class Buckets:
    """One bucket of a pace for every client; the clients seen longest ago are forgotten first.

    clock : rising seconds, another one in tests
    """

    def __init__(self, pace: Pace, clock: Callable[[], float] = time.monotonic) -> None:
        self._pace, self._clock = pace, clock
        self._filled: OrderedDict[str, tuple[float, float]] = OrderedDict()

    def take(self, client: str) -> float:
        """Take one token of a client; 0 when there was one, else the seconds until there is [s]."""
        tokens, now = self._level(client)
        wait_s = 0.0 if tokens >= 1 else (1 - tokens) / self._pace.a_second
        self._put(client, tokens if wait_s else tokens - 1, now)
        return wait_s

    def wait_s(self, client: str) -> float:
        """Seconds until a client has a token, 0 when it has one; takes none [s]."""
        tokens, _ = self._level(client)
        return max(0.0, (1 - tokens) / self._pace.a_second)

    def _level(self, client: str) -> tuple[float, float]:
        now = self._clock()
        tokens, then = self._filled.get(client, (self._pace.at_once, now))
        return min(self._pace.at_once, tokens + (now - then) * self._pace.a_second), now

    def _put(self, client: str, tokens: float, now: float) -> None:
        self._filled[client] = (tokens, now)
        self._filled.move_to_end(client)
        while len(self._filled) > _MOST_CLIENTS:
            self._filled.popitem(last=False)


def retry_after(wait_s: float) -> str:
    """The header that tells a program when to come again: whole seconds, at least one."""
    return str(max(1, math.ceil(wait_s)))
