"""Files that cannot be written are refused in one sentence, without the system's numbers."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.unit.cli.ends_runs import run

from corebath.cli.writing import why_not_written


def test_a_chart_in_no_folder_is_refused_in_words(tmp_path: Path) -> None:
    path = tmp_path / "no" / "x.svg"
    said = run("plan", "ribeye", "--thick", "30 mm", "--want", "57 C", "--eat", "tomorrow 19:30", "--chart", str(path))
    assert said.exit_code == 2
    assert "The chart could not be written: there is no such folder." in said.stderr
    assert "Errno" not in said.stderr


@pytest.mark.parametrize(
    ("error", "words"),
    [
        (PermissionError(13, "Permission denied", "x.svg"), "writing there is not allowed"),
        (IsADirectoryError(21, "Is a directory", "x.svg"), "a folder has that name"),
        (OSError(28, "No space left on device"), "the disk is full, or the system refuses"),
        (ValueError("a chart cannot be written with no suffix."), "a chart cannot be written with no suffix"),
    ],
)
def test_reasons_are_words(error: Exception, words: str) -> None:
    assert why_not_written(error) == words
