"""Readings from a logger's CSV text: what was understood is told before anything is kept, and can be overridden."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import numpy as np
from numpy.typing import NDArray

from corebath.heat.grid import Array, Indices
from corebath.units import mark
from corebath.units.factors import ABSOLUTE_ZERO_C, FAHRENHEIT_AT_0_C, FAHRENHEIT_PER_K

from .cook import Place
from .csv_columns import Roles, roles_of, unit_of_name
from .csv_table import DELIMITERS, Table, Unclear, decoded, is_nothing, table_of, unit_in, without_unit
from .csv_times import Times, numeric_times, written_times
from .gaps import Beat, beat_of
from .settings import settings
from .texts import limits

Raw = tuple[Array, NDArray[np.bool_]]
_UNIT_WORDS = {"C": "degrees Celsius", "F": "degrees Fahrenheit", "K": "kelvin"}


@dataclass(frozen=True, slots=True)
class Choices:
    """What the cook says of a file; every answer left out is found out, or asked for.

    unit : "C", "F" or "K";  expect_C : a temperature the bath should show, to tell C from F [degC]
    day_first : dates are written day before month;  zone : of times that name none
    start : the moment from which a file without dates counts
    elapsed_unit : "ms", "s", "min" or "h" of a column that counts from a start
    repeated : "first" or "second" for times in the hour that the clocks repeat
    bath, core : names of columns, or their numbers from 1;  of a file with a row for each sensor, names of sensors
    """

    unit: str = ""
    expect_C: float | None = None
    day_first: bool | None = None
    zone: ZoneInfo | None = None
    start: datetime | None = None
    elapsed_unit: str = ""
    repeated: str = ""
    bath: str = ""
    core: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """Readings of one place, in rising time; arrays of shape (n,), n >= 1.

    time_s : since 1970 in UTC when the file's times are real moments, else since its own zero [s]
    line : in which line of the file each stands, from 1;  value_C : [degC];  name : of the column
    beat : how often it reports
    """

    place: Place
    name: str
    time_s: Array
    value_C: Array
    line: Indices
    beat: Beat


@dataclass(frozen=True, slots=True)
class Understood:
    """A file as it was read.

    series : one for each place, the bath first;  absolute : its times are real moments
    sentences : what was understood, quantities as marks;  choices : those with which it was read
    """

    series: tuple[Series, ...]
    absolute: bool
    sentences: tuple[str, ...]
    choices: Choices

    def of(self, place: Place) -> Series | None:
        """The readings of a place, None when there are none."""
        return next((s for s in self.series if s.place is place), None)

    @property
    def first_s(self) -> float:
        """Time of the first reading, as in the series [s]."""
        return min(float(s.time_s[0]) for s in self.series)

    @property
    def last_s(self) -> float:
        """Time of the last reading, as in the series [s]."""
        return max(float(s.time_s[-1]) for s in self.series)

    @property
    def count(self) -> int:
        """Readings of all places."""
        return sum(s.time_s.size for s in self.series)


def read_csv(data: bytes | str, zone: ZoneInfo, choices: Choices | None = None) -> Understood:
    """Read a logger's file.

    data : its bytes or text, up to 50 MB and a million rows;  zone : the cook's, for times that name none

    Raises Unclear, a ValueError that asks one question, where the file can be read in two ways and no choice settles
    it; ValueError with one sentence where it cannot be read.
    """
    chosen = choices or Choices()
    table = table_of(decoded(data))
    roles = roles_of(table, chosen.bath, chosen.core)
    times = _times(table, roles, chosen.zone or zone, chosen)
    raw = {place: _numbers(table.columns[column]) for place, column in roles.places.items()}
    unit, how = _unit(table, roles, raw, chosen)
    told = [_shape(table), *times.said]
    value_s, absolute = times.value_s, times.absolute
    if not absolute and chosen.start is not None:
        value_s, absolute = value_s + chosen.start.timestamp(), True
    series = []
    for place, (numbers, broken) in raw.items():
        where = np.ones(value_s.size, dtype=bool) if not roles.rows else roles.rows[place]
        rows = np.flatnonzero(where)
        column = _Column(place, roles.names[place], table, roles.places[place], rows)
        one, said = _series(column, value_s[rows], numbers[rows], broken[rows], unit)
        series.append(one)
        told.append(f"{_subject(place, roles)} is read in {_UNIT_WORDS[unit]}{how}; {said}")
    told += roles.said
    understood = Understood(tuple(series), absolute, (), chosen)
    told.insert(1, _reach(understood, chosen.zone or zone))
    return Understood(tuple(series), absolute, tuple(told), chosen)


def _times(table: Table, roles: Roles, zone: ZoneInfo, chosen: Choices) -> Times:
    cells = table.columns[roles.time]
    name = table.names[roles.time]
    if roles.date is not None:
        cells = [f"{date} {clock}" for date, clock in zip(table.columns[roles.date], cells, strict=True)]
        found = None
    else:
        found = numeric_times(cells, name or f"column {roles.time + 1}", zone, chosen.elapsed_unit, chosen.repeated)
    if found is None:
        late = roles.elapsed or any(c.startswith(("0:00", "00:00")) for c in cells[:1])
        found = written_times(cells, zone, chosen.day_first, chosen.repeated, late)
    without = np.flatnonzero(~np.isfinite(found.value_s))
    if not without.size:
        return found
    first = _cell(table, roles.time, int(without[0]))
    if without.size > settings("csv_words")["limits"]["bad_share"] * found.value_s.size:
        raise ValueError(
            f"{without.size} of {found.value_s.size} rows have no time that makes sense: {first}. Put a time there, or "
            "take those lines out"
        )
    said = f"{_rows(without.size)} without a time left out: {first}."
    return Times(found.value_s, found.absolute, found.zoned, (*found.said, said))


def _numbers(cells: Sequence[str]) -> Raw:
    """The numbers of a column, nan where there is none, and which cells make no sense."""
    broken = np.zeros(len(cells), dtype=np.bool_)
    try:
        return np.array(cells, dtype=np.str_).astype(np.float64), broken
    except ValueError:
        pass
    out = np.full(len(cells), np.nan)
    for i, cell in enumerate(cells):
        try:
            out[i] = float(cell.replace(",", ".")) if "_" not in cell else np.nan
        except ValueError:
            if is_nothing(cell):
                continue
            try:
                out[i] = float(without_unit(cell).replace(",", "."))
            except ValueError:
                broken[i] = True
    return out, broken


def _unit(table: Table, roles: Roles, raw: dict[Place, Raw], chosen: Choices) -> tuple[str, str]:
    """The unit of the temperatures, and how it is known, in words."""
    if chosen.unit:
        if chosen.unit not in _UNIT_WORDS:
            raise ValueError(f"{chosen.unit[:10]!r} is no unit of temperature: take C, F or K")
        return chosen.unit, ", as you say"
    named = {unit_of_name(table.names[c]) for c in roles.columns} - {""}
    named |= {unit_in(c) for column in roles.columns for c in table.columns[column][:20]} - {""}
    if len(named) == 1:
        return named.pop(), ", as the file says"
    sense = 1.0 - settings("csv_words")["limits"]["bad_share"]
    fitting = []
    for unit in _UNIT_WORDS:
        fits = True
        for place, (numbers, _) in raw.items():
            low, high = _range_C(place)
            value = _in_C(numbers[np.isfinite(numbers)], unit)
            value = value[~np.isin(np.round(value, 2), _no_sensor(unit))]
            fits = fits and value.size > 0 and np.mean((value >= low) & (value <= high)) >= sense
        if fits:
            fitting.append(unit)
    if chosen.expect_C is not None and len(fitting) > 1:
        near = {u: _distance(raw, u, chosen.expect_C) for u in fitting}
        best = min(near, key=lambda u: near[u])
        if near[best] < 10 and all(near[u] > near[best] + 10 for u in fitting if u != best):
            return best, ", as only then it comes near the set point"
    if len(fitting) == 1:
        return fitting[0], ", as no other unit makes sense"
    if not fitting:
        raise ValueError("the temperatures make no sense for a water bath or a probe in °C, °F or kelvin")
    numbers = next(iter(raw.values()))[0]
    example = float(np.nanmedian(numbers))
    raise Unclear("unit", f"Is {example:g} in the file in degrees {' or '.join(fitting)}?", fitting)


def _no_sensor(unit: str) -> list[float]:
    """Figures that stand for a missing sensor, where they are in degC."""
    return list(settings("csv_words")["nothing"]["values_C"]) if unit == "C" else []


def _distance(raw: dict[Place, Raw], unit: str, expect_C: float) -> float:
    numbers = raw.get(Place.BATH, next(iter(raw.values())))[0]
    return abs(float(np.nanmedian(_in_C(numbers, unit))) - expect_C)


def _in_C(values: Array, unit: str) -> Array:
    if unit == "C":
        return values
    return values + ABSOLUTE_ZERO_C if unit == "K" else (values - FAHRENHEIT_AT_0_C) / FAHRENHEIT_PER_K


@dataclass(frozen=True, slots=True)
class _Column:
    """The cells of one place: its table, the column, and the rows that are its own."""

    place: Place
    name: str
    table: Table
    column: int
    rows: Indices

    def first(self, among: NDArray[np.bool_]) -> str:
        """The first of some cells with its line, in words."""
        return _cell(self.table, self.column, int(self.rows[np.flatnonzero(among)[0]]))


def _cell(table: Table, column: int, row: int) -> str:
    return f"line {table.lines[row]} says {table.columns[column][row][:40]!r}"


def _range_C(place: Place) -> tuple[float, float]:
    """What a thermometer there can read [degC]."""
    if place is Place.BATH:
        return limits().lowest_bath_C, limits().highest_bath_C
    low, high = settings("csv_words")["limits"]["probe_C"]
    return low, high


def _series(column: _Column, time_s: Array, numbers: Array, broken: NDArray[np.bool_], unit: str) -> tuple[Series, str]:
    """One series in rising time, and in words what was done to it."""
    place, (low, high) = column.place, _range_C(column.place)
    value = _in_C(numbers, unit)
    missing = np.isin(np.round(numbers, 2), _no_sensor(unit))
    given = (np.isfinite(value) | broken) & ~missing
    real = given & ~broken & (value >= low) & (value <= high)
    outside = given & ~real
    bad, count = int(np.count_nonzero(outside)), int(np.count_nonzero(given))
    if bad > settings("csv_words")["limits"]["bad_share"] * count:
        raise ValueError(
            f"{bad} of {count} readings of the {place.value} are no temperature between {mark(low, 'C')} and "
            f"{mark(high, 'C')}: {column.first(outside)}. Say which column or unit is meant, or take those lines out"
        )
    keep = real & np.isfinite(time_s)
    t, y, line = time_s[keep], value[keep], np.array(column.table.lines, dtype=np.intp)[column.rows[keep]]
    if t.size == 0:
        raise ValueError(f"no reading of the {place.value} was found")
    backwards = bool(np.sum(np.sign(np.diff(t))) < 0)
    if backwards:
        t, y, line = t[::-1], y[::-1], line[::-1]
    moved = int(np.count_nonzero(np.diff(t) < 0))
    order = np.argsort(t, kind="stable")
    t, y, line = t[order], y[order], line[order]
    fresh = np.append(True, np.diff(t) > 0)
    twice = int(t.size - np.count_nonzero(fresh))
    if twice:
        # Two values of one moment: the colder one counts, which is never too kind.
        starts = np.flatnonzero(fresh)
        t, y, line = t[starts], np.minimum.reduceat(y, starts), line[starts]
    beat = beat_of(t, y)
    said = [f"{_readings(t.size)}, {mark(round(float(y.min()), 1), 'C')} to {mark(round(float(y.max()), 1), 'C')}"]
    said.append(beat.words)
    left = outside | missing
    if left.any():
        said.append(f"{_rows(int(left.sum()))} with no real temperature left out ({column.first(left)})")
    said += [
        text
        for count, text in (
            (moved, f"{_rows(moved)} out of order put in order"),
            (twice, f"{_rows(twice)} of the same moment merged, the colder value kept"),
            (int(backwards), "the newest row stood first"),
        )
        if count
    ]
    return Series(place, column.name, t, y, line, beat), ", ".join(said) + "."


def _readings(count: int) -> str:
    return "1 reading" if count == 1 else f"{count} readings"


def _rows(count: int) -> str:
    return "1 row" if count == 1 else f"{count} rows"


def _subject(place: Place, roles: Roles) -> str:
    return f"The {place.value} (column {roles.names[place][:40]!r})"


def _shape(table: Table) -> str:
    comma = ", decimals with a comma" if table.decimal_comma else ""
    header = "" if table.has_header else ", without a line of names"
    dropped = f"; {_rows(table.left_out)} of another width left out" if table.left_out else ""
    return f"{_rows(table.rows)} with columns parted by {DELIMITERS[table.delimiter]}{comma}{header}{dropped}."


def _reach(found: Understood, zone: ZoneInfo) -> str:
    span = mark(round(found.last_s - found.first_s), "s")
    if not found.absolute:
        return f"The series is {span} long; the file does not say when it began."
    first, last = (datetime.fromtimestamp(s, UTC).astimezone(zone) for s in (found.first_s, found.last_s))
    return f"From {first:%H:%M:%S} on {_day(first)} to {last:%H:%M:%S} on {_day(last)}, {span}."


def _day(moment: datetime) -> str:
    return f"{moment:%A} {moment.day} {moment:%B %Y}"
