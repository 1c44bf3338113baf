"""Whatever is typed, a parser understands it or refuses it in one sentence; no other error, and soon."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, date, datetime
from functools import partial
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.fuzz.typed import ODD, answers, text

from corebath.ask import buying, buying_words, ends, sizes
from corebath.ask.batch import understand_batch
from corebath.ask.batch_file import example_file as example_batch
from corebath.ask.batch_file import read_batch
from corebath.ask.batch_lists import parse_pieces, parse_portions
from corebath.ask.batch_question import LOT, BatchQuestion
from corebath.ask.batch_question import TOP as BATCH
from corebath.ask.bath import BathQuestion, parse_night, understand_bath
from corebath.ask.degrees import parse_degrees
from corebath.ask.equipment import parse_ice
from corebath.ask.gear_form import answers_of, understand_gear
from corebath.ask.menu import understand_menu
from corebath.ask.menu_file import example_file as example_menu
from corebath.ask.menu_file import read_menu, write_menu
from corebath.ask.menu_question import KINDS, KITCHEN, MenuQuestion
from corebath.ask.menu_question import TOP as MENU
from corebath.ask.moment import parse_past
from corebath.ask.poster import PosterQuestion, understand_poster
from corebath.ask.question import Question
from corebath.ask.records import RecordQuestion, number_of, parse_moment, understand_days, understand_record
from corebath.ask.tables import read_tables
from corebath.ask.understand import Misunderstood, parse_percent, understand
from corebath.ask.when import parse_ahead, parse_when, parse_zone
from corebath.log.csv_import import read_csv
from corebath.log.demo import demo_kitchen
from corebath.log.errors import Malformed
from corebath.log.ingest import readings_of
from corebath.log.words import hear
from corebath.units import (
    METRIC,
    parse_duration,
    parse_length,
    parse_mass,
    parse_money,
    parse_power,
    parse_temperature,
    parse_temperature_difference,
    parse_volume,
    render,
)

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 3, 12, 11, 0, tzinfo=UTC)
HOME = demo_kitchen(PARIS)
EXAMPLES = int(os.environ.get("FUZZ_EXAMPLES", "0"))

# Parser, and the answer whose good words it gets.
TEXTS: dict[str, tuple[Callable[[str], object], str]] = {
    "temperature": (partial(parse_temperature, prefer="C"), "want"),
    "degrees": (lambda t: parse_degrees("set", t, None), "want"),
    "difference": (partial(parse_temperature_difference, prefer="C"), "probe"),
    "length": (parse_length, "thick"),
    "mass": (parse_mass, "mass"),
    "volume": (partial(parse_volume, prefer="L"), "litres"),
    "duration": (parse_duration, "bath"),
    "power": (parse_power, "heater-power"),
    "money": (partial(parse_money, prefer="EUR"), "price"),
    "percent": (parse_percent, "salt"),
    "share": (partial(sizes.parse_share, "a humidity"), "humidity"),
    "when": (partial(parse_when, now=NOW, zone=PARIS), "eat"),
    "ahead": (partial(parse_ahead, now=NOW, zone=PARIS), "eat"),
    "zone": (parse_zone, "zone"),
    "past": (partial(parse_past, now=NOW, zone=PARIS), "at"),
    "moment": (partial(parse_moment, now=NOW, zone=PARIS), "measured"),
    "night": (parse_night, "asleep"),
    "pieces": (lambda t: parse_pieces(t, METRIC), "thick"),
    "portions": (lambda t: parse_portions(t, date(2027, 3, 14), 6, date(2027, 3, 14)), "days"),
    "party": (buying_words.parse_party, "eaters"),
    "price": (lambda t: buying_words.parse_price(t, METRIC, "EUR"), "paid"),
    "offers": (lambda t: buying_words.parse_offers(t, METRIC, "EUR"), "paid"),
    "ice": (lambda t: parse_ice(t, METRIC), "ice"),
    "vessel": (lambda t: sizes.parse_vessel(t, "", METRIC), "vessel-size"),
    "heater": (lambda t: sizes.parse_heater(t, "9 cm to 12 cm", METRIC), "heater-power"),
    "marks": (lambda t: sizes.parse_heater("1 kW", t, METRIC), "heater-marks"),
    "number": (lambda t: number_of(t, "a row"), "revision"),
    "days": (lambda t: understand_days(t, "", NOW, PARIS), "from"),
    "what was thought": (hear, "note"),
    "logger's file": (lambda t: read_csv(t, PARIS), "measured"),
    "logger's post": (lambda t: readings_of(t, received_at=NOW, source="http"), "value"),
    "menu file": (read_menu, "food"),
    "batch file": (read_batch, "food"),
    "tables of a file": (lambda t: read_tables(t, "menu"), "food"),
    "words with quantities": (lambda t: render(t, METRIC), "food"),
}
# What turns a whole question into a request, and the names of its answers.
QUESTIONS: dict[str, tuple[Callable[[dict[str, str]], object], tuple[str, ...]]] = {
    "plan": (lambda a: understand(Question.of(a), NOW, HOME), Question.names()),
    "poster": (lambda a: understand_poster(PosterQuestion.of(a), HOME, waits=True), PosterQuestion.names()),
    "bath": (lambda a: understand_bath(BathQuestion.of(a), NOW, HOME), BathQuestion.names()),
    "buying": (lambda a: buying.understand_buy(buying.BuyQuestion.of(a), NOW, HOME), buying.BuyQuestion.names()),
    "salt": (lambda a: ends.understand_salt(ends.EndQuestion.of(a), HOME), ends.EndQuestion.names()),
    "sear": (lambda a: ends.understand_sear(ends.EndQuestion.of(a), HOME), ends.EndQuestion.names()),
    "chill": (lambda a: ends.understand_chill(ends.EndQuestion.of(a), HOME), ends.EndQuestion.names()),
    "keep": (lambda a: ends.understand_keep(ends.EndQuestion.of(a), NOW, HOME), ends.EndQuestion.names()),
    "reheat": (lambda a: ends.understand_reheat(ends.EndQuestion.of(a), HOME), ends.EndQuestion.names()),
    "story": (lambda a: ends.understand_story(ends.EndQuestion.of(a), HOME), ends.EndQuestion.names()),
    "record": (lambda a: understand_record(RecordQuestion.of(a), NOW, HOME), RecordQuestion.names()),
    "gear": (
        lambda a: understand_gear(a, HOME),
        (*answers_of(HOME), "ice", "boiling", "vessel-name", "vessel-size", "vessel-wall", "heater-name",
         "heater-power", "heater-marks", "remove-vessel", "usual-vessel", "remove-heater", "usual-heater"),
    ),
    "batch": (
        lambda a: understand_batch(BatchQuestion.of(a.items()), NOW, HOME),
        (*BATCH, *(f"l{n}.{name}" for n in (1, 2) for name in LOT)),
    ),
    "menu": (
        lambda a: understand_menu(MenuQuestion.of(a.items()), NOW, HOME),
        (*MENU, *KITCHEN, *(f"{k.letter}{n}.{name}" for k in KINDS for n in (1, 2) for name in k.accepted)),
    ),
}  # fmt: skip


def refused_well(said: str) -> None:
    """A refusal is a sentence: some words on one line, and not what the machine calls it."""
    assert said.strip()
    assert "\n" not in said
    assert len(said) < 1500  # a file may have several mistakes
    assert "Traceback" not in said
    assert "Error" not in said.replace("<", " ").split(" ")[0]
    render(said, METRIC)


@pytest.mark.parametrize("name", TEXTS)
def test_any_answer_is_read_or_refused_in_a_sentence(name: str) -> None:
    parse, answer = TEXTS[name]

    @settings(max_examples=EXAMPLES or 80)
    @given(st.one_of(answers(answer), st.lists(answers(answer), max_size=4).map(", ".join), text()))
    def one(typed: str) -> None:
        try:
            parse(typed)
        except Misunderstood as error:
            for sentence in error.sentences.values():
                refused_well(sentence)
        except UnicodeError:
            raise
        except (ValueError, Malformed) as error:
            refused_well(str(error))

    one()
    for typed in ODD:
        one.hypothesis.inner_test(typed)  # type: ignore[attr-defined]


@pytest.mark.parametrize("name", QUESTIONS)
def test_any_question_is_understood_or_every_mistake_has_its_sentence(name: str) -> None:
    ask, names = QUESTIONS[name]
    given_answers = st.fixed_dictionaries({}, optional={answer: answers(answer) for answer in names})

    @settings(max_examples=EXAMPLES or 40)
    @given(given_answers)
    def one(typed: dict[str, str]) -> None:
        try:
            ask(typed)
        except Misunderstood as error:
            for sentence in error.sentences.values() or [""]:
                refused_well(sentence)

    one()


TOML_BITS = st.sampled_from(
    [
        "[[courses]]\n", "[[dishes]]\n", "[[lot]]\n", "[x]\n", 'food = "salmon"\n', "food = 3\n", "eat = 19:30:00\n",
        "eat = 2027-03-14T19:30:00\n", "thick = [1, 2]\n", "dishes = 3\n", 'name = "a"\n', "pans = -1\n", "\x00",
        "food = {}\n", "zone = 1e400\n", 'a.b.c = "d"\n', "= \n", '"""', "# \n", "pieces = 2\n", "mass = inf\n",
    ]
)  # fmt: skip


