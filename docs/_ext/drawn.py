"""Reference pages drawn from the program: its commands, its routes, its functions, and how far it agrees with print."""

from __future__ import annotations

import ast
import csv
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import click
from sphinx.application import Sphinx

from corebath.cli import main

DOCS = Path(__file__).parent.parent
SOURCE = DOCS.parent / "src" / "corebath"
ROOMS = (
    "food", "heat", "safety", "outcome", "bath", "salt", "sear", "chill", "plan", "plan.menu", "plan.batch", "units",
)  # fmt: skip


def setup(app: Sphinx) -> dict[str, Any]:
    """Write the pages before Sphinx reads them."""
    app.connect("builder-inited", lambda _: draw())
    return {"parallel_read_safe": True}


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
    yield "Written by `make agreement` from the tests in `tests/published/`; ours less the published value."
    yield ""
    yield "| published figures | n | unit | mean | rms | largest | source |"
    yield "|---|---|---|---|---|---|---|"
    with (DOCS / "science" / "agreement.csv").open(encoding="utf-8", newline="") as stream:
        for row in csv.DictReader(stream):
            yield f"| {' | '.join(row[k] for k in ('what', 'n', 'unit', 'mean', 'rms', 'largest', 'source'))} |"
