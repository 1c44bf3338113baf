"""`corebath salt`."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.cli.ends_runs import TYPED, charts, data_of, refused, run, sound

STEAK = ("ribeye", "--thick", "30 mm", "--mass", "400 g")


def test_the_text_runs_in_cooking_order() -> None:
    text = run("salt", *STEAK).stdout
    headings = ["The question", "The answer", "Reported, not binding", "Usual doses", "What the numbers rest on"]
    places = [text.index(heading) for heading in headings]
    assert places == sorted(places)
    assert "Weigh 4 g (0.14 oz) of salt for 400 g" in text
    assert "salt, % of the meat" in text  # the chart


def test_the_json_follows_its_schema() -> None:
    data = data_of("salt", *STEAK, "--bath", "2 h")
    assert data["dose"]["of_meat_kg"] == pytest.approx(0.004)
    assert data["percent"] == 1.0
    assert data["bath_s"] == 7200
    assert {f["rule"]: f["verdict"] for f in data["findings"]}["salt-cured-texture"] == "met"


def test_a_dose_for_a_piece_not_weighed_is_for_a_kilogram() -> None:
    data = data_of("salt", "ribeye", "--thick", "30 mm", "--salt", "1,2 %")
    assert not data["dose"]["weighed"]
    assert data["dose"]["of_meat_kg"] == pytest.approx(0.012)


def test_a_brine_shows_both_meanings_of_its_percentage() -> None:
    """1.5 % in 1000 g of meat and 1000 g of water: 30 g, by arithmetic; 15 g of the meat alone."""
    data = data_of("salt", "ribeye", "--thick", "30 mm", "--mass", "1 kg", "--water", "1 L", "--salt", "1.5")
    assert data["dose"]["of_meat_and_water_kg"] == pytest.approx(0.030)
    assert data["dose"]["of_meat_kg"] == pytest.approx(0.015)
    assert data["brine"]["salt_kg"] == pytest.approx(0.030)


def test_waits_are_the_ones_asked_for() -> None:
    data = data_of("salt", *STEAK, "--hours", "1 day; 90 min")
    assert [wait["time_s"] for wait in data["waits"]] == [5400, 86_400]


def test_thawed_meat_takes_salt_sooner() -> None:
    fresh, thawed = (data_of("salt", *STEAK, "--state", state)["nominal"]["half_s"] for state in ("fridge", "frozen"))
    assert thawed == pytest.approx(fresh / 1.3, rel=1e-6)  # 30 % higher D: computed tomography of hams, abstract


def test_what_is_not_known_is_said_and_not_drawn() -> None:
    result = run("salt", "chicken breast", "--thick", "38 mm")
    assert result.exit_code == 0
    assert "not known" in result.stdout
    refused(run("salt", "chicken breast", "--thick", "38 mm", "--chart", "nowhere.svg"), "not known")
    assert not data_of("salt", "chicken breast", "--thick", "38 mm")["known"]


def test_charts_are_written() -> None:
    for starts, chart in charts("salt", *STEAK):
        assert chart.startswith(starts.encode("latin-1"))


@pytest.mark.parametrize(
    ("words", "needed"),
    [
        (("unicorn", "--thick", "30 mm"), "unicorn"),
        (("ribeye",), "how thick"),
        (("ribeye", "--thick", "10 m"), "between"),
        (("ribeye", "--thick", "30 mm", "--salt", "lots"), "percentage"),
        (("ribeye", "--thick", "30 mm", "--salt", "60"), "salt must lie"),
        (("ribeye", "--thick", "30 mm", "--salt", "0"), "salt must lie"),
        (("ribeye", "--thick", "30 mm", "--water", "1 L"), "a brine is weighed"),
        (("ribeye", "--thick", "30 mm", "--mass", "90 kg"), "must weigh between"),
        (("ribeye", "--thick", "30 mm", "--hours", "0 h"), "1 min"),
        (("ribeye", "--thick", "30 mm", "--hours", "soon"), "duration"),
        (("pork loin", "--thick", "80 mm", "--faces", "broad"), "round piece"),
        (("ribeye", "--thick", "30 mm", "--faces", "thin"), "accepted are broad"),
        (("egg", "--thick", "44 mm"), "no amount is usual"),
        (("ribeye", "--thick", "30 mm", "--units", "cubits"), "metric, us"),
        (("ribeye", "--thick", "30 mm", "--chart", "salt.bmp"), "end the file name"),
    ],
)
def test_bad_answers_are_refused(words: tuple[str, ...], needed: str) -> None:
    refused(run("salt", *words), needed)


@settings(max_examples=40, deadline=None)
@given(st.dictionaries(st.sampled_from(["thick", "salt", "water", "hours", "mass", "bath", "state", "faces"]), TYPED))
def test_nothing_typed_crashes(answers: dict[str, str]) -> None:
    sound(run("salt", "ribeye", *(word for name, text in answers.items() for word in (f"--{name}={text}",))))


@settings(max_examples=15, deadline=None)
@given(st.floats(8, 80), st.floats(0.2, 3))
def test_thicker_waits_longer_whatever_the_dose(thick_mm: float, percent: float) -> None:
    thin, thick = (
        data_of("salt", "ribeye", "--thick", f"{mm:.2f} mm", "--salt", f"{percent:.2f}", "--bath", "1 h")["nominal"]
        for mm in (thick_mm, 1.5 * thick_mm)
    )
    assert thick["half_s"] == pytest.approx(2.25 * thin["half_s"], rel=0.01)  # time goes with thickness squared
