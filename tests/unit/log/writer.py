"""A program that forks writers to be killed: each tells what it has written only after the store has said so.

Reads an address and a number a line from its input, forks a writer, and prints `pid N`. The writer prints `open`, and
one line of JSON for every call of the store that returned. When it is dead, `gone` is printed.
"""

from __future__ import annotations

import json
import os
import sys
import tempfile
from datetime import timedelta

import numpy as np
from tests.unit.log.cooks import NOON, a_cook, an_event

from corebath.log.cook import Happening, Place, Rating, Reading
from corebath.log.store import Store

BATCH = 50


def serve() -> None:
    """Fork a writer for every line of the input."""
    with tempfile.TemporaryDirectory() as folder:  # so that everything is loaded once, not in every writer
        Store(f"{folder}/kitchen.db").close()
    for line in sys.stdin:
        address, number = json.loads(line)
        pid = os.fork()
        if pid == 0:
            try:
                write(address, number)
            finally:
                os._exit(1)
        say(f"pid {pid}")
        os.waitpid(pid, 0)
        say("gone")


def write(address: str, number: int) -> None:
    """Write cooks one after another, until killed."""
    store = Store(address)
    say("open")
    random = np.random.default_rng(number)
    for turn in range(10_000):
        name = f"{number}.{turn}"
        cook = store.start_cook(a_cook(name))
        say(json.dumps({"cook": name}))
        for step in range(int(random.integers(1, 4))):
            cook = store.add_event(cook.id or 0, an_event(Happening.NOTE, step, f"note {step}"))
            say(json.dumps({"cook": name, "event": f"note {step}"}))
            at = NOON + timedelta(seconds=BATCH * step)
            new = store.add_readings(
                cook.id or 0, [Reading(at + timedelta(seconds=i), Place.CORE, 20.0) for i in range(BATCH)]
            )
            say(json.dumps({"cook": name, "readings": new}))
            cook = store.rate(cook.id or 0, Rating(note=f"rated {step}"), cook.revision)
            say(json.dumps({"cook": name, "rating": f"rated {step}"}))


def say(line: str) -> None:
    """One whole line at once: a line is shorter than what a pipe takes in one piece."""
    os.write(1, line.encode() + b"\n")


if __name__ == "__main__":
    serve()
