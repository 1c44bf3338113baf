"""Reading loggers' files: delimiters, decimals, units, columns, and what is told before anything is kept.

The files are our own, in the manners of spreadsheets and loggers of several countries.
"""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
import pytest
from tests.unit.log.traces import PARIS, as_csv, steady

from corebath.log.cook import Place
from corebath.log.csv_import import Choices, Understood, read_csv
from corebath.log.csv_table import Unclear


def read(text: str | bytes, choices: Choices | None = None) -> Understood:
    return read_csv(text, PARIS, choices)


def values(found: Understood, place: Place = Place.BATH) -> list[float]:
    series = found.of(place)
    assert series is not None
    return [round(float(v), 3) for v in series.value_C]


def test_a_plain_file_is_told_in_sentences() -> None:
    found = read("time,bath (C),core (C)\n2027-05-01 18:00:00,57.0,5.0\n2027-05-01 18:01:00,57.1,5.2\n")
    assert values(found) == [57.0, 57.1]
    assert values(found, Place.CORE) == [5.0, 5.2]
    assert found.absolute
    assert found.first_s == datetime(2027, 5, 1, 16, 0, tzinfo=UTC).timestamp()
    text = " ".join(found.sentences)
    for told in ("2 rows", "commas", "Europe/Paris", "'bath (C)'", "'core (C)'", "degrees Celsius", "2027", "{60|s}"):
        assert told in text


@pytest.mark.parametrize(
    ("text", "bath"),
    [
        ("Zeit;Wasser °C;Kern °C\n29.10.2027 18:00;57,0;5,0\n29.10.2027 18:01;57,1;5,2\n", [57.0, 57.1]),
        ("heure\teau (°C)\tcoeur (°C)\n2027-10-29 18:00\t57,5\t5\n2027-10-29 18:01\t57,4\t6\n", [57.5, 57.4]),
        ("fecha;hora;temperatura del agua (°C)\n29/10/2027;18:00;57,5\n29/10/2027;18:01;57,4\n", [57.5, 57.4]),
        ("data|ora|acqua °C\n2027/10/29|18.00|57.5\n2027/10/29|18.01|57.4\n", [57.5, 57.4]),
        ('"Time","Bath temp (F)"\n"29 Oct 2027 6:00 PM","134.6"\n"29 Oct 2027 6:01 PM","136.4"\n', [57.0, 58.0]),
        ('time,bath (C)\n2027-10-29 18:00,"57,5"\n2027-10-29 18:01,"57,4"\n', [57.5, 57.4]),
        ("sep=;\ntime;bath C\n2027-10-29 18:00;57.5\n2027-10-29 18:01;57.4\n", [57.5, 57.4]),
        ("時刻,水温 (℃)\n2027-10-29 18:00,57.5\n2027-10-29 18:01,57.4\n", [57.5, 57.4]),
        ("time,bath\n2027-10-29 18:00,57.5 °C\n2027-10-29 18:01,57.4 °C\n", [57.5, 57.4]),
        ("time,bath (K)\n2027-10-29 18:00,330.15\n2027-10-29 18:01,330.65\n", [57.0, 57.5]),
        ("2027-10-29T18:00:00Z;57.5C\n2027-10-29T18:01:00Z;57.4C\n", [57.5, 57.4]),
    ],
)
def test_manners_of_many_countries(text: str, bath: list[float]) -> None:
    assert values(read(text)) == bath


def test_encodings_of_spreadsheets() -> None:
    text = "Zeit;Wasser °C\n29.10.2027 18:00;57,0\n29.10.2027 18:01;57,1\n"
    for encoding in ("utf-8", "utf-8-sig", "utf-16", "cp1252"):
        assert values(read(text.encode(encoding))) == [57.0, 57.1], encoding


def test_lines_above_the_table_are_passed_over() -> None:
    rows = "1,2027-05-01 18:00,57.0,3.1\n2,2027-05-01 18:01,57.1,3.1\n"
    text = "Logger 7\nSerial: 00123\n\nNo.,Date/Time,Bath (°C),Battery (V)\n" + rows
    found = read(text)
    assert values(found) == [57.0, 57.1]
    assert "Not used" in " ".join(found.sentences)


