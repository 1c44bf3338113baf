"""The command line, as a cook and as a shell meet it."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Sequence
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from hypothesis import given, settings
from hypothesis import strategies as st

from corebath.cli import main
from corebath.food.catalogue import catalogue

STEAK = ("plan", "ribeye", "--thick", "30 mm", "--want", "medium rare", "--eat", "tomorrow 19:30", "--zone", "UTC")


@pytest.fixture(autouse=True)
def no_store(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COREBATH_STORE", str(tmp_path / "none.db"))


def run(*words: str) -> Result:
    return CliRunner().invoke(main, list(words))


def changed(**answers: str) -> tuple[str, ...]:
    """The steak's command line with some answers changed."""
    words = list(STEAK)
    if "food" in answers:
        words[1] = answers.pop("food")
    for name, value in answers.items():
        option = f"--{name}"
        if option in words:
            words[words.index(option) + 1] = value
        else:
            words += [option, value]
    return tuple(words)


def shell(*words: str | bytes, **environment: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [Path(sys.executable).with_name("corebath"), *words],
        capture_output=True,
        env=os.environ | environment,
        timeout=60,
        check=False,
    )


def refused(result: Result, sentences: int = 1) -> str:
    """What a refusal tells, after checking how it is told."""
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert isinstance(result.exception, SystemExit)
    lines = result.stderr.strip().splitlines()
    assert len(lines) == sentences, result.stderr
    for line in lines:
        assert line[0] == line[0].upper()
        assert line[-1] in ".?"
        assert "{" not in line
        assert len(line) < 700
    return result.stderr


def test_a_plan_in_text() -> None:
    result = run(*STEAK)
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    assert "drop in by" in result.stdout
    assert "FDA Food Code" in result.stdout
    assert not re.search(r"\{[0-9.e-]+\|", result.stdout)
    assert "°F" in result.stdout


def test_a_plan_in_the_other_units() -> None:
    metric, us = (run(*changed(units=u)).stdout for u in ("metric", "us"))
    assert "30 mm" in metric
    assert "30 mm" not in us.split("Keep in mind")[0].replace("(30 mm)", "")
    assert "1 3/16 in" in us


def test_a_plan_as_json() -> None:
    result = run(*STEAK, "--json")
    assert result.exit_code == 0
    plan = json.loads(result.stdout)
    assert plan
    assert "NaN" not in result.stdout
    assert "Infinity" not in result.stdout
    # Strict JSON also where a time is never reached.
    never = run(*changed(food="chicken breast", want="50 C"), "--json")
    assert never.exit_code == 1
    json.loads(never.stdout, parse_constant=lambda word: pytest.fail(f"{word} is no JSON"))


@pytest.mark.parametrize(("kind", "starts"), [("svg", b"<"), ("png", b"\x89PNG"), ("pdf", b"%PDF")])
def test_a_chart_in_a_file(kind: str, starts: bytes, tmp_path: Path) -> None:
    path = tmp_path / f"plan.{kind}"
    result = run(*STEAK, "--chart", str(path))
    assert result.exit_code == 0, result.output
    assert path.read_bytes().startswith(starts)


def test_a_chart_that_cannot_be_written(tmp_path: Path) -> None:
    refused(run(*STEAK, "--chart", str(tmp_path / "plan.bmp")))
    refused(run(*STEAK, "--chart", str(tmp_path / "nowhere" / "plan.svg")))


def test_an_unworkable_wish_leaves_with_1_and_offers_what_works() -> None:
    # A table an hour ahead; two near midnight would be tomorrow's, so the moment is spelt out.
    soon = (datetime.now().astimezone() + timedelta(hours=1)).isoformat(timespec="minutes")
    for words in (changed(eat=soon), changed(food="chicken breast", want="54 C"), changed(food="carrot", want="54 C")):
        result = run(*words)
        assert result.exit_code == 1, result.output
        assert result.stderr == ""
        assert result.stdout
    assert "no softening" in result.stdout
    assert "83 °C" in result.stdout


