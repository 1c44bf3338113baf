"""The house itself: file lengths, the README's example, words that must not stand alone."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SOURCES = sorted(
    p for p in (ROOT / "src").rglob("*") if p.suffix in (".py", ".js", ".css", ".html") and "__pycache__" not in p.parts
)


@pytest.mark.parametrize("path", SOURCES, ids=lambda p: str(p.relative_to(ROOT / "src" / "corebath")))
def test_no_file_outgrows_400_lines(path: Path) -> None:
    assert len(path.read_text(encoding="utf-8").splitlines()) <= 400


def test_the_readme_example_runs(capsys: pytest.CaptureFixture[str]) -> None:
    blocks = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)
    assert blocks
    for block in blocks:
        exec(compile(block, "README.md", "exec"), {})
    printed = capsys.readouterr().out
    assert "fsis-chicken-7log-5pct" in printed


def test_every_room_says_what_it_is_for() -> None:
    for package in (ROOT / "src" / "corebath").glob("*/__init__.py"):
        assert package.read_text(encoding="utf-8").startswith('"""'), package


def test_nothing_is_called_safe_without_its_rule() -> None:
    # "safe" may stand in a rule's own title or citation, which name whose word it is; never in our sentences.
    said = re.compile(r"\b(is|are|be|now|perfectly|totally|food-)?\s?safe(ly)?\b", re.IGNORECASE)
    allowed = ("safety", "food safety", "Food Safety")
    for path in SOURCES:
        if path.suffix not in (".html", ".js"):
            continue
        for line in path.read_text(encoding="utf-8").splitlines():
            if "| safe" in line:  # a template filter
                continue
            assert not said.search(line) or any(a in line for a in allowed), f"{path.name}: {line}"
