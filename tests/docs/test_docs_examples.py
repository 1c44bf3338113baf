"""Every example in the documentation and the README works as it is printed."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.docs.examples import ROOT, blocks, pages, run, stop_the_clock

RUN = {"console", "python", "pycon"}


WITH_EXAMPLES = [page for page in pages() if any(block.language in RUN for block in blocks(page))]


@pytest.mark.parametrize("page", WITH_EXAMPLES, ids=lambda p: p.relative_to(ROOT).as_posix())
def test_examples_of_a_page(page: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COREBATH_STORE", str(tmp_path / "kitchen.db"))
    stop_the_clock(monkeypatch)
    for block in blocks(page):
        run(block)


def test_a_fence_is_not_missed() -> None:
    """A block in a language that is run, written in a way the reader of blocks does not know, would never be run."""
    for page in pages():
        fences = [
            line.strip()
            for line in page.read_text(encoding="utf-8").splitlines()
            if line.startswith("```") and line.strip("`{} ").removeprefix("code-block} ") in RUN
        ]
        assert len(fences) == sum(block.language in RUN for block in blocks(page)), page
