"""`corebath judge`: outage stories end to end, as a cook meets them."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from pathlib import Path

import jsonschema
import numpy as np
import pytest
from click.testing import CliRunner, Result
from tests.unit.log.traces import EVENING, H, as_csv, failing, late, steady, without

from corebath.cli import main
from corebath.cli.judge import command
from corebath.show.judge_json import judge_schema

CHUCK = ("--food", "beef chuck", "--thick", "45 mm", "--zone", "Europe/Paris")
BATH = ("--vessel", "24 cm x 14 cm", "--heater", "1.1 kW, 8 cm to 12 cm", "--cover", "gasketed")
STORIES = {
    "dawn": (np.append(np.arange(0, 5 * H, 60.0), 13 * H), np.append(np.full(300, 57.0), 31.0)),
    "tripped": failing(57.0, 13.0, 6.0),
    "wrong": steady(47.0, 2.5),
    "late": late(57.0, 6.0, 3.0),
    "silent": without(steady(57.0, 9.0), 4.0, 5.0),
}


@pytest.fixture(autouse=True)
def no_store(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("COREBATH_STORE", str(tmp_path / "none.db"))


def run(*words: str) -> Result:
    return CliRunner().invoke(command, list(words))


def told(story: str, tmp_path: Path, *more: str) -> dict[str, object]:
    path = tmp_path / f"{story}.csv"
    path.write_text(as_csv(STORIES[story]), encoding="utf-8")
    result = run(str(path), *CHUCK, "--set", "57 C", "--json", *more)
    assert result.exit_code in (0, 1), result.output
    data: dict[str, object] = json.loads(result.stdout)
    jsonschema.validate(data, judge_schema())
    assert result.exit_code == (1 if data["decision"] == "bin" else 0)
    return data


@pytest.mark.parametrize(
    ("story", "decision", "kind"),
    [
        ("dawn", "bin", "nothing measured"),
        ("tripped", "bin", "lost heat"),
        ("wrong", "finish cooking", "wrong set point"),
        ("late", "bin", "not up to temperature at drop-in"),
        ("silent", "keep", "nothing measured"),
    ],
)
def test_stories_as_json(story: str, decision: str, kind: str, tmp_path: Path) -> None:
    data = told(story, tmp_path, *BATH)
    assert data["decision"] == decision
    faults = data["faults"]
    assert isinstance(faults, list)
    assert [fault["kind"] for fault in faults] == [kind]
    assert data["drop_in"] == EVENING.isoformat()


def test_a_story_in_text(tmp_path: Path) -> None:
    path = tmp_path / "dawn.csv"
    path.write_text(as_csv(STORIES["dawn"]), encoding="utf-8")
    result = run(str(path), *CHUCK, "--set", "57C")
    assert result.exit_code == 1
    assert result.stderr == ""
    headings = ("The verdict", "Why", "Time at the core in each band", "The bath", "What was read", "Assumed")
    places = [result.stdout.index(f"{heading}\n") for heading in headings]
    assert places == sorted(places)
    assert "bin it" in result.stdout.splitlines()[1].lower()
    assert "Heating it again does not help" in result.stdout
    assert "°F" in result.stdout
    assert not re.search(r"\{[0-9.e-]+\|", result.stdout)
    assert not re.search(r"\bsafe\b", result.stdout, re.IGNORECASE)


def test_us_units(tmp_path: Path) -> None:
    path = tmp_path / "wrong.csv"
    path.write_text(as_csv(STORIES["wrong"]), encoding="utf-8")
    result = run(str(path), *CHUCK, "--set", "135 F", "--units", "us")
    assert "135 °F (57.2 °C)" in result.stdout


def test_a_file_of_seconds_and_what_was_taken_for_granted(tmp_path: Path) -> None:
    path = tmp_path / "seconds.csv"
    t, y = steady(57.0, 5.0)
    path.write_text("\n".join(["s,bath (C)", *(f"{a:.0f},{b:.2f}" for a, b in zip(t, y, strict=True))]))
    result = run(str(path), *CHUCK)
    assert result.exit_code == 0, result.stderr
    assert "No set point was given: 57 °C" in result.stdout
    assert "No drop-in was given" in result.stdout
    dropped = run(str(path), *CHUCK, "--dropped-in", "30 min", "--json")
    assert json.loads(dropped.stdout)["until_s"] == 4.5 * H


def test_moments_by_the_clock(tmp_path: Path) -> None:
    data = told("tripped", tmp_path, "--dropped-in", "18:30", "--found", "2026-11-21 01:00")
    assert data["drop_in"] == (EVENING + timedelta(minutes=30)).isoformat()
    assert data["until_s"] == 6.5 * H


def test_the_chart_is_written_and_shows_the_gap(tmp_path: Path) -> None:
    path = tmp_path / "silent.csv"
    path.write_text(as_csv(STORIES["silent"]), encoding="utf-8")
    for suffix in ("svg", "png", "pdf"):
        chart = tmp_path / f"out.{suffix}"
        assert run(str(path), *CHUCK, "--set", "57C", "--chart", str(chart), *BATH).exit_code == 0
        assert chart.stat().st_size > 2000
    svg = (tmp_path / "out.svg").read_text(encoding="utf-8")
    assert "silent sensor" in svg
    assert "grey-rising" in svg
    assert "Core in the worst case" in svg


@pytest.mark.parametrize(
    ("text", "more", "words"),
    [
        ("time,bath\n2027-05-01 18:00,57\n2027-05-01 18:01,57.1\n", (), "--unit 'C' or --unit 'F'"),
        ("time,bath (C)\n03/04/2027 18:00,57\n03/04/2027 18:01,57\n", (), "--dates 'day first'"),
        ("time,bath (C)\n0,57\n10,57\n", (), "--counts 'ms'"),
        ("time,T1 (C),T2 (C)\n2027-05-01 18:00,57,5\n2027-05-01 18:01,57,6\n", (), "--bath-column 'T1 (C)'"),
        ("hello", (), "columns"),
        ("time,bath (C)\n2027-05-01 18:00,57\n2027-05-01 18:01,57\n", ("--found", "17:50"), "after drop-in"),
        ("time,bath (C)\n2027-05-01 18:00,57\n2027-05-01 18:01,57\n", ("--set", "20 C"), "bath temperature"),
        ("time,bath (C)\n2027-05-01 18:00,57\n2027-05-01 18:01,57\n", ("--dropped-in", "teatime"), "teatime"),
    ],
)
def test_questions_and_refusals(text: str, more: tuple[str, ...], words: str, tmp_path: Path) -> None:
    path = tmp_path / "odd.csv"
    path.write_text(text, encoding="utf-8")
    result = run(str(path), *CHUCK, *more)
    assert result.exit_code == 2, result.output
    assert result.stdout == ""
    assert words in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1
    assert result.stderr[0] == result.stderr[0].upper()


def _written(tmp_path: Path, pair: tuple[np.ndarray, np.ndarray]) -> str:
    path = tmp_path / "few.csv"
    path.write_text(as_csv(pair), encoding="utf-8")
    return str(path)


def test_a_single_reading_judged_a_day_later_is_no_evidence(tmp_path: Path) -> None:
    file = _written(tmp_path, (np.array([0.0]), np.array([57.0])))
    result = run(file, *CHUCK, "--set", "57 C", "--found", "24 h")
    assert result.exit_code == 1
    assert "in doubt, bin it" in result.stdout
    assert "The readings end 24 h before the moment judged." in result.stdout
    assert run(file, *CHUCK, "--set", "57 C", "--found", "24 h", "--power", "held").exit_code == 0


def test_what_the_readings_of_a_bath_show(tmp_path: Path) -> None:
    t, y = steady(57.0, 4.0, every_s=600.0)
    assert "Every reading found it within 1.5 °C" in run(_written(tmp_path, (t, y)), *CHUCK, "--set", "57 C").stdout
    y[5] = 85.0
    spike = run(_written(tmp_path, (t, y)), *CHUCK, "--set", "57 C").stdout
    assert "Every reading" not in spike
    assert "No reading shows it too cold or too hot for 15 min or longer." in spike
    assert "The bath reading of 85 °C (185 °F) 50 min after drop-in lies above" in spike
    assert "stands in line 7." in spike
    hot = run(_written(tmp_path, steady(67.0, 4.0)), *CHUCK, "--set", "57 C").stdout
    assert "Too hot: The bath was above its 57 °C" in hot
    assert "cooked further than at 57 °C" in hot
    hourly = run(_written(tmp_path, steady(57.0, 6.0, every_s=3600.0)), *CHUCK, "--set", "57 C").stdout
    assert hourly.count("The logger reads every 1 h") == 1
    assert "silent sensor" not in hourly


def test_the_core_alone_says_nothing_of_the_bath(tmp_path: Path) -> None:
    path = tmp_path / "core.csv"
    t, y = steady(57.0, 4.0)
    path.write_text(as_csv((t, np.minimum(5 + t / 100, y)), head="Time,Core (°C)"), encoding="utf-8")
    assert "The bath was not measured." in run(str(path), *CHUCK, "--set", "57 C").stdout


def test_a_set_point_is_not_taken_from_two_odd_readings(tmp_path: Path) -> None:
    y = np.full(10, 57.0)
    y[5:7] = 85.0
    result = run(_written(tmp_path, (np.arange(10) * 600.0, y)), *CHUCK)
    assert result.exit_code == 2
    assert "Say what the bath was set to" in result.stderr


def test_food_that_was_not_cold_is_asked_about(tmp_path: Path) -> None:
    result = run(_written(tmp_path, steady(57.0, 4.0)), *CHUCK, "--set", "57 C", "--start", "25 C")
    assert "But it dropped in at 25 °C" in result.stdout.splitlines()[1]


def test_no_file_and_no_food(tmp_path: Path) -> None:
    missing = run(str(tmp_path / "none.csv"), *CHUCK)
    assert missing.exit_code == 2
    assert "cannot be read" in missing.stderr
    path = tmp_path / "wrong.csv"
    path.write_text(as_csv(STORIES["wrong"]), encoding="utf-8")
    nothing = run(str(path))
    assert nothing.exit_code == 2
    assert "Say what it is" in nothing.stderr


def test_the_command_is_listed() -> None:
    result = CliRunner().invoke(main, ["--help"])
    assert "judge" in result.stdout
