"""The eight scenarios through the command line (the last through its pages), and the pages that print their answers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from tools.acceptance.__main__ import FOLDER
from tools.acceptance.pages import SCENARIOS, rows
from tools.acceptance.scenario import Scenario


@pytest.mark.parametrize("scenario", SCENARIOS, ids=lambda s: s.key)
def test_the_numbers_lie_in_their_bands_and_the_page_prints_them(scenario: Scenario) -> None:
    answers = scenario.answers()
    unsaid = [said.what for said in scenario.said if not said.of(answers)]
    assert unsaid == []
    for number in scenario.numbers:
        value = number.of(answers)
        # Where it lies outside, the reason stands beside it and on the page; where it does not, nothing is excused.
        assert number.inside(value) != bool(number.why), f"{number.what}: {value}"
    page = (FOLDER / f"{scenario.key}.md").read_text(encoding="utf-8")
    again = "run `python -m tools.acceptance`"
    assert [row for row in rows(scenario, answers) if row not in page] == [], again
    assert [ask.typed for ask in scenario.asks if ask.typed not in page] == [], again


def test_every_pain_is_answered_for() -> None:
    text = (FOLDER / "pains.md").read_text(encoding="utf-8")
    numbers = [int(found[1]) for found in re.finditer(r"^\| (\d+) \|", text, re.MULTILINE)]
    assert numbers == list(range(1, 29))
    root = Path(__file__).parents[2]
    tests = set(re.findall(r"`(tests/[^`]+)`", text))
    assert tests
    assert [name for name in sorted(tests) if not (root / name).exists()] == []