def test_set_points_rooms_and_batteries_are_not_the_bath() -> None:
    text = (
        "time,target temp (C),water temp (C),room temp (C)\n2027-05-01 18:00,57,56.5,21\n2027-05-01 18:01,57,56.7,21\n"
    )
    assert values(read(text)) == [56.5, 56.7]


def test_one_unnamed_temperature_is_taken_as_the_bath_and_said() -> None:
    found = read("time,T1 (C)\n2027-05-01 18:00,57\n2027-05-01 18:01,57.1\n")
    assert "taken to be the bath" in " ".join(found.sentences)


def test_two_unnamed_temperatures_are_asked_about_and_can_be_chosen() -> None:
    text = "time,T1 (C),T2 (C)\n2027-05-01 18:00,57,5\n2027-05-01 18:01,57.1,6\n"
    with pytest.raises(Unclear) as asked:
        read(text)
    assert asked.value.field == "bath"
    assert asked.value.choices == ("T1 (C)", "T2 (C)")
    found = read(text, Choices(bath="T1 (C)", core="3"))
    assert values(found) == [57.0, 57.1]
    assert values(found, Place.CORE) == [5.0, 6.0]


def test_rows_for_each_sensor_are_parted() -> None:
    text = (
        "entity,state,last_changed\nsensor.bath,57.1,2027-10-30T10:00:00Z\nsensor.core,5.1,2027-10-30T10:00:01Z\n"
        "sensor.bath,57.2,2027-10-30T10:00:30Z\nsensor.core,5.3,2027-10-30T10:00:31Z\n"
        "sensor.bath,unavailable,2027-10-30T10:01:30Z\n"
    )
    found = read(text)
    assert values(found) == [57.1, 57.2]
    assert values(found, Place.CORE) == [5.1, 5.3]


def test_a_bare_number_that_could_be_either_unit_is_asked_about() -> None:
    text = "time,bath\n2027-05-01 18:00,57\n2027-05-01 18:01,57.1\n"
    with pytest.raises(Unclear) as asked:
        read(text)
    assert asked.value.field == "unit"
    assert asked.value.choices == ("C", "F")
    assert values(read(text, Choices(unit="C"))) == [57.0, 57.1]
    assert values(read(text, Choices(expect_C=57.0))) == [57.0, 57.1]
    assert values(read(text, Choices(unit="F"))) == [13.889, 13.944]


def test_only_the_unit_that_makes_sense_is_taken() -> None:
    assert values(read("time,bath\n2027-05-01 18:00,134.6\n2027-05-01 18:01,136.4\n")) == [57.0, 58.0]
    assert values(read("time,bath\n2027-05-01 18:00,330.15\n2027-05-01 18:01,331.15\n")) == [57.0, 58.0]
    assert values(read("time,bath\n2027-05-01 18:00,15\n2027-05-01 18:01,57\n")) == [15.0, 57.0]


def test_missing_values_and_faults_of_the_sensor_are_left_out_and_counted() -> None:
    rows = [f"2027-05-01 18:{i:02d},{v}" for i, v in enumerate(["57.0", "", "NaN", "-127.0", "57.1", "57.2", "57.1"])]
    found = read("\n".join(["time,bath (C)", *rows]))
    assert values(found) == [57.0, 57.1, 57.2, 57.1]
    assert "1 row with no real temperature left out (line 5 says '-127.0')" in " ".join(found.sentences)