BAD: tuple[tuple[str, dict[str, str], str], ...] = (
    ("negative", {"thick": "-3 cm"}, "negative"),
    ("nothing", {"thick": "0 mm"}, "between"),
    ("10 m steak", {"thick": "10 m"}, "between"),
    ("no unit and absurd", {"thick": "3000"}, "between"),
    ("not a number", {"thick": "NaN"}, "thick|length"),
    ("above boiling", {"want": "101 C"}, "between"),
    ("above boiling in F", {"want": "215 F"}, "between"),
    ("which degrees", {"want": "60"}, r"60 C or 60 F\?"),
    ("dinner in the past", {"eat": "2020-01-01 19:00"}, "passed"),
    ("dinner never", {"eat": "whenever"}, "19:30"),
    ("dinner far off", {"eat": "2999-01-01 19:00"}, "400 days"),
    ("unknown cut", {"food": "ribey"}, "beef ribeye steak"),
    ("unicorn", {"food": "unicorn"}, "no food is called|No food is called"),
    ("empty food", {"food": ""}, "what it is"),
    ("empty want", {"want": ""}, "how you want it"),
    ("empty thick", {"thick": ""}, "how thick"),
    ("empty eat", {"eat": ""}, "when you eat"),
    ("emoji", {"food": "🥩"}, "🥩"),
    ("emoji size", {"thick": "🥩"}, "🥩"),
    ("control", {"food": "rib\x07eye\x1b[31m"}, "no food|No food"),
    ("right to left", {"eat": "\u202e19:30"}, "table time"),
    ("megabyte food", {"food": "x" * 1_000_000}, "80 characters"),
    ("megabyte size", {"thick": "9" * 1_000_000}, "too long"),
    ("megabyte time", {"eat": "9" * 1_000_000}, "table time"),
    ("megabyte want", {"want": "x" * 1_000_000}, "not a result"),
    ("two foods", {"food": "sirloin"}, "different foods"),
    ("unknown zone", {"zone": "Mars"}, "time zone"),
    ("no pieces", {"pieces": "0"}, "pieces"),
    ("round pile", {"food": "beef tenderloin", "layers": "3"}, "apart"),
    ("high pile", {"thick": "200 mm", "layers": "2"}, "thick in all"),
    ("rules of nowhere", {"rules": "XX"}, "accepted are US, UK, AU"),
)


@pytest.mark.parametrize(("name", "answers", "told"), BAD, ids=[name for name, _, _ in BAD])
def test_bad_input_gets_one_sentence_and_exit_code_2(name: str, answers: dict[str, str], told: str) -> None:
    del name
    assert re.search(told, refused(run(*changed(**answers))))


def test_every_unclear_answer_is_told_in_one_go() -> None:
    assert "nothing" not in refused(run(*changed(food="unicorn", thick="-1", eat="never")), sentences=3)


def test_a_food_without_anything_else() -> None:
    refused(run("plan", "ribeye"), sentences=3)


WORDS = st.text(st.characters(codec="utf-8"), max_size=30)


@settings(deadline=None, max_examples=40)
@given(st.sampled_from(["food", "thick", "want", "eat", "bath", "mass", "start", "zone", "vessel", "heater"]), WORDS)
def test_no_text_leads_to_a_traceback(name: str, text: str) -> None:
    result = CliRunner().invoke(main, [*changed(**{name: text}), "--json"], env={"COREBATH_STORE": "none.db"})
    assert result.exit_code in (0, 1, 2)
    assert result.exception is None or isinstance(result.exception, SystemExit)


def test_in_a_shell_too() -> None:
    result = shell("plan", "unicorn", "--thick", "30 mm", "--want", "57 C", "--eat", "19:30")
    assert result.returncode == 2
    assert result.stdout == b""
    assert b"Traceback" not in result.stderr
    assert len(result.stderr.decode().strip().splitlines()) == 1


