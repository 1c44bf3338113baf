"""HTTP with an end to patience: a client that does not finish the head of its request is sent away."""

from __future__ import annotations

import asyncio

from uvicorn.protocols.http.h11_impl import H11Protocol

from .guard_settings import requests


class PatientProtocol(H11Protocol):
    """As the server's own, but a connection on which no whole request head arrives in time is closed."""

    _late: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """Begin to wait for the first request."""
        super().connection_made(transport)
        self._wait()

    def data_received(self, data: bytes) -> None:
        """Go on waiting only while the head of a request is not whole."""
        super().data_received(data)
        if self._answering():
            self._stop_waiting()
        elif self._late is None:
            self._wait()

    def on_response_complete(self) -> None:
        """Between two requests the server's own limit holds."""
        self._stop_waiting()
        super().on_response_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """Nothing to wait for any more."""
        self._stop_waiting()
        super().connection_lost(exc)

    def _answering(self) -> bool:
        cycle = self.cycle
        return cycle is not None and not cycle.response_complete

    def _wait(self) -> None:
        self._late = self.loop.call_later(requests().head_s, self._give_up)

    def _stop_waiting(self) -> None:
        if self._late is not None:
            self._late.cancel()
            self._late = None

    def _give_up(self) -> None:
        if not self._answering() and not self.transport.is_closing():
            self.transport.close()
