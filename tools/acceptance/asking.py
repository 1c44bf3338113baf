"""Commands run as a cook types them, at a moment and in a kitchen that a scenario names."""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import shlex
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from datetime import datetime, tzinfo
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from unittest import mock
from zoneinfo import ZoneInfo

from click.testing import CliRunner

import corebath.cli
from corebath.bath.gear import Room
from corebath.log.gear import Kitchen
from corebath.log.store import Store

ZONE = "Europe/Paris"
PARIS = ZoneInfo(ZONE)


@dataclass(frozen=True, slots=True)
class Ask:
    """One command as it is typed, without `corebath`.

    key : name of its answer;  files : files it reads, by their names
    at_sea : asked at sea level, in whatever kitchen the others are asked
    """

    key: str
    command: str
    files: dict[str, str] = field(default_factory=dict)
    at_sea: bool = False

    @property
    def typed(self) -> str:
        return f"corebath {self.command}"


@dataclass(frozen=True, slots=True)
class Told:
    """What a command answers. text : as printed. answer : its JSON, or empty when it is not understood"""

    code: int
    text: str
    answer: dict[str, Any]


def ask_all(asks: tuple[Ask, ...], now: datetime, altitude_m: float = 0.0) -> dict[str, Told]:
    """The answers by their keys, of each command with `--json`. altitude_m [m] : of the kitchen"""
    with TemporaryDirectory() as folder, _as_if(now, Path(folder)):
        if altitude_m:
            store = Store(Path(folder) / "kitchen.db")
            store.save_kitchen(Kitchen(zone=PARIS, room=Room(altitude_m=altitude_m)), 0)
            store.close()
        return {ask.key: _told(ask) for ask in asks}


@contextmanager
def _as_if(now: datetime, folder: Path) -> Iterator[None]:
    """Every command takes this moment for now, in Paris, in a folder and with a store of its own."""

    class Standing(datetime):
        @classmethod
        def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
            return now.astimezone(tz)

    before = Path.cwd()
    with mock.patch.dict(os.environ, {"COREBATH_STORE": str(folder / "kitchen.db"), "LANGUAGE": "en"}):
        patches: list[Any] = [mock.patch("corebath.cli.asking.tzlocal.get_localzone_name", return_value=ZONE)]
        for module in pkgutil.iter_modules(corebath.cli.__path__):
            command = importlib.import_module(f"corebath.cli.{module.name}")
            if hasattr(command, "datetime"):
                patches.append(mock.patch.object(command, "datetime", Standing))
        try:
            os.chdir(folder)
            for patch in patches:
                patch.start()
            yield
        finally:
            for patch in patches:
                patch.stop()
            os.chdir(before)


def _told(ask: Ask) -> Told:
    if ask.at_sea:
        with mock.patch.dict(os.environ, {"COREBATH_STORE": "none.db"}):
            return _told(replace(ask, at_sea=False))
    for name, text in ask.files.items():
        Path(name).write_text(text, encoding="utf-8")
    words = shlex.split(ask.command)
    if words[0] == "card":  # a card has no JSON
        printed = _run(words)
        return Told(printed.exit_code, printed.output.strip(), {})
    told = _run([*words, "--json"])
    if told.exit_code == 2:
        return Told(2, told.output.strip(), {})
    return Told(told.exit_code, "", json.loads(told.stdout))


def _run(words: list[str]) -> Any:
    return CliRunner().invoke(corebath.cli.main, words, env={"COLUMNS": "100"}, catch_exceptions=False)
