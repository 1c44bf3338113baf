"""Any text either reads or is refused in one sentence, and what reads obeys the order of time."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.unit.log.traces import PARIS

from corebath.log.csv_import import Choices, read_csv

CELLS = st.sampled_from(
    [
        "57.1", "57,1", "-18", "0", "1e3", "nan", "", "-127", "12:00", "12:01:05", "24:61", "2027-05-01",
        "2027-05-01 18:00",
        "31/12/2027 23:59", "2/3/27 5:05 PM", "29.02.2027 10:00", "1793000000", "46324.75", "time", "bath (C)", "core",
        "Zeit", "temp", "°C", '"', "'", "x" * 300, "2027-10-31 02:30", "99999999999999999999", "inf", "١٢", "½",
        "1_000",
    ]
)  # fmt: skip
TABLES = st.builds(
    lambda rows, sep, end: end.join(sep.join(row) for row in rows),
    st.lists(st.lists(CELLS, min_size=1, max_size=5), max_size=12),
    st.sampled_from([",", ";", "\t", "|", " "]),
    st.sampled_from(["\n", "\r\n", "\r"]),
)
CHOICES = st.builds(
    Choices,
    unit=st.sampled_from(["", "C", "F", "K", "R"]),
    day_first=st.sampled_from([None, True, False]),
    elapsed_unit=st.sampled_from(["", "s", "ms"]),
    repeated=st.sampled_from(["", "first"]),
    bath=st.sampled_from(["", "2", "bath (C)", "0"]),
)


def holds(data: bytes | str, choices: Choices | None = None) -> None:
    try:
        found = read_csv(data, PARIS, choices)
    except ValueError as refused:
        text = str(refused)
        assert text
        assert "\n" not in text
        assert len(text) < 600
        return
    assert found.sentences
    for series in found.series:
        assert series.time_s.size >= 1
        assert np.all(np.diff(series.time_s) > 0)
        assert np.all(np.isfinite(series.time_s))
        assert np.all((series.value_C >= -60) & (series.value_C <= 150))


@settings(max_examples=400, deadline=None)
@given(TABLES, CHOICES)
def test_tables_of_odd_cells(text: str, choices: Choices) -> None:
    holds(text, choices)


@settings(max_examples=200, deadline=None)
@given(st.text(max_size=300))
def test_any_text(text: str) -> None:
    holds(text)


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=300))
def test_any_bytes(data: bytes) -> None:
    holds(data)


@settings(max_examples=100, deadline=None)
@given(st.lists(st.tuples(st.integers(0, 10**6), st.floats(-1, 101)), min_size=2, max_size=60))
def test_a_good_table_reads(rows: list[tuple[int, float]]) -> None:
    text = "\n".join(["elapsed (s);bath (C)", *(f"{t};{y:.3f}".replace(".", ",") for t, y in rows)])
    found = read_csv(text, PARIS)
    assert found.count == len({t for t, _ in rows})
