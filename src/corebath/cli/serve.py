"""`corebath serve`: the web app on this machine."""

from __future__ import annotations

import socket
import threading
import webbrowser

import click
import uvicorn

from corebath.log.demo import demo_kitchen
from corebath.log.place import store_address
from corebath.log.store import Store, StoreError
from corebath.web.app import create_app
from corebath.web.site import Site

from .asking import fresh_kitchen, refuse

_HOST = "127.0.0.1"


@click.command("serve", help="Open the planner in the browser; it listens on this machine only.")
@click.option("--port", type=click.IntRange(0, 65535), default=8360, show_default=True, help="0 takes any free port.")
@click.option("--demo", is_flag=True, help="Use a demo kitchen with its own store, and open with an example question.")
@click.option("--open", "open_browser", is_flag=True, help="Open a browser window.")
def command(port: int, demo: bool, open_browser: bool) -> None:
    """Serve the planner until it is interrupted."""
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        listener.bind((_HOST, port))
    except OSError:
        refuse([f"Port {port} is taken: choose another with --port, or 0 for any free one."])
    fresh = fresh_kitchen()
    try:
        store = Store(store_address(demo=demo))
        if demo and store.kitchen() is None:
            store.save_kitchen(demo_kitchen(fresh.zone), 0)
    except StoreError as error:
        refuse([f"{error}."])
    address = f"http://{_HOST}:{listener.getsockname()[1]}/"
    click.echo(f"corebath is at {address} (stop it with Ctrl+C)")
    if open_browser:
        threading.Timer(0.8, webbrowser.open, [address]).start()
    config = uvicorn.Config(create_app(Site(store, fresh, example=demo)), log_level="warning", access_log=False)
    uvicorn.Server(config).run(sockets=[listener])
