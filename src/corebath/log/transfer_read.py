"""The whole store as one file of JSON lines, docs/store.md: reading it. Nothing in a file is trusted."""

from __future__ import annotations

import base64
import json
import re
from collections.abc import Mapping
from datetime import datetime
from math import isfinite
from textwrap import shorten
from typing import Any, BinaryIO, NoReturn

from sqlalchemy import select
from sqlalchemy.orm import Session

from .cook import Cook, Event, Happening, Place, Rating, Reading
from .cook_rows import insert_cook
from .errors import Malformed
from .gear_rows import kitchen_of, write_kitchen
from .moments import from_us
from .photo import Photo
from .photo_rows import insert_photo
from .reading_rows import insert_readings, raw
from .record_transfer import RecordsIn
from .tables import CookRow, HeaterRow, KitchenRow, VesselRow
from .transfer import FORMAT, VERSION, Moved, own_columns

Spec = Mapping[str, tuple[type, bool]]  # type and whether it may be null, by key

_LONGEST_LINE = 8 * 2**20
_MOST_SAID = 200  # characters of a refusal, which may repeat what stands in the file
_NO_EXPORT = "the file is not an export of a store, so nothing was imported"
_UID = re.compile("[0-9a-f]{32}")
_HEAD: Spec = {"format": (str, False), "version": (int, False)}
_COOK: Spec = {
    "uid": (str, False), "question": (str, False), "planned_at": (datetime, False), "name": (str, False),
    "food": (str, False), "set_point_C": (float, False), "thickness_m": (float, False),
    "planned_bath_s": (float, False), "ended": (bool, False), "events": (list, False), "rating": (dict, True),
}  # fmt: skip
_EVENT: Spec = {
    "happening": (str, False), "at": (datetime, False), "told_at": (datetime, False), "value_C": (float, True),
    "text": (str, False),
}  # fmt: skip
_RATING: Spec = {
    "tender": (int, True), "juicy": (int, True), "done": (int, True), "crust": (int, True), "salt": (int, True),
    "note": (str, False),
}  # fmt: skip
_READINGS: Spec = {
    "cook": (str, False), "place": (str, False), "source": (str, False), "at_us": (list, False),
    "value_C": (list, False),
}  # fmt: skip
_PHOTO: Spec = {"cook": (str, False), "at": (datetime, False), "caption": (str, False), "base64": (str, False)}
_WORDS = {
    str: "text", int: "a whole number", float: "a number", bool: "true or false", list: "a list", dict: "an object",
    datetime: "a moment with its offset",
}  # fmt: skip


def take_in(session: Session, file: BinaryIO) -> Moved:
    """Write what a file holds and the store does not. Raises Malformed; the caller's transaction is then undone.

    A cook that is in both, by its `uid`, stays as the store has it, and so do rows of the records and the kitchen.
    """
    reader = _Reader(session)
    number, ended = 0, False
    while line := file.readline(_LONGEST_LINE + 1):
        number += 1
        try:
            if ended:
                raise ValueError("it follows the end")
            ended = reader.take(_loaded(line), number)
        except _Unreadable as error:
            if number == 1:
                raise Malformed(_NO_EXPORT) from error
            _refuse(number, str(error))
        except KeyError as error:
            _refuse(number, f"{error.args[0]!r} is not known")
        except RecursionError:
            _refuse(number, "it is nested too deep")
        except OverflowError:
            _refuse(number, "a number in it is too large")
        except (ValueError, TypeError) as error:
            _refuse(number, shorten(str(error), _MOST_SAID, placeholder=" …"))
    if not ended:
        raise Malformed(f"the file is cut off after line {number}, so nothing was imported")
    return reader.moved


class _Unreadable(ValueError):  # noqa: N818 - it is the line that is unreadable
    """A line is no JSON at all."""


