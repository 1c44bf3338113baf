"""Which column is the time, which the bath, which the core."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from .cook import Place
from .csv_table import Table, Unclear, folded, is_nothing, is_number, is_time_like, unit_in
from .csv_times import unit_of_time
from .settings import settings

_LOOKED_AT = 200
_MOST_SENSORS = 8


@dataclass(frozen=True, slots=True)
class Roles:
    """What each column is.

    time : column of the clock, the moment or the time since a start;  date : of the date, when it stands apart
    elapsed : the time's name says that it counts from a start
    places : column of each place;  names : what the file calls it
    rows : rows of each place in a file with one row for each sensor; empty otherwise
    said : what was taken for granted, one sentence each
    """

    time: int
    date: int | None
    elapsed: bool
    places: dict[Place, int]
    names: dict[Place, str]
    rows: dict[Place, NDArray[np.bool_]] = field(default_factory=dict)
    said: tuple[str, ...] = ()

    @property
    def columns(self) -> tuple[int, ...]:
        """Columns of temperatures."""
        return tuple(dict.fromkeys(self.places.values()))


def roles_of(table: Table, bath: str, core: str) -> Roles:
    """The roles of a table's columns.

    bath, core : names or numbers as the cook says, "" to find out.  Raises Unclear where several columns could be the
    bath, ValueError where no time or no temperature is found.
    """
    kinds = [_kind(name, column) for name, column in zip(table.names, table.columns, strict=True)]
    time, date, elapsed = _time_column(table, kinds)
    left = [i for i in range(len(kinds)) if i not in (time, date)]
    numeric = [i for i in left if _mostly_numbers(table.columns[i])]
    sensors = _sensor_column(table, left, numeric)
    if sensors is not None:
        return _by_rows(table, sensors, numeric, kinds, time, date, elapsed, bath, core)
    chosen = {place: _chosen(table, text, numeric) for place, text in ((Place.BATH, bath), (Place.CORE, core)) if text}
    places = dict(chosen)
    said: list[str] = []
    for place, kind in ((Place.BATH, "bath"), (Place.CORE, "core")):
        named = [i for i in numeric if kinds[i] == kind and i not in places.values()]
        if place not in places and len(named) == 1:
            places[place] = named[0]
        elif place not in places and len(named) > 1:
            raise Unclear(place.value, _which(place, table, named), [_name(table, i) for i in named])
    free = [i for i in numeric if kinds[i] in ("temperature", "") and i not in places.values()]
    if not places:
        likely = [i for i in free if kinds[i] == "temperature"] or free
        if not likely:
            raise ValueError("no column of temperatures was found")
        if len(likely) > 1:
            raise Unclear("bath", _which(Place.BATH, table, likely), [_name(table, i) for i in likely])
        places[Place.BATH] = likely[0]
        said.append(f"Column {_name(table, likely[0])!r} is taken to be the bath, as nothing says that it is the core.")
    unused = [i for i in left if i not in places.values()]
    if unused:
        said.append(f"Not used: {', '.join(repr(_name(table, i)) for i in unused[:8])}.")
    ordered = {place: places[place] for place in Place if place in places}
    ordered = dict(sorted(ordered.items(), key=lambda item: item[0] is not Place.BATH))
    names = {place: _name(table, i) for place, i in ordered.items()}
    return Roles(time, date, elapsed, ordered, names, said=tuple(said))


def unit_of_name(name: str) -> str:
    """C, F or K when a column's name says so, else ""."""
    words = folded(name).replace("deg ", "deg").split()
    units = settings("csv_words")["unit"]
    for unit in ("C", "F", "K"):
        if any(word in units[unit] for word in words):
            return unit
    return ""


