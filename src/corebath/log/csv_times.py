"""Times in a logger's file: dates in many orders, clocks, epochs, serial days, seconds since a start, and zones."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from zoneinfo import ZoneInfo

import numpy as np

from corebath.heat.grid import Array, Indices

from .csv_table import Unclear, folded
from .settings import settings

_DAY_s = 86_400.0
_QUARTER_s = 900.0
_HOUR_s = 3600.0
_CLOCK = (
    r"(?P<h>\d{1,3})[:.h](?P<mi>\d{2})(?:[:.](?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?"
    r"\s*(?P<half>[AaPp]\.?\s?[Mm]\.?)?"
)
_ZONE = r"\s*(?P<z>Z|z|UTC|GMT|[+-]\d{2}:?\d{2}|[+-]\d{2})?"
_GAP = r"(?:[T,]?\s*|\s+(?:at\s+)?)"
_PATTERNS = {
    "year first": re.compile(rf"(?P<a>\d{{4}})[-/.](?P<b>\d{{1,2}})[-/.](?P<c>\d{{1,2}})(?:{_GAP}{_CLOCK})?{_ZONE}"),
    "year last": re.compile(
        rf"(?P<a>\d{{1,2}})(?P<sep>[-/.])(?P<b>\d{{1,2}})[-/.](?P<c>\d{{4}}|\d{{2}})(?:{_GAP}{_CLOCK})?{_ZONE}"
    ),
    "day and name": re.compile(
        r"(?:[^\W\d]+,?\s+)?(?P<a>\d{1,2})[ .-]*(?P<b>[^\W\d]{3,10})[ .,-]*(?P<c>\d{4}|\d{2})"
        rf"(?:{_GAP}{_CLOCK})?{_ZONE}"
    ),
    "name and day": re.compile(
        rf"(?P<b>[^\W\d]{{3,10}})\.?\s+(?P<a>\d{{1,2}}),?\s+(?P<c>\d{{4}})(?:{_GAP}{_CLOCK})?{_ZONE}"
    ),
    "clock": re.compile(rf"{_CLOCK}{_ZONE}"),
}
_EPOCHS = ((1e9, 4.2e9, 1.0), (1e12, 4.2e12, 1e-3), (1e15, 4.2e15, 1e-6), (1e18, 4.2e18, 1e-9))
_SERIAL_DAYS = (36_526.0, 73_051.0)  # the years 2000 to 2099
_SERIAL_ZERO_s = -25_569 * _DAY_s  # day 0 of spreadsheets, 30 December 1899
_JUMP_DAYS = 20.0


@dataclass(frozen=True, slots=True)
class Times:
    """The times of the rows.

    value_s : seconds since 1970 in UTC when `absolute`, else since the file's own zero, shape (n,); nan where a cell
        makes no sense
    absolute : real moments are known;  zoned : the file itself tells the zone
    said : how they were read, one sentence each
    """

    value_s: Array
    absolute: bool
    zoned: bool
    said: tuple[str, ...]


def numeric_times(cells: Sequence[str], name: str, zone: ZoneInfo, elapsed_unit: str, repeated: str) -> Times | None:
    """Times that stand as numbers: an epoch, a spreadsheet's serial days, or time since a start; None when they do not.

    Raises Unclear when the unit of a time since a start is not told.
    """
    try:
        values = np.array([float(c.replace(",", ".")) if c else np.nan for c in cells])
    except ValueError:
        return None
    known = values[np.isfinite(values)]
    if known.size == 0:
        return None
    middle = float(np.median(known))
    for low, high, factor in _EPOCHS:
        if low <= middle < high and not elapsed_unit:
            said = "Times count from 1970 in UTC, so they need no zone."
            return Times(values * factor, True, True, (said,))
    unit = elapsed_unit or unit_of_time(name)
    if not unit and _SERIAL_DAYS[0] <= middle < _SERIAL_DAYS[1] and np.any(known % 1 > 0):
        local = np.round((values * _DAY_s + _SERIAL_ZERO_s) * 1000) / 1000
        utc, more = to_utc(local, zone, repeated)
        return Times(utc, True, False, (f"Times are a spreadsheet's serial days, read as {zone.key}.", *more))
    if not unit:
        raise Unclear(
            "elapsed_unit",
            f"Does the column {name[:40]!r} count milliseconds, seconds, minutes or hours since the start?",
            ("ms", "s", "min", "h"),
        )
    factor = {"ms": 1e-3, "s": 1.0, "min": 60.0, "h": 3600.0}[unit]
    words = {"ms": "milliseconds", "s": "seconds", "min": "minutes", "h": "hours"}[unit]
    return Times(values * factor, False, False, (f"Times count {words} from a start.",))


def unit_of_time(name: str) -> str:
    """ms, s, min or h when a column's name tells, else ""."""
    words = folded(name).split()
    units = settings("csv_words")["unit"]
    for unit in ("ms", "min", "h", "s"):
        if any(word in units[unit] for word in words):
            return unit
    return ""