class _Reader:
    """Takes one line after another."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._known = set(session.scalars(select(CookRow.uid)))
        self._cooks: dict[str, int | None] = {}
        self.moved = Moved()
        self._records = RecordsIn(session)
        self._count = {"cooks": 0, "readings": 0, "photos": 0, "known": 0, "records": 0}
        self._kitchen: bool | None = None

    def take(self, line: object, number: int) -> bool:
        """Take a line; True after the last one."""
        if number == 1:
            _check_head(line)
            return False
        if not isinstance(line, dict) or len(line) != 1:
            raise ValueError("it must be an object with one key")
        ((kind, value),) = line.items()
        match kind:
            case "kitchen":
                self._take_kitchen(value)
            case "cook":
                self._take_cook(value)
            case "readings":
                self._take_readings(value)
            case "photo":
                self._take_photo(value)
            case "record":
                self._count["records"] += self._records.take(value, _taken)
            case "end":
                if value != number - 1 or isinstance(value, bool):
                    raise ValueError("lines are missing before it")
                self.moved = Moved(**self._count, kitchen=bool(self._kitchen))
                return True
            case _:
                raise ValueError(f"{kind[:40]!r} is not known")
        return False

    def _take_kitchen(self, value: object) -> None:
        if self._kitchen is not None:
            raise ValueError("it is a second kitchen")
        lists: Spec = {"vessels": (list, False), "heaters": (list, False)}
        kitchen = _taken(value, {**own_columns(KitchenRow), **lists})
        vessels = [VesselRow(**_taken(v, own_columns(VesselRow))) for v in kitchen.pop("vessels")]
        heaters = [HeaterRow(**_taken(h, own_columns(HeaterRow))) for h in kitchen.pop("heaters")]
        understood = kitchen_of(KitchenRow(**kitchen), vessels, heaters)
        self._kitchen = self._session.get(KitchenRow, 1) is None
        if self._kitchen:
            write_kitchen(self._session, understood, 0)

    def _take_cook(self, value: object) -> None:
        values = _taken(value, _COOK)
        uid = values.pop("uid")
        if _UID.fullmatch(uid) is None or uid in self._cooks:
            raise ValueError("its uid must be 32 small hexadecimal digits that no other cook has")
        events = tuple(_event(e) for e in values.pop("events"))
        rating = values.pop("rating")
        cook = Cook(**values, events=events, rating=None if rating is None else Rating(**_taken(rating, _RATING)))
        if uid in self._known:
            self._cooks[uid] = None
            self._count["known"] += 1
        else:
            self._cooks[uid] = insert_cook(self._session, cook, uid)
            self._count["cooks"] += 1

    def _take_readings(self, value: object) -> None:
        values = _taken(value, _READINGS)
        place, source = Place(values["place"]), values["source"]
        moments = [_of_type(us, int, False, "at_us") for us in values["at_us"]]
        figures = [_of_type(figure, float, False, "value_C") for figure in values["value_C"]]
        if len(moments) != len(figures):
            raise ValueError("at_us and value_C must be of one length")
        rows = list(raw(Reading(from_us(us), place, c, source) for us, c in zip(moments, figures, strict=True)))
        if (cook_id := self._cook_id(values["cook"])) is not None:
            self._count["readings"] += insert_readings(self._session, cook_id, rows)

    def _take_photo(self, value: object) -> None:
        values = _taken(value, _PHOTO)
        photo = Photo(base64.b64decode(values["base64"], validate=True), values["at"], values["caption"])
        if (cook_id := self._cook_id(values["cook"])) is not None:
            insert_photo(self._session, cook_id, photo)
            self._count["photos"] += 1

    def _cook_id(self, uid: str) -> int | None:
        if uid not in self._cooks:
            raise ValueError("its cook does not stand before it")
        return self._cooks[uid]


def _loaded(line: bytes) -> object:
    if len(line) > _LONGEST_LINE:
        raise _Unreadable(f"it is longer than {_LONGEST_LINE} bytes")
    try:
        return json.loads(line.decode("utf-8"), parse_constant=_no_number, object_pairs_hook=_once)
    except json.JSONDecodeError as error:
        raise _Unreadable("it is not JSON") from error
    except UnicodeDecodeError as error:
        raise _Unreadable("it is not text in UTF-8") from error


def _no_number(name: str) -> NoReturn:
    raise ValueError(f"{name} is not a number")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) < len(pairs):
        raise ValueError("a key stands twice in it")
    return found


def _check_head(line: object) -> None:
    if not isinstance(line, dict) or line.get("format") != FORMAT:
        raise Malformed(_NO_EXPORT)
    version = _taken(line, _HEAD)["version"]
    if version > VERSION:
        raise Malformed(
            f"the file is of version {version} and this corebath reads versions up to {VERSION}: use a later corebath"
        )
    if version < 1:
        raise ValueError(f"version {version} never was")


def _event(value: object) -> Event:
    values = _taken(value, _EVENT)
    return Event(Happening(values.pop("happening")), **values)


def _taken(value: object, spec: Spec) -> dict[str, Any]:
    """The values of an object that has exactly the keys and types of a spec."""
    if not isinstance(value, dict):
        raise TypeError(f"an object with the keys {', '.join(spec)} is missing")
    for key in spec:
        if key not in value:
            raise ValueError(f"{key} is missing")
    for key in value:
        if key not in spec:
            raise ValueError(f"{key[:40]!r} is not known")
    return {key: _of_type(value[key], kind, missing, key) for key, (kind, missing) in spec.items()}


def _of_type(value: object, kind: type, missing: bool, key: str) -> Any:
    if value is None and missing:
        return None
    if kind is float and type(value) in (int, float):
        number = float(value)  # type: ignore[arg-type]
        if isfinite(number):
            return number
    elif kind is datetime and isinstance(value, str):
        moment = datetime.fromisoformat(value)
        if moment.tzinfo is not None:
            return moment
    elif type(value) is kind:
        return value
    raise TypeError(f"{key} must be {_WORDS[kind]}")


def _refuse(number: int, why: str) -> NoReturn:
    raise Malformed(f"line {number} of the file is not understood, so nothing was imported: {why.rstrip('.')}")
