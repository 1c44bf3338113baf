"""The documentation builds without a warning, and everything can be found from its first page."""

from __future__ import annotations

import subprocess
import sys
from functools import cache
from pathlib import Path

import click
import pytest
from tests.docs.examples import DOCS

from corebath.cli import main


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pages as HTML, built as `make docs` does."""
    out = tmp_path_factory.mktemp("site")
    built = subprocess.run(
        [sys.executable, "-m", "sphinx", "-W", "--keep-going", "-n", "-q", "-d", f"{out}/trees", DOCS, f"{out}/html"],
        capture_output=True,
        text=True,
        timeout=300,
        check=False,
    )
    assert built.returncode == 0, built.stderr
    return out / "html"


@cache
def listed(page: Path) -> tuple[Path, ...]:
    """Pages in the toctrees of a page."""
    found: list[Path] = []
    inside = globbing = False
    for line in page.read_text(encoding="utf-8").splitlines():
        if line.startswith("```"):
            inside, globbing = line == "```{toctree}", False
        elif inside and line == ":glob:":
            globbing = True
        elif inside and line and not line.startswith(":"):
            name = line.partition("<")[2].rstrip("> ") or line
            matches = page.parent.glob(f"{name}.md") if globbing else [page.parent / f"{name}.md"]
            found += [match.resolve() for match in matches]
    return tuple(found)


def reached() -> set[Path]:
    new, seen = [DOCS / "index.md"], set[Path]()
    while new:
        page = new.pop()
        if page not in seen:
            seen.add(page)
            new += listed(page) if page.exists() else ()
    return seen


def test_no_page_is_orphaned(site: Path) -> None:
    del site  # its build draws the pages that are drawn
    pages = {p for p in DOCS.rglob("*.md") if not {"_build", "_ext"} & set(p.relative_to(DOCS).parts)}
    assert pages - reached() == set()
    assert reached() - pages == set(), "listed, but not there"


def test_every_json_page_is_reached() -> None:
    assert set(DOCS.glob("json*.md")) <= reached()


def commands(command: click.Command, name: str) -> list[str]:
    names = [name]
    if isinstance(command, click.Group):
        context = click.Context(command)
        for key in command.list_commands(context):
            inner = command.get_command(context, key)
            assert inner is not None
            names += commands(inner, f"{name} {key}")
    return names


def test_every_command_has_its_section(site: Path) -> None:
    page = (site / "reference" / "commands.html").read_text(encoding="utf-8")
    assert (DOCS / "reference" / "commands.md").resolve() in reached()
    for name in commands(main, "corebath"):
        assert f">{name}<" in page, name


def test_every_route_and_schema_is_told(site: Path) -> None:
    http = (site / "reference" / "http.html").read_text(encoding="utf-8")
    assert "GET /api/plan" in http
    files = (DOCS / "reference" / "json-pages.md").read_text(encoding="utf-8")
    for schema in (DOCS.parent / "src" / "corebath" / "show" / "data").glob("*.schema.json"):
        assert schema.name in files, schema.name


def test_what_was_measured_stands_in_the_science(site: Path) -> None:
    tables = (site / "science" / "agreement-tables.html").read_text(encoding="utf-8")
    assert "that pasteurise poultry" in tables
    assert "scikit-fem" in (site / "science" / "heat.html").read_text(encoding="utf-8")