def test_a_missing_sensor_and_a_sparse_odd_row_do_not_spoil_a_file() -> None:
    """One row in five, two at which the sensor was not there, and readings that are no water's: left out and named."""
    lines = ["time,bath (C)", *(f"2027-05-01 18:0{i},{v}" for i, v in enumerate(["57", "-127", "57", "57", "57"]))]
    assert values(read("\n".join(lines))) == [57.0] * 4
    lines += ["", *(f"2027-05-01 18:1{i},{v}" for i, v in enumerate(["-127", "57", "149", "57", "57"]))]
    found = read("\n".join(lines))
    assert values(found) == [57.0] * 7
    bath = found.of(Place.BATH)
    assert bath is not None
    assert bath.line.tolist() == [2, 4, 5, 6, 9, 11, 12]
    assert "3 rows with no real temperature left out (line 3 says '-127')" in " ".join(found.sentences)


@pytest.mark.parametrize("value", ["149", "-20"])
def test_a_bath_that_is_no_water_is_refused_with_its_row(value: str) -> None:
    rows = "".join(f"2027-05-01 18:{i:02d},{value}\n" for i in range(20))
    with pytest.raises(
        ValueError, match=f"20 of 20 readings of the bath .* line 2 says '{value}'.* take those lines out"
    ):
        read("time,bath (C)\n" + rows)


def test_a_cell_that_is_no_time_is_named_with_its_line() -> None:
    text = "time,bath (C)\n2027-05-01 18:00,57\nyesterday,57\n2027-05-01 18:20,57\n"
    with pytest.raises(ValueError, match="line 3 of the file says 'yesterday' where a time should stand"):
        read(text)
    many = "".join(f"2027-05-01 18:{i:02d},57\n" for i in range(20))
    assert "1 row without a time left out: line 22 says 'yesterday'" in " ".join(
        read("time,bath (C)\n" + many + "yesterday,57\n").sentences
    )
    with pytest.raises(ValueError, match="6 of 26 rows have no time that makes sense: line 22 says 'soon'"):
        read("time,bath (C)\n" + many + "soon,57\n" * 6)


def test_rows_out_of_order_and_twice() -> None:
    order = [0, 2, 1, 3, 3, 4, 5, 6]
    rows = [f"2027-05-01 18:{m:02d},{57 + 0.1 * i:.1f}" for i, m in enumerate(order)]
    found = read("\n".join(["time,bath (C)", *rows]))
    bath = found.of(Place.BATH)
    assert bath is not None
    assert np.all(np.diff(bath.time_s) > 0)
    assert bath.value_C[3] == pytest.approx(57.3)  # the colder of the two values of 18:03
    text = " ".join(found.sentences)
    assert "1 row out of order" in text
    assert "the colder value kept" in text


def test_newest_first_is_turned_round() -> None:
    pair = steady(57.0, 1.0)
    lines = as_csv(pair).splitlines()
    assert values(read("\n".join([lines[0], *reversed(lines[1:])]))) == values(read("\n".join(lines)))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "empty"),
        ("hello world", "columns"),
        ("a,b\n1,2\n", "time"),
        ("time,temp\n12:00,57,3\n12:01,57,4\n12:02,57,4\n", "semicolons"),
        ("date,bath (C)\n2027-05-01,57\n2027-05-02,57\n", "time of day"),
        ("time,bath (C)\n2027-05-01 18:00,5700\n2027-05-01 18:01,5710\n", "no temperature"),
        ("time,bath\n2027-05-01 18:00,5700\n2027-05-01 18:01,5710\n", "no sense"),
        ("\x00\x01,\x02", "no text file"),
    ],
)
def test_refusals_are_one_sentence(text: str, words: str) -> None:
    with pytest.raises(ValueError, match=words) as refused:
        read(text)
    assert "\n" not in str(refused.value)


def test_limits_of_size() -> None:
    with pytest.raises(ValueError, match="MB"):
        read("x" * 50_000_001)
    with pytest.raises(ValueError, match="columns"):
        read("\n".join([",".join(["1"] * 100)] * 3))


def test_a_choice_that_is_not_in_the_file_is_refused_with_what_is() -> None:
    with pytest.raises(ValueError, match="the file has bath"):
        read("time,bath (C)\n2027-05-01 18:00,57\n2027-05-01 18:01,57\n", Choices(core="pot"))
