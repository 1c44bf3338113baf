"""A batch as a file and as an address, and what is told of answers that are not clear."""

from __future__ import annotations

from contextlib import suppress
from datetime import datetime
from urllib.parse import parse_qsl
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from corebath.ask.batch import understand_batch
from corebath.ask.batch_file import example_file, read_batch
from corebath.ask.batch_question import LOT, TOP, BatchQuestion, LotRow, Top
from corebath.ask.understand import Misunderstood
from corebath.log.gear import Kitchen

PARIS = ZoneInfo("Europe/Paris")
NOW = datetime(2027, 3, 5, 9, 0, tzinfo=PARIS)
KITCHEN = Kitchen(zone=PARIS)
LOTROW = LotRow(food="chicken breast", thick="38 mm x10", want="62 C")


def told(top: dict[str, str], *lots: LotRow) -> dict[str, str]:
    with pytest.raises(Misunderstood) as caught:
        understand_batch(BatchQuestion(Top(**top), lots), NOW, KITCHEN)
    for sentence in caught.value.sentences.values():
        assert sentence[0] == sentence[0].upper()
        assert sentence.endswith((".", "?"))
    return caught.value.sentences


def test_the_example_is_understood() -> None:
    batch = understand_batch(read_batch(example_file()), NOW, KITCHEN)
    assert [lot.name for lot in batch.lots] == ["chicken breast", "ribeye"]
    assert batch.fridge_C == 4.0
    assert batch.lots[0].pieces[0].mass_kg == pytest.approx(0.32)
    assert batch.lots[1].request.bath_s == 3600.0
    assert [p.count for p in batch.lots[0].eaten] == [2] * 5
    assert batch.start == datetime(2027, 3, 7, 14, 0, tzinfo=PARIS)


def test_a_file_and_its_address_mean_the_same() -> None:
    question = read_batch(example_file())
    assert BatchQuestion.of(parse_qsl(question.query(), keep_blank_values=True)) == question


def test_toml_values_stand_as_they_would_be_typed() -> None:
    question = read_batch('begin = 2027-03-07T14:00:00\nat = 12:30:00\n[[lot]]\npieces = 3\nfood = "cod"\n')
    assert question.top.begin == "2027-03-07T14:00"
    assert question.top.at == "12:30"
    assert question.lots[0].pieces == "3"


@pytest.mark.parametrize(
    ("text", "field", "says"),
    [
        ("a = ", "file", "Line 1 of the batch file"),
        ("begin = 'x'\n\n[[lot]\n", "file", "Line 3 of the batch file"),
        ("lot = 3", "lot", "[[lot]]"),
        ("[lot]\nfood = 'cod'", "lot", "[[lot]]"),
        ("foods = 'cod'", "foods", "no key of the batch"),
        ("[[lot]]\nfood = true", "l1.food", "text in quotes"),
        ("[[lot]]\nfood = ['a']", "l1.food", "text in quotes"),
        ("[[lot]]\nfood = 'cod'\ncolour = 'red'", "l1.colour", "no key of food 1 (cod)"),
        ("x" * 70_000, "file", "characters at most"),
    ],
)
def test_a_file_that_is_not_clear_says_where(text: str, field: str, says: str) -> None:
    with pytest.raises(Misunderstood) as caught:
        read_batch(text)
    assert says.casefold() in caught.value.sentences[field].casefold()


def test_every_unclear_answer_is_told_at_once_and_names_its_food() -> None:
    said = told(
        {"begin": "soon", "fridge": "40 C", "order": "none", "ice": "?", "at": "noonish"},
        LotRow(food="chikn", thick="38 mm"),
        LotRow(food="ribeye", thick="3 m x2", want="blue cheese", days="someday", reheat="200 C"),
    )
    assert {"begin", "fridge", "order", "ice", "at", "l1.food", "l2.thick", "l2.want"} <= said.keys()
    assert said["l1.food"].startswith("Chikn: ")
    assert said["l2.thick"].startswith("Ribeye: ")


