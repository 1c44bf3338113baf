"""Running a command for one end of a cook, and what holds for every one of them."""

from __future__ import annotations

import json
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from click.testing import CliRunner, Result
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from corebath.cli import main
from corebath.show.ends_json import ends_schema

# What may be typed anywhere: figures with and without units, words, and things nobody should type.
TYPED = st.one_of(
    st.sampled_from(
        (
            *("", " ", "30 mm", "1 1/4 in", "-3 cm", "0", "NaN", "inf", "57 C", "135 F", "60", "1e99 C", "yes", "no"),
            *("risk", "1 L", "400 g", "2 kg", "2 h", "0 s", "10 min", "1 %", "100", "US", "frozen", "hot", "broad"),
            *("ribeye", "2027-01-03", "2027-02-30", "4 h, 12 h", ",,,", "a, b, c, d", "{57|C}", "us"),
            "100 g, 20 C, 60 s, 6 cm",
        )
    ),
    st.text(max_size=30),
    st.floats().map(str),
    st.integers(-1000, 100_000).map(lambda n: f"{n} mm"),
    st.integers(-1000, 100_000).map(lambda n: f"{n} C"),
    st.integers(-1000, 100_000).map(lambda n: f"{n} min"),
)


def run(*words: str) -> Result:
    """The command line with a store that holds nothing."""
    with tempfile.TemporaryDirectory() as folder:
        return CliRunner().invoke(main, list(words), env={"COREBATH_STORE": str(Path(folder) / "none.db")})


def data_of(kind: str, *words: str, leaves: int = 0) -> dict[str, Any]:
    """The JSON a command prints, after checking it by its schema."""
    result = run(kind, *words, "--json")
    assert result.exit_code == leaves, result.output
    assert result.stderr == ""
    data: dict[str, Any] = json.loads(result.stdout)
    assert [e.message for e in Draft202012Validator(ends_schema(kind)).iter_errors(data)] == []
    return data


def refused(result: Result, *needed: str) -> None:
    """Exit code 2, nothing printed, one clear sentence a line, and no traceback."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert isinstance(result.exception, SystemExit)
    for line in result.stderr.strip().splitlines():
        assert line[0] == line[0].upper(), line
        assert line[-1] in ".?", line
        assert not line.rstrip(".?").endswith("."), line
        assert len(line) < 700, line
        assert "Traceback" not in line
    for words in needed:
        assert words.casefold() in result.stderr.casefold(), result.stderr


def sound(result: Result) -> None:
    """Whatever was typed: an answer, an answer with a broken rule, or a refusal."""
    assert result.exit_code in (0, 1, 2), (result.exit_code, result.output)
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    if result.exit_code == 2:
        assert result.stdout == ""
        assert result.stderr.strip()
    else:
        assert result.stderr == ""
        assert result.stdout.strip()


def charts(*words: str) -> Iterator[tuple[str, bytes]]:
    """The chart a command writes in each form: what it should begin with, and what it is."""
    for suffix, starts in ((".svg", "<svg"), (".png", "\x89PNG"), (".pdf", "%PDF")):
        handle, name = tempfile.mkstemp(suffix)
        os.close(handle)
        path = Path(name)
        try:
            result = run(*words, "--chart", name)
            assert result.exit_code in (0, 1), result.output
            yield starts, path.read_bytes()
        finally:
            path.unlink()
