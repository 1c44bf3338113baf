"""What readers see of everything: screens and commands of many questions, to find what is left in English."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import click
from click.testing import CliRunner
from fastapi.testclient import TestClient
from tests.web.access_places import SCREENS as PLACES
from tests.web.own_page import HERE, token_in
from tests.web.setting import KITCHEN, NOW

from corebath.cli import main
from corebath.language.catalogue import catalogue
from corebath.language.page import page
from corebath.language.text import Translator
from corebath.log.demo import demo_kitchen
from corebath.log.store import Store
from corebath.web.app import create_app
from corebath.web.site import Site

_EAT = {"eat": "2027-03-12T19:30", "zone": "Europe/Paris"}
QUESTIONS: tuple[dict[str, str], ...] = (
    {"food": "beef ribeye steak", "thick": "30 mm", "want": "medium rare", "pieces": "2", "mass": "280 g"},
    {"food": "chicken breast", "thick": "38 mm", "want": "62 C", "guests": "risk"},
    {"food": "carrots", "thick": "20 mm", "want": "54 C"},
    {"food": "salmon", "thick": "25 mm", "want": "50 C"},
    {"food": "beef chuck roast", "thick": "60 mm", "want": "57 C", "bath": "36 h", "eat": "2027-03-15T19:30"},
    {"food": "pork loin", "thick": "90 mm", "shape": "cylinder", "state": "frozen", "want": "60 C"},
    {"food": "hen's egg", "thick": "44 mm", "want": "63 C"},
    {"food": "beef mince patty", "thick": "25 mm", "want": "58 C", "bag": "garlic", "units": "us"},
    {"food": "duck breast", "thick": "30 mm", "want": "57 C", "layers": "2", "rules": "UK"},
    {"food": "lamb leg", "thick": "80 mm", "want": "60 C", "handling": "rolled", "rules": "AU"},
    {"food": "beetroot", "thick": "60 mm", "want": "88 C", "eat": "2027-03-12T12:30"},
    {"food": "unicorn", "thick": "-3 mm", "want": "60"},
    {"food": "sirloin", "thick": "30 mm", "want": "sideways", "eat": "never"},
)
SCREENS = (
    "/", "/kitchen", "/kitchen/1", "/menu", "/batch", "/log", "/log/1", "/log/2", "/log/records", "/gear", "/nowhere",
    "/card", "/labels", "/poster", "/pair", "/kitchen/2", "/log/3", "/log/compare?cook=3&cook=4",
    "/log/records/add?step=cook&cook=3", PLACES["record, which step"], PLACES["labels"] + "&pieces=2",
    PLACES["message"], PLACES["batch"], PLACES["menu"],
)  # fmt: skip
ABOUT_A_PLAN = ("/card", "/labels", "/poster")
COMMANDS: tuple[tuple[str, ...], ...] = (
    ("--help",),
    ("plan", "ribeye", "--thick", "30 mm", "--want", "medium rare", "--eat", "23:59"),
    ("plan", "chicken breast", "--thick", "40 mm", "--want", "60"),
    ("bath", "--vessel", "24 cm x 14 cm", "--heater", "1.1 kW, 9 cm to 12 cm", "--set", "57 C"),
    ("salt", "pork loin", "--thick", "60 mm", "--mass", "900 g"),
    ("sear", "ribeye", "--thick", "30 mm", "--set", "55 C"),
    ("chill", "chicken breast", "--thick", "38 mm", "--set", "62 C", "--bath", "2 h"),
    ("keep", "chicken breast", "--thick", "38 mm", "--set", "62 C", "--bath", "2 h"),
    ("reheat", "chicken breast", "--thick", "38 mm", "--set", "60 C"),
    ("foods",), ("foods", "carrots"), ("store",),
)  # fmt: skip


def left_in_english(language: str) -> Counter[str]:
    """What the catalogue of a language lacks for the corpus, by how often it is met; numbers stand as #."""
    missing: Counter[str] = Counter()
    speaker = Translator(language, catalogue(language), missing)
    for text in pages():
        page(text, speaker)
    for text in printed():
        speaker.said(text)
    alike: Counter[str] = Counter()
    for text, times in missing.items():
        alike[re.sub(r"\d+", "#", text)] += times
    return alike


def pages(questions: tuple[dict[str, str], ...] = QUESTIONS) -> Iterator[str]:
    """The screens, in English."""
    with TemporaryDirectory() as folder:
        store = Store(Path(folder) / "corpus.db")
        store.save_kitchen(demo_kitchen(KITCHEN.zone), 0)
        app = create_app(Site(store, KITCHEN, clock=lambda: NOW))
        client = TestClient(app, base_url="http://127.0.0.1:8360", client=HERE)
        for question in questions:
            yield client.get("/", params=_EAT | question).text
        token = {"form-token": token_in(client.get("/").text)}
        for question in (*QUESTIONS[:2], *QUESTIONS[:2]):
            client.post("/kitchen/start", data=token | _EAT | question)
        # The first is only started, the second is in the bath, the others are over.
        client.post("/kitchen/2/event", data=token | {"happening": "dropped in", "at": "12:00"})
        client.post("/kitchen/2/reading", data=token | {"place": "core", "value": "20 C", "at": "12:00"})
        for number in (3, 4):
            for happening, at in (("dropped in", "08:00"), ("pulled", "10:30")):
                client.post(f"/kitchen/{number}/event", data=token | {"happening": happening, "at": at})
            revision = store.cook(number).revision
            client.post(f"/kitchen/{number}/end", data=token | {"revision": str(revision)})
        shared = client.post("/share", data=token | _EAT | QUESTIONS[0])
        yield shared.text
        path = re.search(r"/s/[\w-]+", shared.text)
        assert path is not None
        yield client.get(path[0]).text
        for address in SCREENS:
            yield client.get(address, params=_EAT | QUESTIONS[1] if address in ABOUT_A_PLAN else None).text
        store.close()


def printed() -> Iterator[str]:
    """What the commands print, and the help of each of their options, in English."""
    with TemporaryDirectory() as folder:
        runner = CliRunner(env={"COREBATH_STORE": str(Path(folder) / "none.db"), "LANGUAGE": "en"})
        for arguments in COMMANDS:
            yield runner.invoke(main, arguments).output
    with click.Context(main) as context:
        for name in main.list_commands(context):
            command = main.get_command(context, name)
            assert command is not None
            yield from _help_of(command)


def _help_of(command: click.Command) -> Iterator[str]:
    yield command.help or ""
    for option in command.params:
        if isinstance(option, click.Option):
            yield option.help or ""
    if isinstance(command, click.Group):
        for inner in command.commands.values():
            yield from _help_of(inner)
