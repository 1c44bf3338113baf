"""Reference pages drawn from the program: its commands, its routes, its functions, and how far it agrees with print."""

from __future__ import annotations

import ast
import csv
import logging
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
from docutils import nodes
from docutils.statemachine import StringList
from sphinx.application import Sphinx
from sphinx.util.docutils import SphinxDirective

from corebath.cli import main

DOCS = Path(__file__).parent.parent
AGREEMENT = DOCS / "science" / "agreement.csv"
SOURCE = DOCS.parent / "src" / "corebath"
ROOMS = (
    "food", "heat", "safety", "outcome", "bath", "salt", "sear", "chill", "plan", "plan.menu", "plan.batch", "units",
)  # fmt: skip
_HOW_MEASURED = """Ours less the published figure, as the checks in `tests/published/` last measured it: mean, root mean
square and the largest of `n` differences. Written by `make agreement`; a test fails when a figure is no longer true.
Nothing was tuned to these figures. `memory` means that a figure was recalled, not read. What disagrees is kept; the
pages of each science say why."""


def setup(app: Sphinx) -> dict[str, Any]:
    """Write the pages before Sphinx reads them."""
    app.connect("builder-inited", lambda _: draw())
    app.add_directive("agreement", Agreement)
    return {"parallel_read_safe": True}


class Agreement(SphinxDirective):
    """The agreement measured in one room, as a table: `{agreement} heat`."""

    required_arguments = 1
    final_argument_whitespace = True

    def run(self) -> list[nodes.Node]:
        lines = [*table(self.arguments[0])]
        if len(lines) <= 2:
            raise self.error(f"nothing is measured in the room {self.arguments[0]!r}")
        self.env.note_dependency(str(AGREEMENT))
        box = nodes.container()
        self.state.nested_parse(StringList(lines, source=str(AGREEMENT)), self.content_offset, box)
        return box.children


def draw() -> None:
    """Write every drawn page that has changed."""
    for name, lines in (
        ("reference/commands.md", commands()),
        ("reference/http.md", routes()),
        ("reference/python.md", functions()),
        ("science/agreement-tables.md", agreement()),
    ):
        text = "\n".join(lines) + "\n"
        path = DOCS / name
        if not path.exists() or path.read_text(encoding="utf-8") != text:
            path.parent.mkdir(exist_ok=True)
            path.write_text(text, encoding="utf-8")


def commands() -> Iterator[str]:
    """Every command with its own help."""
    yield "# Commands"
    yield ""
    yield "What each command prints for `--help`."
    with click.Context(main, info_name="corebath") as context:
        yield from _command(context, main, "corebath", 2)


def _command(context: click.Context, command: click.Command, name: str, level: int) -> Iterator[str]:
    own = click.Context(command, info_name=name, max_content_width=100)
    yield from ("", f"{'#' * level} {name}", "", "```text", command.get_help(own), "```")
    if isinstance(command, click.Group):
        for key in command.list_commands(context):
            inner = command.get_command(context, key)
            if inner is not None:
                yield from _command(context, inner, f"{name} {key}", level + 1)


def routes() -> Iterator[str]:
    """Every route of the web application, from its OpenAPI description."""
    import tempfile
    from zoneinfo import ZoneInfo

    from corebath.log.gear import Kitchen
    from corebath.log.store import Store
    from corebath.web.app import create_app
    from corebath.web.site import Site

    logging.getLogger("alembic").setLevel(logging.WARNING)  # a store is made only to describe the routes
    with tempfile.TemporaryDirectory() as folder:
        store = Store(Path(folder) / "docs.db")
        described = create_app(Site(store, Kitchen(zone=ZoneInfo("UTC")))).openapi()
        store.close()
    yield "# HTTP"
    yield ""
    yield "Every route of `corebath serve`. A running planner describes itself at `/openapi.json`."
    for path, methods in sorted(described["paths"].items()):
        for method, about in methods.items():
            yield from ("", f"## {method.upper()} {path}", "", about.get("description", about.get("summary", "")))
            names = [f"`{p['name']}` ({p['in']})" for p in about.get("parameters", ())]
            if names:
                yield from ("", f"Parameters: {', '.join(names)}.")


def functions() -> Iterator[str]:
    """Public functions and classes of the pure rooms with their docstrings, as they stand in the code."""
    yield "# Python"
    yield ""
    yield "The pure rooms: no input or output, no clock. Numbers are SI, temperatures °C; units stand in brackets."
    for room in ROOMS:
        folder = SOURCE.joinpath(*room.split("."))
        if not folder.is_dir():
            continue
        yield from ("", f"## {room}")
        for file in sorted(folder.glob("*.py")):
            tree = ast.parse(file.read_text(encoding="utf-8"))
            found = list(_public(tree))
            about = ast.get_docstring(tree)
            if found and file.stem != "__init__":
                yield from ("", f"### corebath.{room}.{file.stem}", "", "```text", about or "", "```")
                for signature, words in found:
                    yield from ("", "```text", signature, "", *(f"    {line}" for line in words.splitlines()), "```")


def _public(tree: ast.Module) -> Iterator[tuple[str, str]]:
    for node in tree.body:
        if isinstance(node, (ast.FunctionDef, ast.ClassDef)) and not node.name.startswith("_"):
            words = ast.get_docstring(node)
            if words is None:
                continue
            if isinstance(node, ast.FunctionDef):
                returns = f" -> {ast.unparse(node.returns)}" if node.returns is not None else ""
                yield f"{node.name}({ast.unparse(node.args)}){returns}", words
            else:
                yield f"class {node.name}", words


def agreement() -> Iterator[str]:
    """How far the models agree with published figures, as the tests last measured it."""
    yield "# Agreement, measured"
    yield ""
    yield _HOW_MEASURED
    for room in dict.fromkeys(row["room"] for row in measured()):
        yield from ("", f"## {room.capitalize()}", "", *table(room))


def measured() -> list[dict[str, str]]:
    with AGREEMENT.open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def table(room: str) -> Iterator[str]:
    """The rows of one room."""
    yield "| compared | n | mean | rms | largest | unit | published by |"
    yield "|---|--:|--:|--:|--:|---|---|"
    for row in measured():
        if row["room"] == room:
            # A minus sign, and no unit for what has none.
            figures = (row[name].replace("-", "−") for name in ("mean", "rms", "largest"))
            unit = "" if row["unit"] == "1" else row["unit"]
            yield f"| {row['what']} | {row['n']} | {' | '.join(figures)} | {unit} | {row['source']} |"