def _kind(name: str, cells: Sequence[str]) -> str:
    """What a name says: date, time, moment, elapsed, bath, core, wanted, other, temperature, or "" for nothing."""
    plain = folded(name)
    if not plain:
        return ""
    words = settings("csv_words")["column"]
    bare = " ".join(w for w in plain.split() if w not in _units())
    parts = [part for part in bare.split() if len(part) > 1]
    if bare in ("t", "") and unit_of_time(name) and not unit_of_name(name):
        return "elapsed"
    hot = any(_fits(word, text) for word in words["temperature"] for text in (bare, *parts))
    for kind in ("moment", "date", "time", "elapsed", "wanted", "other", "core", "bath"):
        if any(_fits(word, text) for word in words[kind] for text in {plain, bare}):
            return kind
    loosely: tuple[str, ...] = ("wanted", "other", "core", "bath")
    for kind in loosely if hot else (*loosely, "elapsed", "moment", "date", "time"):
        if any(_fits(word, part) for word in words[kind] for part in parts):
            return kind
    return "temperature" if hot or unit_of_name(name) or any(unit_in(c) for c in cells[:5]) else ""


@cache
def _units() -> frozenset[str]:
    units = settings("csv_words")["unit"]
    return frozenset(w for key in ("C", "F", "K", "ms", "s", "min", "h") for w in units[key])


def _fits(word: str, text: str) -> bool:
    if word.endswith("*"):
        stem = word[:-1]
        return text.startswith(stem) if stem.isascii() else stem in text
    return text == word


def _time_column(table: Table, kinds: Sequence[str]) -> tuple[int, int | None, bool]:
    """Columns of time and of a date that stands apart, and whether the time counts from a start."""
    count = len(kinds)
    written = [i for i in range(count) if _mostly_times(table.columns[i])]
    dated = [i for i in written if _has_date(table.columns[i])]
    if len(dated) and (whole := [i for i in dated if _has_clock(table.columns[i])]):
        named = [i for i in whole if kinds[i] in ("moment", "time", "date")]
        return (named or whole)[0], None, False
    clocks = [i for i in written if i not in dated]
    if dated and not clocks:
        # A clock with a point, 18.05, looks like a number.
        clocks = [
            i for i in range(count) if kinds[i] == "time" and i not in dated and _mostly_numbers(table.columns[i])
        ]
    if dated and clocks:
        return clocks[0], dated[0], False
    if clocks:
        return clocks[0], None, kinds[clocks[0]] == "elapsed"
    numeric = [i for i in range(count) if _mostly_numbers(table.columns[i])]
    counted = [i for i in numeric if _is_epoch(table.columns[i])]
    if counted:
        return counted[0], None, False
    for kind in ("moment", "elapsed", "time", "date"):
        named = [i for i in numeric if kinds[i] == kind]
        if named:
            return named[0], None, kind == "elapsed"
    rising = [i for i in numeric if kinds[i] == "" and _rises(table.columns[i])]
    if rising:
        return rising[0], None, False
    if dated:
        raise ValueError("the rows give the date but no time of day")
    raise ValueError(_no_times(table, kinds))


def _no_times(table: Table, kinds: Sequence[str]) -> str:
    """Which cell of a column that is named as one of times holds none, or that there is no such column."""
    for i in (i for kind in ("moment", "time", "elapsed", "date") for i in range(len(kinds)) if kinds[i] == kind):
        for line, cell in zip(table.lines, table.columns[i], strict=True):
            if not is_time_like(cell) and not is_number(cell):
                return f"line {line} of the file says {cell[:40]!r} where a time should stand: correct it"
    return "no column of times was found: its name should be time, date or the like"


def _sensor_column(table: Table, left: Sequence[int], numeric: Sequence[int]) -> int | None:
    """A column of text that names a sensor for each row, None when there is none worth parting by."""
    for i in left:
        if i in numeric:
            continue
        names = {cell for cell in table.columns[i] if cell}
        if 2 <= len(names) <= _MOST_SENSORS and len(names) < table.rows / 2 and not any(map(is_nothing, names)):
            kinds = {_kind(name, ()) for name in names}
            if kinds & {"bath", "core"}:
                return i
    return None