def test_bytes_that_are_no_text_and_a_terminal_without_accents() -> None:
    for environment in ({}, {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONIOENCODING": "ascii"}):
        result = shell(b"plan", b"\xff\xfe", b"--thick", b"30 mm", b"--want", b"57 C", b"--eat", b"9:30", **environment)
        assert result.returncode == 2
        assert b"Traceback" not in result.stderr


def loaded_by(*words: str) -> set[str]:
    """Modules that are loaded when a command line is run in a fresh interpreter."""
    code = (
        "import sys\nfrom corebath.cli import main\n"
        f"try:\n    main({list(words)!r})\nexcept SystemExit:\n    pass\n"
        "print('\\n' + ' '.join(sys.modules))"
    )
    result = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, timeout=60)
    return set(result.stdout.splitlines()[-1].split())


@pytest.mark.parametrize("words", [("--help",), ("-h",), ("--version",), ()], ids=lambda w: "-".join(w) or "bare")
def test_help_loads_no_numerics(words: Sequence[str]) -> None:
    loaded = loaded_by(*words)
    assert "corebath.cli" in loaded
    assert not loaded & {"numpy", "scipy", "fastapi", "uvicorn", "sqlalchemy", "typst", "contourpy", "jinja2", "rich"}


def test_foods_loads_no_numerics_beyond_the_food_room() -> None:
    assert not loaded_by("foods") & {"fastapi", "uvicorn", "sqlalchemy", "typst", "contourpy", "jinja2"}


def test_a_plan_loads_no_web_and_no_store() -> None:
    assert not loaded_by(*STEAK) & {"fastapi", "uvicorn", "sqlalchemy", "alembic", "jinja2"}


def test_help_names_every_command_and_option() -> None:
    text = run("--help").stdout
    for command in ("plan", "foods", "serve", "completion"):
        assert f"  {command}" in text
        assert run(command, "--help").exit_code == 0
    assert "--eat" in run("plan", "--help").stdout
    assert re.fullmatch(r"corebath, version \d+\.\d+\.\d+\S*\n", run("--version").stdout)


def test_unknown_commands_and_options_are_refused() -> None:
    for words in (("cook",), ("plan", "ribeye", "--nonsense", "1"), ("plan",), ("completion", "cobol")):
        result = run(*words)
        assert result.exit_code == 2
        assert isinstance(result.exception, SystemExit)


def test_the_catalogue_is_listed() -> None:
    lines = run("foods").stdout.splitlines()
    assert len(lines) == len(catalogue()) >= 45
    assert lines[0].startswith("beef-ribeye")


def test_a_food_by_any_of_its_names() -> None:
    assert "beef ribeye steak" in run("foods", "entrecôte").stdout
    assert "medium rare: 54 °C" in run("foods", "ribeye").stdout
    both = run("foods", "sirloin").stdout
    assert "beef striploin" in both
    assert "beef rump" in both
    assert "beef ribeye steak" in refused(run("foods", "ribey"))
    refused(run("foods", ""))
    refused(run("foods", "x" * 1_000_000))


def test_foods_as_json() -> None:
    foods = json.loads(run("foods", "--json").stdout)
    assert [food["key"] for food in foods] == list(catalogue())
    assert all(food["results"] and food["hazards"] for food in foods)


@pytest.mark.parametrize("name", sorted(catalogue()))
def test_every_food_can_be_looked_up(name: str) -> None:
    result = run("foods", name)
    assert result.exit_code == 0
    assert catalogue()[name].name in result.stdout
    assert not re.search(r"\{[0-9.e-]+\|", result.stdout)


@pytest.mark.parametrize("shell_name", ["bash", "zsh", "fish"])
def test_completion_scripts(shell_name: str) -> None:
    script = run("completion", shell_name).stdout
    assert "_COREBATH_COMPLETE" in script
    assert "corebath" in script


def test_completion_answers_the_shell() -> None:
    result = shell(_COREBATH_COMPLETE="bash_complete", COMP_WORDS="corebath fo", COMP_CWORD="1")
    assert b"foods" in result.stdout
