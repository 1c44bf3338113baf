"""Readings from a broker: one topic (or pattern of topics) becomes the readings of one cook."""

from __future__ import annotations

import queue
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from threading import Event as Signal
from typing import Any

from paho.mqtt.client import Client, ConnectFlags, DisconnectFlags, MQTTMessage
from paho.mqtt.enums import CallbackAPIVersion
from paho.mqtt.properties import Properties
from paho.mqtt.reasoncodes import ReasonCode

from .cook import Place, Reading
from .errors import Missing, StoreError
from .ingest import readings_of
from .store import Store
from .texts import check_text, limits

_KEEP_ALIVE_S = 60
_LOOK_EVERY_S = 0.2
_TRY_AGAIN_S = 2.0
_AT_ONCE = 500


class NoBroker(Exception):  # noqa: N818 - reads as the answer it is
    """The broker cannot be reached, or does not let us in; the message is one sentence."""


@dataclass(frozen=True, slots=True)
class Broker:
    """Where to listen, and to what.

    topic : may hold the wildcards + and #
    place : what a bare number was measured of, where the topic's last level is neither "core" nor "bath"
    user, password : of the broker, empty when it lets anybody in

    Raises ValueError for a topic that is none.
    """

    host: str
    port: int
    topic: str
    place: Place | None = None
    user: str = ""
    password: str = ""

    def __post_init__(self) -> None:
        check_text(self.topic, limits().topic_characters, "a topic", shortest=1)
        levels = self.topic.split("/")
        if "#" in levels[:-1] or any(len(level) > 1 and ("+" in level or "#" in level) for level in levels):
            raise ValueError("a wildcard must be a whole level of the topic, and # its last")

    def place_of(self, topic: str) -> Place | None:
        """What a bare number sent to a topic was measured of, None where nobody said."""
        last = topic.rsplit("/", 1)[-1]
        return Place(last) if last in set(Place) else self.place


@dataclass(frozen=True, slots=True)
class _Message:
    topic: str
    payload: bytes
    kept: bool
    received_at: datetime


class Listener:
    """Writes to a cook what a broker sends, until it is told to stop.

    told : gets one sentence for everything the cook should know, also from another thread
    clock : the moment a message comes

    A message that is not understood is told and left out. When the store fails, what came is kept in memory and
    tried again. When the connection is lost it is made again; what is sent meanwhile is a gap, for a bare number
    that comes late would stand at the wrong moment. For the same reason a value that the broker kept from before
    is taken only when it says its moment.
    """

    def __init__(
        self,
        store: Store,
        cook_id: int,
        broker: Broker,
        told: Callable[[str], None],
        clock: Callable[[], datetime] = lambda: datetime.now(UTC),
    ) -> None:
        self._store, self._cook_id, self._broker, self._told, self._clock = store, cook_id, broker, told, clock
        self._came: queue.SimpleQueue[_Message] = queue.SimpleQueue()
        self._answered = Signal()
        self._refused = ""

    def listen(self, stop: Signal, *, within_s: float = 10.0) -> int:
        """Listen until `stop` is set; returns how many readings were new.

        within_s : how long the first connection may take [s]

        Raises NoBroker when it takes longer or is refused, Missing for a cook that is not there (any more), and
        StoreError when the last readings cannot be written at the end.
        """
        self._store.cook(self._cook_id)
        client = self._client()
        client.connect_async(self._broker.host, self._broker.port, _KEEP_ALIVE_S)
        client.loop_start()
        try:
            if not self._answered.wait(within_s) or self._refused:
                where = f"{self._broker.host}:{self._broker.port}"
                raise NoBroker(f"the broker at {where} {self._refused or 'does not answer'}")
            new = 0
            while not stop.is_set():
                new += self._write(self._next(), stop)
        finally:
            client.disconnect()
            client.loop_stop()
        while waiting := self._next():
            new += self._write(waiting, stop)
        return new

    def _next(self) -> list[Reading]:
        """Readings that came, in one batch; none when nothing comes for a moment."""
        readings: list[Reading] = []
        try:
            readings += self._readings(self._came.get(timeout=_LOOK_EVERY_S))
            while len(readings) < _AT_ONCE:
                readings += self._readings(self._came.get_nowait())
        except queue.Empty:
            pass
        return readings

    def _readings(self, message: _Message) -> Sequence[Reading]:
        try:
            readings = readings_of(
                message.payload,
                received_at=message.received_at,
                source=message.topic[: limits().source_characters],
                place=self._broker.place_of(message.topic),
            )
        except ValueError as error:
            self._told(f"a message on {message.topic} was left out: {error}")
            return ()
        if message.kept and any(reading.at == message.received_at for reading in readings):
            self._told(f"a message on {message.topic} was left out: the broker kept it, and it does not say since when")
            return ()
        return readings

    def _write(self, readings: Sequence[Reading], stop: Signal) -> int:
        """Write readings, if need be again and again until asked to stop; returns how many were new."""
        failed = False
        while readings:
            try:
                new = self._store.add_readings(self._cook_id, readings)
            except Missing:
                raise
            except StoreError as error:
                if stop.is_set():
                    raise
                if not failed:
                    self._told(f"{error}; readings are kept in memory, and written when it can be done again")
                failed = True
                stop.wait(_TRY_AGAIN_S)
            else:
                if failed:
                    self._told("the store can be written again, and nothing that came is missing")
                return new
        return 0

    def _client(self) -> Client:
        client = Client(CallbackAPIVersion.VERSION2)
        if self._broker.user:
            client.username_pw_set(self._broker.user, self._broker.password)
        client.reconnect_delay_set(1, 30)
        client.on_connect = self._on_connect
        client.on_disconnect = self._on_disconnect
        client.on_subscribe = self._on_subscribe
        client.on_message = self._on_message
        return client

    def _on_connect(
        self, client: Client, _data: Any, _flags: ConnectFlags, reason: ReasonCode, _properties: Properties | None
    ) -> None:
        if reason.is_failure:
            self._turned_down(f"does not let us in: {str(reason).lower()}")
        else:
            client.subscribe(self._broker.topic, qos=1)

    def _on_subscribe(
        self, _client: Client, _data: Any, _number: int, reasons: list[ReasonCode], _properties: Properties | None
    ) -> None:
        if any(reason.is_failure for reason in reasons):
            self._turned_down(f"does not give us {self._broker.topic}")
        else:
            self._told(f"listening to {self._broker.topic} for cook {self._cook_id}")
            self._answered.set()

    def _turned_down(self, why: str) -> None:
        if self._answered.is_set():
            self._told(f"the broker {why}")
        else:
            self._refused = why
            self._answered.set()

    def _on_disconnect(
        self, _client: Client, _data: Any, _flags: DisconnectFlags, reason: ReasonCode, _properties: Properties | None
    ) -> None:
        if reason.is_failure and not self._refused:
            self._told("the connection to the broker is lost, and is being made again: what is sent meanwhile is a gap")

    def _on_message(self, _client: Client, _data: Any, message: MQTTMessage) -> None:
        self._came.put(_Message(message.topic, bytes(message.payload), message.retain, self._clock()))
