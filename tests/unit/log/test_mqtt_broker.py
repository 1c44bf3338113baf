"""Readings from a real broker (mosquitto), started by these tests."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from datetime import timedelta
from pathlib import Path
from threading import Event as Signal
from threading import Thread

import paho.mqtt.publish as send
import pytest
from tests.unit.log.cooks import NOON, a_cook, trace
from tests.unit.log.servers import broker, free_port

from corebath.log.cook import Place, Reading
from corebath.log.mqtt import Broker, Listener, NoBroker
from corebath.log.store import Missing, Store, StoreError

TOPIC = "kitchen/probe/+"


@pytest.fixture(scope="module")
def port(tmp_path_factory: pytest.TempPathFactory) -> Iterator[int]:
    """A port where an open broker listens."""
    number = free_port()
    with broker(tmp_path_factory.mktemp("broker"), number):
        yield number


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    opened = Store(tmp_path / "kitchen.db")
    opened.start_cook(a_cook())
    yield opened
    opened.close()


def wait_for(true: Callable[[], bool], what: str) -> None:
    until = time.monotonic() + 15
    while not true():
        assert time.monotonic() < until, f"waited in vain for {what}"
        time.sleep(0.01)


@contextmanager
def listening(store: Store, wanted: Broker, said: list[str]) -> Iterator[None]:
    """A listener for cook 1 whose clock stands at noon, in a thread."""
    stop, failed = Signal(), list[BaseException]()

    def listen() -> None:
        try:
            Listener(store, 1, wanted, said.append, clock=lambda: NOON).listen(stop)
        except BaseException as error:
            failed.append(error)

    thread = Thread(target=listen)
    thread.start()
    try:
        wait_for(lambda: bool(said or failed), "the listener")
        yield
    finally:
        stop.set()
        thread.join(20)
    assert not failed, failed


def values(store: Store, place: Place) -> list[float]:
    return [float(value) for value in store.readings(1, place)[1]]


def test_messages_become_readings_of_the_cook(store: Store, port: int) -> None:
    said: list[str] = []
    with listening(store, Broker("127.0.0.1", port, TOPIC), said):
        assert said == ["listening to kitchen/probe/+ for cook 1"]
        for topic, payload in (
            ("kitchen/probe/core", "54.2"),
            ("kitchen/probe/bath", "57,1 C"),
            ("kitchen/probe/all", '{"t": "2026-11-25T11:00:00Z", "core": 68.9, "bath": 134.6, "unit": "F"}'),
            ("kitchen/probe/all", '{"t": "2026-11-25T11:00:00Z", "core": 68.9, "bath": 134.6, "unit": "F"}'),
            ("kitchen/other/core", "99"),
        ):
            send.single(topic, payload, qos=1, hostname="127.0.0.1", port=port)
        wait_for(lambda: len(values(store, Place.BATH)) == 2, "the last message")
    assert values(store, Place.CORE) == pytest.approx([20.5, 54.2])
    assert values(store, Place.BATH) == pytest.approx([57.0, 57.1])
    assert store.sources(1) == {"kitchen/probe/all": 2, "kitchen/probe/bath": 1, "kitchen/probe/core": 1}
    assert len(said) == 1


def test_what_is_not_understood_is_told_and_left_out(store: Store, port: int) -> None:
    said: list[str] = []
    with listening(store, Broker("127.0.0.1", port, TOPIC), said):
        for payload in (b"57.1", b"\xff", b"{", b'{"core": 999}', b'{"core": 50.0}'):
            send.single("kitchen/probe/one", payload, qos=1, hostname="127.0.0.1", port=port)
        wait_for(lambda: bool(values(store, Place.CORE)), "the good message")
    assert values(store, Place.CORE) == [50.0]
    assert values(store, Place.BATH) == []
    whys = ("core or of the bath", "not text in UTF-8", "not JSON", "a reading must lie")
    assert len(said) == 1 + len(whys)
    for sentence, why in zip(said[1:], whys, strict=True):
        assert sentence.startswith("a message on kitchen/probe/one was left out: ")
        assert why in sentence


def test_a_bare_number_is_of_the_place_that_the_topic_or_the_cook_named(store: Store, port: int) -> None:
    said: list[str] = []
    with listening(store, Broker("127.0.0.1", port, TOPIC, Place.BATH), said):
        for topic, payload in (("kitchen/probe/7", "57.5"), ("kitchen/probe/core", "50.5")):
            send.single(topic, payload, qos=1, hostname="127.0.0.1", port=port)
        wait_for(lambda: bool(values(store, Place.CORE)), "both messages")
    assert (values(store, Place.BATH), values(store, Place.CORE)) == ([57.5], [50.5])
    assert len(said) == 1


def test_a_value_kept_by_the_broker_is_taken_only_with_its_moment(store: Store, port: int) -> None:
    kept = {"kept/core": "41.0", "kept/dated": '{"t": "2026-11-25T10:00:00Z", "core": 42.0}'}
    for topic, payload in kept.items():
        send.single(topic, payload, qos=1, retain=True, hostname="127.0.0.1", port=port)
    said: list[str] = []
    with listening(store, Broker("127.0.0.1", port, "kept/#"), said):
        send.single("kept/core", "43.0", qos=1, hostname="127.0.0.1", port=port)
        wait_for(lambda: 43.0 in values(store, Place.CORE), "the live value")
    assert values(store, Place.CORE) == [42.0, 43.0]
    assert any("the broker kept it, and it does not say since when" in sentence for sentence in said)


def test_the_connection_is_made_again_after_the_broker_was_away(store: Store, tmp_path: Path) -> None:
    said: list[str] = []
    number = free_port()
    with ExitStack() as until_the_end:
        with broker(tmp_path, number):
            until_the_end.enter_context(listening(store, Broker("127.0.0.1", number, TOPIC), said))
            send.single("kitchen/probe/core", "50.0", qos=1, hostname="127.0.0.1", port=number)
            wait_for(lambda: len(values(store, Place.CORE)) == 1, "the first message")
        wait_for(lambda: any("is lost, and is being made again" in sentence for sentence in said), "the loss")
        until_the_end.enter_context(broker(tmp_path, number))
        wait_for(lambda: sum("listening" in sentence for sentence in said) == 2, "the second connection")
        send.single(
            "kitchen/probe/core", '{"t": "2026-11-25T11:00:00Z", "core": 51.0}', hostname="127.0.0.1", port=number
        )
        wait_for(lambda: len(values(store, Place.CORE)) == 2, "the second message")


class Failing(Store):
    """A store that cannot be written for a while."""

    fails = 2

    def add_readings(self, cook_id: int, readings: object) -> int:
        if self.fails:
            self.fails -= 1
            raise StoreError("the store cannot be written: the disk is full")
        return super().add_readings(cook_id, readings)  # type: ignore[arg-type]


def test_nothing_that_came_is_lost_while_the_store_fails(
    tmp_path: Path, port: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("corebath.log.mqtt._TRY_AGAIN_S", 0.05)
    store, said = Failing(tmp_path / "kitchen.db"), list[str]()
    store.start_cook(a_cook())
    with listening(store, Broker("127.0.0.1", port, TOPIC), said):
        for k in range(20):
            moment = (NOON - timedelta(minutes=k)).isoformat()
            payload = f'{{"t": "{moment}", "core": {30 + k}}}'
            send.single("kitchen/probe/a", payload, qos=1, hostname="127.0.0.1", port=port)
        wait_for(lambda: len(values(store, Place.CORE)) == 20, "all messages")
    store.close()
    assert [sentence.split(";")[0] for sentence in said[1:]] == [
        "the store cannot be written: the disk is full",
        "the store can be written again, and nothing that came is missing",
    ]


def test_a_broker_that_is_not_there_or_wants_a_password_is_told(store: Store, tmp_path: Path) -> None:
    number = free_port()
    nobody = Listener(store, 1, Broker("127.0.0.1", number, TOPIC), print)
    with pytest.raises(NoBroker, match=f"the broker at 127.0.0.1:{number} does not answer"):
        nobody.listen(Signal(), within_s=0.3)
    passwords = tmp_path / "passwords"
    passwords.touch(0o600)
    subprocess.run(["mosquitto_passwd", "-b", passwords, "cook", "thyme"], check=True, capture_output=True)
    with broker(tmp_path, number, "allow_anonymous false", f"password_file {passwords}"):
        for user, password in (("", ""), ("cook", "salt")):
            stranger = Listener(store, 1, Broker("127.0.0.1", number, TOPIC, None, user, password), print)
            with pytest.raises(NoBroker, match="does not let us in: not authorized"):
                stranger.listen(Signal())
        said: list[str] = []
        with listening(store, Broker("127.0.0.1", number, TOPIC, None, "cook", "thyme"), said):
            login = {"username": "cook", "password": "thyme"}
            send.single("kitchen/probe/core", "50.0", qos=1, hostname="127.0.0.1", port=number, auth=login)  # type: ignore[arg-type]
            wait_for(lambda: values(store, Place.CORE) == [50.0], "the message")


def test_a_cook_that_is_not_there_is_told_before_listening(store: Store, port: int) -> None:
    with pytest.raises(Missing, match="there is no cook 7"):
        Listener(store, 7, Broker("127.0.0.1", port, TOPIC), print).listen(Signal())


@pytest.mark.parametrize("topic", ["", "a/#/b", "a+/b", "a/b#", "x" * 201, "a\0b"])
def test_a_topic_that_is_none_is_refused(topic: str) -> None:
    with pytest.raises(ValueError, match="topic"):
        Broker("localhost", 1883, topic)


def test_the_command_listens_until_it_is_stopped(store: Store, port: int, tmp_path: Path) -> None:
    words = ["listen", "--broker", f"127.0.0.1:{port}", "--topic", "pot/temperature", "--cook", "1", "--place", "bath"]
    with subprocess.Popen(
        [Path(sys.executable).with_name("corebath"), *words],
        env=os.environ | {"COREBATH_STORE": str(tmp_path / "kitchen.db")},
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    ) as running:  # fmt: skip
        assert running.stderr is not None
        assert running.stdout is not None
        assert running.stderr.readline() == "Listening to pot/temperature for cook 1\n"
        send.single("pot/temperature", "57.5", qos=1, hostname="127.0.0.1", port=port)
        send.single("pot/temperature", "tepid", qos=1, hostname="127.0.0.1", port=port)
        assert "was left out: 'tepid' is not understood" in running.stderr.readline()
        wait_for(lambda: values(store, Place.BATH) == [57.5], "the message")
        running.send_signal(signal.SIGINT)
        assert running.stdout.read() == "Stopped; 1 new readings were written\n"
        assert running.wait(10) == 0


def test_many_messages_are_all_kept(store: Store, port: int) -> None:
    readings: list[Reading] = trace([20 + k / 10 for k in range(600)], Place.BATH)
    with listening(store, Broker("127.0.0.1", port, "many/#"), []):
        send.multiple(
            [
                {"topic": "many/a", "qos": 1, "payload": f'{{"t": "{r.at - timedelta(hours=1)}", "bath": {r.value_C}}}'}
                for r in readings
            ],
            hostname="127.0.0.1",
            port=port,
        )
        wait_for(lambda: len(values(store, Place.BATH)) == 600, "all messages")
    assert values(store, Place.BATH) == pytest.approx([r.value_C for r in readings])