@pytest.mark.parametrize("kind", ["menu", "batch"])
def test_any_file_is_a_question_or_refused_in_a_sentence(kind: str) -> None:
    read: Callable[[str], object] = read_menu if kind == "menu" else read_batch
    example = example_menu() if kind == "menu" else example_batch()

    @settings(max_examples=EXAMPLES or 80)
    @given(
        st.one_of(
            st.lists(TOML_BITS, max_size=8).map("".join),
            st.tuples(st.integers(0, len(example)), text(12)).map(
                lambda at: example[: at[0]] + at[1] + example[at[0] :]
            ),
            st.tuples(st.integers(0, len(example)), st.integers(0, 40)).map(
                lambda cut: example[: cut[0]] + example[cut[0] + cut[1] :]
            ),
        )
    )
    def one(file: str) -> None:
        try:
            question = read(file)
        except ValueError as error:
            refused_well(str(error))
            return
        if isinstance(question, MenuQuestion):
            assert read_menu(write_menu(question)) == question

    one()


@settings(max_examples=EXAMPLES or 60)
@given(st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | text(20),
    lambda inner: st.lists(inner, max_size=3)
    | st.dictionaries(st.sampled_from(["core", "bath", "t", "unit", "x"]), inner, max_size=4),
    max_leaves=8,
))  # fmt: skip
def test_any_post_of_a_logger_is_readings_or_refused(payload: object) -> None:
    try:
        for reading in readings_of(payload, received_at=NOW, source="http"):
            assert -300 < reading.value_C < 400
    except ValueError as error:
        refused_well(str(error))


def test_the_fuzzed_parsers_are_all_there_are() -> None:
    """A parser that is added to `ask` or `units` gets its place above."""
    here = Path(__file__).read_text()
    for room in ("ask", "units"):
        for file in Path("src/corebath", room).glob("*.py"):
            for line in file.read_text().splitlines():
                if line.startswith(("def parse_", "def understand_", "def read_")):
                    name = line.split("(")[0].removeprefix("def ")
                    assert name in here or name in LEFT, name


# Asked through others: a menu's shopping list is read as a menu and a purchase, an action needs a row of the store.
LEFT = {"understand_menu_buy", "understand_action"}
