"""`corebath serve`: the web app, on this machine or for devices in the same network."""

from __future__ import annotations

import asyncio
import logging
import socket
import threading
import webbrowser
from dataclasses import dataclass

import click
import segno
import uvicorn

from corebath.log.demo import demo_kitchen
from corebath.log.errors import StoreError
from corebath.log.place import store_address
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.guard_settings import requests
from corebath.web.pairing import Household, Serving
from corebath.web.patient import PatientProtocol
from corebath.web.site import Site

from .asking import fresh_kitchen, refuse

_HOST = "127.0.0.1"
# An address for examples (RFC 5737): asking for the way there sends nothing, and tells which of our addresses is used.
_SOMEWHERE = ("192.0.2.1", 9)
_WAITING = 512


@dataclass(frozen=True, slots=True)
class _Listening:
    """Sockets that listen, and the addresses they have."""

    sockets: list[socket.socket]
    here: str
    network: str


@click.command("serve", help="Open the planner in the browser; it listens on this machine only, unless --lan is given.")
@click.option("--port", type=click.IntRange(0, 65535), default=8360, show_default=True, help="0 takes any free port.")
@click.option("--demo", is_flag=True, help="Use a demo kitchen with its own store, and open with an example question.")
@click.option("--open", "open_browser", is_flag=True, help="Open a browser window.")
@click.option("--lan", is_flag=True, help="Let phones in the same network in, once they are paired.")
@click.option("--name", "names", multiple=True, metavar="HOST", help="A name this machine also has: kitchen.local.")
def command(port: int, demo: bool, open_browser: bool, lan: bool, names: tuple[str, ...]) -> None:
    """Serve the planner until it is interrupted."""
    known = frozenset(_checked(name) for name in names)
    listening = _listen(port, lan)
    fresh = fresh_kitchen()
    try:
        store = Store(store_address(demo=demo))
        if demo and store.kitchen() is None:
            store.save_kitchen(demo_kitchen(fresh.zone), 0)
        host = listening.network.partition("//")[2].partition(":")[0]
        serving = Serving(known | ({host} if host else frozenset()), listening.network)
        app = create_app(Site(store, fresh, example=demo), serving)
    except StoreError as error:
        refuse([f"{error}."])
    click.echo(f"corebath is at {listening.here}/ (stop it with Ctrl+C)")
    if lan:
        _offer_pairing(app.state.household)
    if open_browser:
        threading.Timer(0.8, webbrowser.open, [f"{listening.here}/"]).start()
    logging.getLogger("uvicorn.error").addFilter(_is_news)
    config = uvicorn.Config(
        app,
        log_level="warning",
        access_log=False,
        http=PatientProtocol,
        ws="none",
        proxy_headers=False,  # what a client says of its own address is not believed
        server_header=False,
        backlog=_WAITING,
        limit_concurrency=requests().connections,
        timeout_keep_alive=int(requests().idle_s),
        timeout_graceful_shutdown=int(requests().ending_s),
    )
    uvicorn.Server(config).run(sockets=listening.sockets)
    store.close()


def _is_news(record: logging.LogRecord) -> bool:
    """Neither what is no HTTP at all nor what was still under way when the server was ended is told."""
    ended = record.exc_info is not None and isinstance(record.exc_info[1], asyncio.CancelledError)
    return not ended and "Invalid HTTP request" not in record.getMessage()


def _listen(port: int, lan: bool) -> _Listening:
    """Listen on this machine and, with `lan`, on its address in the network."""
    here = _bound(_HOST, port)
    port = here.getsockname()[1]
    if not lan:
        return _Listening([here], f"http://{_HOST}:{port}", "")
    address = lan_address()
    if not address:
        refuse(["This machine has no address in a network: connect it first, or leave --lan out."])
    return _Listening([here, _bound(address, port)], f"http://{_HOST}:{port}", f"http://{address}:{port}")


def _bound(host: str, port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((host, port))
        listener.listen(_WAITING)  # who connects as soon as the address is printed waits until it is answered
    except OSError:
        refuse([f"Port {port} is taken: choose another with --port, or 0 for any free one."])
    return listener


def lan_address() -> str:
    """This machine's address in its network, empty when it has none; nothing is sent to find it."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as way:
        try:
            way.connect(_SOMEWHERE)
            found = str(way.getsockname()[0])
        except OSError:
            found = ""
    if not found:
        try:
            found = socket.gethostbyname(socket.gethostname())
        except OSError:
            return ""
    return "" if found.startswith(("127.", "0.")) else found


def _checked(name: str) -> str:
    host = name.strip().lower().rstrip(".")
    letters = host.replace("-", "").replace(".", "")
    if not (letters.isascii() and letters.isalnum() and len(host) <= 253):
        refuse([f"{name[:40]!r} is no name of a machine: type it without port and slashes, such as kitchen.local."])
    return host


def _offer_pairing(household: Household) -> None:
    """Print how a phone gets in: a picture for its camera, and the same as text."""
    code = household.new_code()
    click.echo(f"\nDevices in this network: {household.serving.network}/")
    click.echo("What they send is not encrypted: use a network whose members you trust.\n")
    picture = segno.make_qr(household.link(code), error="m")
    picture.terminal(compact=True)
    click.echo(f"\nTo pair a phone, point its camera at the picture, or open that address and type {code.text}.")
    click.echo(f"The code holds until {code.until.astimezone():%H:%M}, for one device. Gear gives another one.")