@pytest.mark.parametrize(
    ("top", "lots", "field", "says"),
    [
        ({}, (LOTROW,), "begin", "Say when you begin"),
        ({"begin": "Sun 14:00", "done": "Sun 19:00"}, (LOTROW,), "done", "not both"),
        ({"begin": "Sun 14:00"}, (), "food", "at least one food"),
        ({"begin": "Sun 14:00"}, (LOTROW,) * 2, "l2.name", "has this name already"),
        ({"begin": "Sun 14:00"}, (LOTROW,) * 13, "food", "at most 12 foods"),
        ({"begin": "Sun 14:00"}, (LOTROW.changed(thick=""),), "l1.thick", "how thick"),
        ({"begin": "Sun 14:00"}, (LOTROW.changed(pieces="4"),), "l1.pieces", "4 pieces are named, and 10"),
        ({"begin": "Sun 14:00"}, (LOTROW.changed(pieces="some"),), "l1.pieces", "whole number"),
        ({"begin": "Sun 14:00"}, (LOTROW.changed(mass="1 kg", total="1 kg"),), "l1.total", "not both"),
        ({"begin": "Sun 14:00"}, (LOTROW.changed(total="1 g"),), "l1.total", "one piece must weigh"),
        ({"begin": "Sun 14:00", "days": "Mon 12"}, (LOTROW,), "l1.days", "12 portions are eaten and 10 cooked"),
        ({"begin": "Sun 14:00", "zone": "Mars"}, (LOTROW,), "zone", "no time zone"),
        ({"begin": "Sun 14:00", "rules": "XX"}, (LOTROW,), "rules", "accepted are US, UK, AU"),
        ({"begin": "Sun 14:00", "vessel": "26 cm x 18 cm"}, (LOTROW,), "heater", "which heater"),
        ({"begin": "Sun 14:00", "water": "900 L"}, (LOTROW,), "water", "ice bath takes"),
        ({"begin": "Sun 14:00"}, (LOTROW.changed(thick="60 mm x6 overlapping"),), "l1.thick", "in all"),
    ],
)
def test_wrong_answers_are_told_under_their_name(
    top: dict[str, str], lots: tuple[LotRow, ...], field: str, says: str
) -> None:
    assert says in told(top, *lots)[field]


def test_the_whole_batch_hands_its_answers_down() -> None:
    lots = (LOTROW, LotRow(food="salmon", thick="25 mm", want="52 C", guests="risk", days="Tue"))
    question = BatchQuestion(Top(begin="Sun 14:00", days="Mon", rules="uk"), lots)
    batch = understand_batch(question, NOW, KITCHEN)
    assert [lot.request.guests_at_risk for lot in batch.lots] == [False, True]
    assert {lot.request.authority.value for lot in batch.lots} == {"UK"}
    assert [lot.eaten[0].day.day for lot in batch.lots] == [8, 9]


def test_rows_are_added_and_taken_off_and_nothing_else_changes() -> None:
    question = read_batch(example_file())
    assert len(question.more().lots) == 3
    assert question.more().without("3") == question
    assert question.without("9") == question
    assert question.without("1").lots == question.lots[1:]


@given(
    st.dictionaries(st.sampled_from(TOP), st.text(max_size=20), max_size=6),
    st.lists(st.dictionaries(st.sampled_from(LOT), st.text(max_size=20), max_size=6), max_size=3),
)
def test_whatever_is_typed_is_understood_or_told(top: dict[str, str], rows: list[dict[str, str]]) -> None:
    question = BatchQuestion(Top(**top), tuple(LotRow(**row) for row in rows))
    with suppress(Misunderstood):
        assert understand_batch(question, NOW, KITCHEN).lots


@pytest.mark.parametrize("field", ["begin", "done"])
def test_a_batch_may_begin_or_be_done_so_many_hours_from_now(field: str) -> None:
    batch = understand_batch(BatchQuestion(Top(**{field: "in 30 hours"}), (LOTROW,)), NOW, KITCHEN)
    assert (batch.start or batch.done_by) == datetime(2027, 3, 6, 15, 0, tzinfo=PARIS)


def test_the_days_of_a_batch_are_read_in_the_words_of_table_times() -> None:
    rows = [LOTROW.changed(days=days) for days in ("Mon to Fri", "Mo bis Fr", "lundi au vendredi", "lunes a viernes")]
    eaten = [
        understand_batch(BatchQuestion(Top(begin="Sun 14:00"), (row,)), NOW, KITCHEN).lots[0].eaten for row in rows
    ]
    assert [p.count for p in eaten[0]] == [2] * 5
    assert eaten == [eaten[0]] * 4