def _by_rows(
    table: Table, sensors: int, numeric: Sequence[int], kinds: Sequence[str],
    time: int, date: int | None, elapsed: bool, bath: str, core: str,
) -> Roles:  # fmt: skip
    cells = np.array(table.columns[sensors])
    names = sorted({cell for cell in table.columns[sensors] if cell})
    value = [i for i in numeric if kinds[i] not in ("other", "wanted")]
    if len(value) != 1:
        raise ValueError("a file with one row for each sensor needs exactly one column of values")
    places: dict[Place, int] = {}
    called: dict[Place, str] = {}
    rows: dict[Place, NDArray[np.bool_]] = {}
    for place, text in ((Place.BATH, bath), (Place.CORE, core)):
        fitting = [n for n in names if (n == text if text else _kind(n, ()) == place.value)]
        if text and not fitting:
            raise ValueError(f"no sensor is called {text[:40]!r}; the file has {', '.join(names)}")
        if len(fitting) > 1:
            raise Unclear(place.value, f"Which sensor is the {place.value}: {' or '.join(fitting)}?", fitting)
        if fitting:
            places[place], called[place] = value[0], fitting[0]
            rows[place] = cells == fitting[0]
    said = "Each row tells one sensor; they are parted by its name."
    return Roles(time, date, elapsed, places, called, rows, (said,))


def _chosen(table: Table, text: str, numeric: Sequence[int]) -> int:
    for i in numeric:
        if folded(table.names[i]) == folded(text) and text:
            return i
    if text.isdigit() and 1 <= int(text[:4]) <= len(table.columns) and int(text[:4]) - 1 in numeric:
        return int(text[:4]) - 1
    accepted = ", ".join(_name(table, i) for i in numeric)
    raise ValueError(f"no column of numbers is called {text[:40]!r}; the file has {accepted}")


def _which(place: Place, table: Table, columns: Sequence[int]) -> str:
    return f"Which column is the {place.value}: {' or '.join(_name(table, i) for i in columns[:8])}?"


def _name(table: Table, column: int) -> str:
    return table.names[column][:40] or str(column + 1)


def _share(cells: Sequence[str], of: object) -> float:
    assert callable(of)
    sample = [c for c in cells[:_LOOKED_AT] if not is_nothing(c)]
    return sum(bool(of(c)) for c in sample) / len(sample) if sample else 0.0


def _mostly_numbers(cells: Sequence[str]) -> bool:
    if _share(cells, lambda c: is_number(c) or unit_in(c)) > 0.7:
        return True
    return not any(not is_nothing(c) for c in cells[:_LOOKED_AT]) and _late_numbers(cells)


def _late_numbers(cells: Sequence[str]) -> bool:
    """A column whose sensor comes to life later than the first rows."""
    later = [c for c in cells[_LOOKED_AT:] if not is_nothing(c)][:_LOOKED_AT]
    return bool(later) and _share(later, lambda c: is_number(c) or unit_in(c)) > 0.7


def _mostly_times(cells: Sequence[str]) -> bool:
    return _share(cells, lambda c: is_time_like(c) and not is_number(c)) > 0.7


def _has_date(cells: Sequence[str]) -> bool:
    return (
        _share(cells, lambda c: any(s in c for s in ("-", "/", ".")) and c.count(":") < len(c) / 4 and len(c) > 5) > 0.7
    )


def _has_clock(cells: Sequence[str]) -> bool:
    return _share(cells, lambda c: ":" in c) > 0.7


def _is_epoch(cells: Sequence[str]) -> bool:
    """Numbers far beyond any temperature, as times counted from 1970 are."""
    return _share(cells, lambda c: is_number(c) and len(c.partition(".")[0]) in (10, 13, 16, 19)) > 0.9


def _rises(cells: Sequence[str]) -> bool:
    try:
        values = [float(c.replace(",", ".")) for c in cells[:_LOOKED_AT] if c]
    except ValueError:
        return False
    return len(values) > 1 and all(a <= b for a, b in pairwise(values)) and values[0] < values[-1]