def written_times(cells: Sequence[str], zone: ZoneInfo, day_first: bool | None, repeated: str, late: bool) -> Times:
    """Times written out.

    zone : for times without one;  day_first : None to find out
    repeated : "first" or "second" for the hour that the clocks repeat, "" to tell it by the order of the rows
    late : a clock without a date counts from a start, not from midnight

    Raises ValueError when they are not times, Unclear when they can be read in two ways.
    """
    sample = [c for c in cells if c][:200]
    pattern = max(_PATTERNS, key=lambda name: sum(_PATTERNS[name].fullmatch(c) is not None for c in sample))
    if sum(_PATTERNS[pattern].fullmatch(c) is not None for c in sample) < 0.5 * len(sample) or not sample:
        raise ValueError(f"{(sample or [''])[0][:40]!r} is not understood as a time")
    dates, clock_s, offset_s, dots = _taken_apart(cells, _PATTERNS[pattern])
    if pattern == "clock":
        return _clock_times(clock_s, late)
    said: list[str] = []
    if pattern == "year last":
        day_first, told = _order(dates, clock_s, day_first, dots)
        said += told
    days = _days(dates, pattern, day_first)
    local = days * _DAY_s + clock_s
    if np.any(np.isfinite(offset_s)):
        return Times(local - offset_s, True, True, (*said, "The file gives the time zone of its times."))
    utc, more = to_utc(local, zone, repeated)
    return Times(utc, True, False, (*said, f"Times are read as {zone.key}; the file names no zone.", *more))


def to_utc(local_s: Array, zone: ZoneInfo, repeated: str) -> tuple[Array, tuple[str, ...]]:
    """Seconds since 1970 in UTC of local times in the order of the rows, and what there is to say.

    Where the clocks go back an hour comes twice: the order of the rows tells which one is meant, or the choice does.
    Raises Unclear when neither does.
    """
    if np.sum(np.sign(np.diff(local_s[np.isfinite(local_s)]))) < 0:
        out, told = to_utc(local_s[::-1], zone, repeated)
        return out[::-1], told
    known = np.isfinite(local_s)
    quarters = np.floor(np.where(known, local_s, 0.0) / _QUARTER_s)
    places, back = np.unique(quarters, return_inverse=True)
    early = np.array([_offset_s(q * _QUARTER_s, zone, 0) for q in places])[back]
    late = np.array([_offset_s(q * _QUARTER_s, zone, 1) for q in places])[back]
    first, second = local_s - early, local_s - late
    twice = known & (early > late)
    said = []
    if np.any(known & (early < late)):
        said.append(f"Some times do not exist in {zone.key}, as the clocks go forward then: check the zone.")
    if not np.any(twice):
        return first, tuple(said)
    if repeated:
        return np.where(twice & (repeated == "second"), second, first), tuple(said)
    out = first.copy()
    rows = np.flatnonzero(known)
    spots = np.flatnonzero(twice[rows])
    for run in np.split(spots, np.flatnonzero(np.diff(spots) > 1) + 1):
        out[rows[run]] = _told_apart(first, second, rows, run)
    said.append(
        "The clocks go back during the series: the hour that comes twice is kept apart by the order of the rows."
    )
    return out, tuple(said)


def _told_apart(first: Array, second: Array, rows: Indices, run: Indices) -> Array:
    """UTC times of one run of rows in the repeated hour."""
    here = rows[run]
    steps_back = np.flatnonzero(np.diff(first[here]) < -_HOUR_s / 4)
    if steps_back.size:
        cut = int(steps_back[0]) + 1
        return np.concatenate([first[here[:cut]], second[here[cut:]]])
    # No step back: one hour of silence hides before, after or inside the run, unless the file begins or ends here.
    before, after = int(run[0]) - 1, int(run[-1]) + 1
    usual = float(np.median(np.abs(np.diff(first[rows])))) if rows.size > 2 else _HOUR_s
    near = min(10 * max(usual, 1.0), _HOUR_s / 2)
    from_before = before < 0 or 0 <= first[here[0]] - first[rows[before]] <= near
    to_after = after >= rows.size or 0 <= first[rows[after]] - second[here[-1]] <= near
    if from_before and not to_after and before >= 0:
        return np.asarray(first[here])
    if to_after and not from_before and after < rows.size:
        return np.asarray(second[here])
    if before < 0 and after < rows.size and to_after:
        return np.asarray(second[here])
    if after >= rows.size and before >= 0 and from_before:
        return np.asarray(first[here])
    raise Unclear(
        "repeated",
        "Some times lie in the hour that comes twice as the clocks go back: is it the first or the second one?",
        ("first", "second"),
    )


@cache
def _offset_s(local_s: float, zone: ZoneInfo, fold: int) -> float:
    naive = datetime.fromtimestamp(local_s, UTC).replace(tzinfo=zone, fold=fold)
    offset = naive.utcoffset()
    assert offset is not None
    return offset.total_seconds()


