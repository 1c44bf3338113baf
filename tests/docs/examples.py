"""Examples of the documentation, run as they stand: commands with their output, Python, and the files they need."""

from __future__ import annotations

import contextlib
import doctest
import importlib
import io
import pkgutil
import re
import shlex
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, tzinfo
from pathlib import Path

import pytest
from click.testing import CliRunner

import corebath.cli

ROOT = Path(__file__).parents[2]
DOCS = ROOT / "docs"
# The examples are asked at this moment, in London, so that "Fri 19:30" stays the same Friday.
NOON = datetime(2027, 3, 11, 12, 0, tzinfo=UTC)
ZONE = "Europe/London"
ANYTHING = "…"
_FENCE = re.compile(r"^```(?:\{code-block\} )?(\w+)\n(?::caption: (\S+)\n\n?)?(.*?)^```$", re.MULTILINE | re.DOTALL)
_SETTING = re.compile(r"([A-Z_]+)=(.*)")


@dataclass(frozen=True, slots=True)
class Block:
    """A fenced block. caption : the name of the file that it is, or empty"""

    language: str
    caption: str
    text: str


class Noon(datetime):
    """A clock that stands."""

    @classmethod
    def now(cls, tz: tzinfo | None = None) -> datetime:  # type: ignore[override]
        return NOON.astimezone(tz)


def pages() -> list[Path]:
    """Every page of the documentation that is written by hand, and the README."""
    written = [p for p in DOCS.rglob("*.md") if not {"_build", "_ext"} & set(p.relative_to(DOCS).parts)]
    return [ROOT / "README.md", *sorted(written)]


def blocks(page: Path) -> Iterator[Block]:
    for found in _FENCE.finditer(page.read_text(encoding="utf-8")):
        yield Block(found[1], found[2] or "", found[3])


def stop_the_clock(patch: pytest.MonkeyPatch) -> None:
    """Let every command ask at noon, in London."""
    for module in pkgutil.iter_modules(corebath.cli.__path__):
        command = importlib.import_module(f"corebath.cli.{module.name}")
        if hasattr(command, "datetime"):
            patch.setattr(command, "datetime", Noon)
    patch.setattr("corebath.cli.asking.tzlocal.get_localzone_name", lambda: ZONE)


def run(block: Block) -> None:
    """Run a block in the working folder; an AssertionError says what is not as written."""
    if block.caption:
        Path(block.caption).write_text(block.text, encoding="utf-8")
    elif block.language == "console":
        for command, expected in _commands(block.text):
            _run_command(command, expected)
    elif block.language == "python":
        with contextlib.redirect_stdout(io.StringIO()):
            exec(compile(block.text, "example", "exec"), {"__name__": "example"})
    elif block.language == "pycon":
        test = doctest.DocTestParser().get_doctest(block.text, {}, "example", None, None)
        told: list[str] = []
        failed = doctest.DocTestRunner(verbose=False).run(test, out=told.append).failed
        assert failed == 0, "".join(told)


def _commands(text: str) -> Iterator[tuple[str, list[str]]]:
    lines = text.replace("\\\n", " ").splitlines()
    assert lines[0].startswith("$ "), f"an example begins with a command: {lines[0]}"
    starts = [i for i, line in enumerate(lines) if line.startswith("$ ")]
    for start, end in zip(starts, [*starts[1:], len(lines)], strict=True):
        yield lines[start][2:], [line.strip() for line in lines[start + 1 : end] if line.strip()]


def _run_command(command: str, expected: list[str]) -> None:
    words = shlex.split(command)
    environment = {"LANGUAGE": "en", "COLUMNS": "80"}
    while found := _SETTING.fullmatch(words[0]):
        environment[found[1]] = found[2]
        words = words[1:]
    assert words[0] == "corebath", f"only corebath is run: {command}"
    result = CliRunner().invoke(corebath.cli.main, words[1:], env=environment, catch_exceptions=False)
    told = any(line != ANYTHING for line in expected)
    assert result.exit_code == 0 or told, f"{command}: exit code {result.exit_code}\n{result.output}"
    _as_written(command, result.output, expected)


def _as_written(command: str, output: str, expected: list[str]) -> None:
    """Each expected line stands in the output, in order; `…` stands for anything in a line, or for lines left out."""
    rest = output
    for line in expected:
        if line == ANYTHING:
            continue
        found = re.search(".*".join(map(re.escape, line.split(ANYTHING))), rest)
        assert found, f"{command}\nis expected to say:\n{line}\nand goes on with:\n{rest[:3000]}"
        rest = rest[found.end() :]
