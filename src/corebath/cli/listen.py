"""`corebath listen`: readings of a cook from a broker."""

from __future__ import annotations

import os
import signal
from threading import Event as Signal

import click

from corebath.log.cook import Place
from corebath.log.mqtt import Broker, Listener, NoBroker
from corebath.log.place import store_address
from corebath.log.store import Store, StoreError
from corebath.units import METRIC, render

from .asking import refuse
from .say import echo


def _address(_ctx: click.Context, _param: click.Parameter, value: str) -> tuple[str, int]:
    """Host and port of HOST:PORT; the port may be left out."""
    host, colon, port = value.rpartition(":")
    if not colon or value.endswith("]"):
        host, port = value, "1883"
    if not host or not port.isascii() or not port.isdigit() or not 0 < int(port) < 65536:
        raise click.BadParameter(f"{value!r} must be HOST or HOST:PORT, such as 192.168.1.5:1883")
    return host.strip("[]"), int(port)


@click.command("listen", help="Add the readings of an MQTT broker to a cook in the log, until stopped with Ctrl+C.")
@click.option(
    "--broker", callback=_address, required=True, metavar="HOST:PORT", help="The broker; its port is usually 1883."
)
@click.option("--topic", required=True, help='What to listen to; + and # are wildcards: "kitchen/probe/+".')
@click.option("--cook", "cook_id", type=int, required=True, metavar="ID", help="Number of the cook.")
@click.option(
    "--place", type=click.Choice([place.value for place in Place]),
    help="What a bare number was measured of, if the topic does not end in core or bath.",
)  # fmt: skip
@click.option("--user", default="", help="User of the broker; its password is taken from COREBATH_BROKER_PASSWORD.")
def command(broker: tuple[str, int], topic: str, cook_id: int, place: str | None, user: str) -> None:
    """Listen until interrupted."""
    stop = Signal()
    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, lambda *_: stop.set())
    password = os.environ.get("COREBATH_BROKER_PASSWORD", "")
    try:
        wanted = Broker(*broker, topic, Place(place) if place else None, user, password)
        store = Store(store_address())
        try:
            new = Listener(store, cook_id, wanted, _tell).listen(stop)
        finally:
            store.close()
    except (ValueError, NoBroker, StoreError) as error:
        refuse([render(f"{error}.", METRIC)])
    echo(f"Stopped; {new} new readings were written")


def _tell(sentence: str) -> None:
    echo(render(f"{sentence[:1].upper()}{sentence[1:]}", METRIC), err=True)