def _taken_apart(
    cells: Sequence[str], pattern: re.Pattern[str]
) -> tuple[list[tuple[str, str, str] | None], Array, Array, bool]:
    """Date parts, seconds of the day, offset from UTC or nan, of every cell; and whether dots part the dates."""
    count = len(cells)
    dates: list[tuple[str, str, str] | None] = [None] * count
    clock, offset = np.full(count, np.nan), np.full(count, np.nan)
    with_date = "a" in pattern.groupindex
    groups = ("h", "mi", "s", "f", "half", "z", *(("a", "b", "c") if with_date else ()))
    for i, cell in enumerate(cells):
        found = pattern.fullmatch(cell)
        if found is None:
            continue
        h, mi, s, f, half, z, *date = found.group(*groups)
        seconds = _seconds(h, mi, s, f, half)
        if seconds is None:
            continue
        clock[i] = seconds
        if with_date:
            dates[i] = (date[0], date[1], date[2])
        if z:
            offset[i] = _zone_s(z)
    dots = "sep" in pattern.groupindex and any("." in c.split(" ")[0] for c in cells[:20])
    return dates, clock, offset, dots


def _seconds(h: str | None, mi: str | None, s: str | None, f: str | None, half: str | None) -> float | None:
    if h is None or mi is None:
        return 0.0
    hour, minute, second = int(h), int(mi), int(s or 0)
    if minute > 59 or second > 60:
        return None
    if half:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if half[0] in "Pp" else 0)
    return hour * 3600.0 + minute * 60.0 + second + (float("0." + f) if f else 0.0)


@cache
def _zone_s(text: str) -> float:
    if text[0] not in "+-":
        return 0.0
    digits = text[1:].replace(":", "").ljust(4, "0")
    return (-1.0 if text[0] == "-" else 1.0) * (int(digits[:2]) * 3600.0 + int(digits[2:]) * 60.0)


def _clock_times(clock_s: Array, late: bool) -> Times:
    if late:
        return Times(clock_s, False, False, ("Times count hours, minutes and seconds from a start.",))
    known = np.isfinite(clock_s)
    turns = np.zeros(clock_s.size)
    turns[known] = np.concatenate([[0.0], np.cumsum(np.diff(clock_s[known]) < -_DAY_s / 2)])
    return Times(
        clock_s + turns * _DAY_s,
        False,
        False,
        ("Times are clock times without a date: they count from midnight of the first day.",),
    )


def _order(
    dates: Sequence[tuple[str, str, str] | None], clock_s: Array, day_first: bool | None, dots: bool
) -> tuple[bool, list[str]]:
    """Whether the day stands before the month, and how that is known."""
    if day_first is not None:
        return day_first, []
    parts = sorted({(int(d[0]), int(d[1])) for d in dates if d is not None})
    if dots or any(a > 12 for a, _ in parts):
        return True, ["The day stands before the month."]
    if any(b > 12 for _, b in parts):
        return False, ["The month stands before the day."]
    if all(a == b for a, b in parts):
        return True, []
    found = []
    for order in (True, False):
        local = _days(dates, "year last", order) * _DAY_s + clock_s
        steps = np.diff(np.sort(local[np.isfinite(local)]))
        if steps.size and float(steps.max()) < _JUMP_DAYS * _DAY_s and len(parts) > 1:
            found.append(order)
    if len(found) == 1:
        words = "The day stands before the month" if found[0] else "The month stands before the day"
        return found[0], [f"{words}, as the days then follow one another."]
    a, b = next((a, b) for a, b in parts if a != b)
    raise Unclear(
        "day_first",
        f"Is {a}/{b} the day {a} of month {b}, or the day {b} of month {a}?",
        ("day first", "month first"),
    )


def _days(dates: Sequence[tuple[str, str, str] | None], pattern: str, day_first: bool | None) -> Array:
    """Days since 1970 of every date, nan where there is no such day."""
    known: dict[tuple[str, str, str], float] = {}
    out = np.full(len(dates), np.nan)
    for i, parts in enumerate(dates):
        if parts is None:
            continue
        if parts not in known:
            known[parts] = _day(parts, pattern, day_first)
        out[i] = known[parts]
    return out


def _day(parts: tuple[str, str, str], pattern: str, day_first: bool | None) -> float:
    a, b, c = parts
    if pattern == "year first":
        year, month, day = int(a), int(b), int(c)
    elif pattern == "year last":
        day, month = (int(a), int(b)) if day_first else (int(b), int(a))
        year = int(c) + (2000 if len(c) == 2 else 0)
    else:
        day, month, year = int(a), _months().get(folded(b), 0), int(c) + (2000 if len(c) == 2 else 0)
    try:
        return datetime(year, month, day, tzinfo=UTC).timestamp() / _DAY_s
    except ValueError:
        return float("nan")


@cache
def _months() -> dict[str, int]:
    return {word: int(number) for number, words in settings("csv_words")["month"].items() for word in words}
