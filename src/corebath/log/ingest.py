"""Readings as loggers send them, over HTTP or a broker, made into readings of a cook (docs/store.md)."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from math import isfinite
from typing import NoReturn

from corebath.units import parse_temperature
from corebath.units.factors import celsius

from .cook import Place, Reading
from .store import Store
from .texts import limits

_KEYS = ("t", "core", "bath", "unit")


def ingest(
    store: Store,
    cook_id: int,
    payload: object,
    *,
    received_at: datetime,
    source: str = "http",
    place: Place | None = None,
) -> int:
    """Write what a logger sent to a cook, all of it or nothing; returns how many readings were new.

    payload, received_at, source, place : as for `readings_of`

    Raises ValueError, in one sentence, for a payload that is not understood, and what `Store.add_readings` raises.
    """
    return store.add_readings(cook_id, readings_of(payload, received_at=received_at, source=source, place=place))


def readings_of(
    payload: object, *, received_at: datetime, source: str, place: Place | None = None
) -> tuple[Reading, ...]:
    """The readings a payload holds.

    payload : a number or text with or without a unit ("57.3", "135 F"), [degC] where no unit stands; or an object
        with `core`, `bath` or both, `t` (ISO 8601 with an offset, or seconds since 1970 UTC; `received_at` when
        missing) and `unit` ("C" or "F"); or a list of such objects; or any of these as JSON, text or bytes
    received_at : when it came, with a zone
    source : what the readings are said to come from
    place : what a bare number was measured of; without it a bare number is refused, for taking the bath for the
        core would call food heated that is not

    Raises ValueError, in one sentence.
    """
    value = _decoded(payload)
    if isinstance(value, list):
        if len(value) > limits().readings_a_payload:
            raise ValueError(f"at most {limits().readings_a_payload} readings are taken at once")
        if not all(isinstance(item, Mapping) for item in value):
            raise ValueError("a list of readings must hold objects with a core or a bath temperature")
        return tuple(reading for item in value for reading in _of_object(item, received_at, source))
    if isinstance(value, Mapping):
        return _of_object(value, received_at, source)
    if place is None:
        raise ValueError("a bare temperature does not say whether it is of the core or of the bath")
    return (Reading(received_at, place, _celsius(value, "C"), source).of_water(),)


def _decoded(payload: object) -> object:
    """What JSON, text or bytes stand for; text that is no JSON stays text."""
    if isinstance(payload, bytes | bytearray | str) and len(payload) > limits().payload_bytes:
        raise ValueError(f"at most {limits().payload_bytes} bytes of readings are taken at once")
    if isinstance(payload, bytes | bytearray):
        try:
            payload = payload.decode("utf-8")
        except UnicodeDecodeError as error:
            raise ValueError("the readings are not text in UTF-8") from error
    if not isinstance(payload, str):
        return payload
    if not payload.lstrip().startswith(("{", "[", '"')):
        return payload
    try:
        return json.loads(payload)
    except (ValueError, RecursionError) as error:
        raise ValueError("the readings are not JSON") from error


def _of_object(item: Mapping[object, object], received_at: datetime, source: str) -> tuple[Reading, ...]:
    for key in item:
        if key not in _KEYS:
            raise ValueError(f"{str(key)[:40]!r} is not known in a reading: it has {', '.join(_KEYS)}")
    at = _moment(item["t"], received_at) if item.get("t") is not None else received_at
    unit = item.get("unit", "C")
    if unit not in ("C", "F"):
        raise ValueError("the unit of a reading must be C or F")
    found = tuple(
        Reading(at, place, _celsius(item[place.value], str(unit)), source).of_water()
        for place in Place
        if item.get(place.value) is not None
    )
    if not found:
        raise ValueError("a reading needs a core or a bath temperature")
    return found


def _celsius(value: object, unit: str) -> float:
    """A temperature [degC]; text may carry its own unit."""
    if isinstance(value, str):
        return parse_temperature(value, prefer="F" if unit == "F" else "C")
    number = _number(value)
    if number is None:
        raise ValueError("a temperature must be a number such as 57.3")
    return celsius(number) if unit == "F" else number


def _number(value: object) -> float | None:
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        return float(value) if isfinite(value) else None
    except OverflowError:
        return None


def _moment(value: object, received_at: datetime) -> datetime:
    """A moment of a logger's own clock, refused when that clock cannot be right."""
    if isinstance(value, str):
        at = _iso(value)
    elif (seconds := _number(value)) is not None:
        try:
            at = datetime.fromtimestamp(seconds, UTC)
        except (ValueError, OverflowError, OSError):
            _refuse_moment()
    else:
        _refuse_moment()
    if at.year < limits().earliest_year:
        raise ValueError(f"the logger's clock is not set: it says {at.year}")
    if at - received_at > timedelta(seconds=limits().ahead_s):
        raise ValueError("the logger's clock is ahead: its reading lies in the future")
    return at


def _iso(text: str) -> datetime:
    try:
        at = datetime.fromisoformat(text)
    except ValueError:
        _refuse_moment()
    if at.tzinfo is None:
        raise ValueError("the moment of a reading needs its offset, as in 2026-11-25T18:30:00+01:00")
    return at


def _refuse_moment() -> NoReturn:
    raise ValueError("the moment of a reading must be ISO 8601 with its offset, or seconds since 1970 UTC")
