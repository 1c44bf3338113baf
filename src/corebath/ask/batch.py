"""Understanding a batch: from its rows as typed to a batch, or to one sentence for each answer that is not clear."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date, datetime, time, timedelta
from typing import Any

from corebath.log.gear import Kitchen
from corebath.plan.batch.batch import Batch, Lot, Order, Pieces, settings
from corebath.plan.request import BadRequest
from corebath.units import (
    NotUnderstood,
    Preference,
    mark,
    parse_mass,
    parse_volume,
)

from .batch_lists import parse_pieces, parse_portions
from .batch_question import BatchQuestion, LotRow, Top
from .degrees import UNITS
from .equipment import equipment_of
from .question import Question, short
from .restate import spelt
from .understand import Misunderstood, Reader, understand
from .when import parse_ahead, parse_when, parse_zone

_LONGEST_NAME = 40
_COLDEST_C, _WARMEST_C = -2.0, 15.0  # a fridge, as the kitchen's gear takes it
# What a lot takes from the whole batch where it says nothing itself.
_INHERITED = ("guests", "rules", "zone", "units")
_PLAIN = ("food", "wide", "long", "shape", "want", "bath", "state", "start", "handling", "fish", "bag", "sear")


def batch_preference(question: BatchQuestion, kitchen: Kitchen) -> Preference:
    """The units to show: the question's, or the kitchen's when it names none or none that exists."""
    return UNITS.get(question.top.units, kitchen.preference)


def understand_batch(question: BatchQuestion, now: datetime, kitchen: Kitchen) -> Batch:
    """The batch a question means.

    now : the moment of asking, with a zone
    Raises Misunderstood with every answer that is not clear at once, under its name in an address ("l2.thick").
    """
    reader = _Top(question.top, now, kitchen)
    moment = reader.moment()
    lots = tuple(reader.lots(question.lots, moment))
    options: dict[str, Any] = {
        "at": reader.read("at", reader.clock) or time.fromisoformat(settings()["table"]["at"]),
        "fridge_C": reader.fridge_C(),
        "freezer_C": kitchen.freezer_C,
        "equipment": equipment_of(question.top, kitchen, reader.preference, reader.sentences),
        "ice_water_kg": reader.read("water", lambda t: parse_volume(t, prefer=reader.preference.volume)),
        "tap_C": kitchen.cold_tap_C,
        "ice_kg": reader.read("ice", lambda t: parse_mass(t, prefer=reader.preference.mass)),
        "room_C": kitchen.room.air_C,
        "order": reader.choice("order", Order) or Order.COOLER,
    }
    reader.check("units", question.top.units, tuple(UNITS))
    if not reader.sentences:
        begin, done = (moment if getattr(question.top, name) else None for name in ("begin", "done"))
        try:
            return Batch(lots, begin, done, now, reader.zone, **options)
        except BadRequest as error:
            reader.sentences[_FIELDS.get(error.field, error.field)] = str(error)
    raise Misunderstood(reader.sentences, reader.choices)


def misunderstood(error: BadRequest) -> Misunderstood:
    """What the plan itself refuses, as a sentence for the answer it is about."""
    return Misunderstood({_FIELDS.get(error.field, error.field): str(error)}, {})


# The core names what is asked; here it stands under the name of the answer.
_FIELDS = {"start": "begin", "lot": "food"}


class _Top(Reader):
    """Reads what holds for the whole batch, and each food after it."""

    question: Top

    def __init__(self, question: Top, now: datetime, kitchen: Kitchen) -> None:
        super().__init__(question, kitchen)
        self.now, self.kitchen = now, kitchen
        self.zone = self.read("zone", parse_zone) or kitchen.zone

    def moment(self) -> datetime:
        """When it begins or is done; tomorrow stands in for one that is not clear, so that the rest is read."""
        begin, done = self.question.begin, self.question.done
        if begin and done:
            self.sentences["done"] = "say either when you begin or by when it is done, not both"
        elif not (begin or done):
            self.sentences["begin"] = "say when you begin, such as Sun 14:00, or by when everything is cold"
        for name in ("begin", "done"):
            read = self.read(name, lambda t: parse_ahead(t, self.now, self.zone, asked="moment"))
            if read is not None:
                return read
        return self.now.astimezone(self.zone) + timedelta(days=1)

    def clock(self, text: str) -> time:
        """A time of day."""
        accepted = "a time of day such as 12:30 or 7 pm"
        moment = parse_when(text, self.now, self.zone, asked="time of day", accepted=accepted)
        return moment.astimezone(self.zone).time().replace(tzinfo=None)

    def fridge_C(self) -> float | None:
        """The fridge as told, or as the kitchen measured it; None when nobody did."""
        told_C = self.degrees("fridge")
        if told_C is None:
            return self.kitchen.fridge_C
        if not _COLDEST_C <= told_C <= _WARMEST_C:
            low, high = mark(_COLDEST_C, "C"), mark(_WARMEST_C, "C")
            self.sentences["fridge"] = f"a fridge must lie between {low} and {high}, got {mark(told_C, 'C')}"
        return told_C

    def lots(self, rows: tuple[LotRow, ...], moment: datetime) -> Iterator[Lot]:
        """The foods that are clear; the others leave sentences that name them."""
        if not rows:
            self.sentences["food"] = "say what is cooked: at least one food with its thicknesses"
        most = settings()["limits"]["most_lots"]
        if len(rows) > most:
            self.sentences["food"] = f"a batch takes at most {most} foods, not {len(rows)}"
        seen: set[str] = set()
        for i, row in enumerate(rows, start=1):
            reader = _Lot(row, self, moment)
            lot = reader.lot()
            called = row.name or row.food or f"food {i}"
            if lot is not None and lot.name.casefold() in seen:
                reader.sentences["name"] = "another food of the batch has this name already: give it one of its own"
            for field, said in reader.sentences.items():
                self.sentences[f"l{i}.{field}"] = f"{short(' '.join(called.split()))}: {said[:1].lower()}{said[1:]}"
            self.choices |= {f"l{i}.{field}": found for field, found in reader.choices.items()}
            if lot is not None:
                seen.add(lot.name.casefold())
                yield lot


class _Lot(Reader):
    """Reads one food: its lists itself, everything else as the plan of one food is read."""

    question: LotRow

    def __init__(self, row: LotRow, top: _Top, moment: datetime) -> None:
        inherited = {name: getattr(row, name) or getattr(top.question, name) for name in _INHERITED}
        super().__init__(row.changed(**inherited), top.kitchen)
        self._top, self._moment = top, moment

    def lot(self) -> Lot | None:
        """The food, or None when it leaves sentences."""
        row, prefer = self.question, self.preference
        count = self.read("pieces", _whole) if row.pieces else None
        pieces = self.read("thick", lambda t: parse_pieces(t, prefer, count))
        if not row.thick:
            self.sentences["thick"] = "say how thick the pieces are, such as 38 mm x10"
        elif count is not None and pieces is not None and count != sum(p.count for p in pieces):
            self.sentences["pieces"] = f"{count} pieces are named, and {sum(p.count for p in pieces)} thicknesses"
        pieces = self._weighed(pieces)
        days = row.days or self._top.question.days
        cooked = self._moment.astimezone(self._top.zone).date()
        eaten = () if not days or pieces is None else self._eaten(days, cooked, sum(p.count for p in pieces))
        reheat_C, serve_C = self.degrees("reheat"), self.degrees("serve")
        if len(row.name) > _LONGEST_NAME or not row.name.isprintable() or set(row.name) & set("{}|"):
            self.sentences["name"] = (
                f"{short(row.name)!r} is no name: type up to {_LONGEST_NAME} letters, without braces"
            )
        request = self._request(pieces)
        if self.sentences or request is None or pieces is None:
            return None
        # Without a name of its own it is called as the cook typed it.
        return self.tried_lot(
            lambda: Lot(row.name or row.food, request, pieces, eaten, reheat_C=reheat_C, serve_C=serve_C)
        )

    def tried_lot(self, make: Any) -> Lot | None:
        """The lot, or a sentence at the answer that it refuses."""
        try:
            made: Lot = make()
            return made
        except BadRequest as error:
            self.sentences[error.field] = str(error)
            return None

    def _request(self, pieces: tuple[Pieces, ...] | None) -> Any:
        """What is asked of its thickest piece; a usual one stands in for thicknesses that are not clear."""
        row = self.question
        thick_m = 0.03 if pieces is None else max(p.thickness_m for p in pieces)
        known = {name: getattr(row, name) for name in (*_PLAIN, *_INHERITED)}
        asked = Question(**known, thick=f"{thick_m * 1000:.9g} mm", eat=spelt(self._moment))
        try:
            return understand(asked, self._top.now, replace(self._top.kitchen, vessels=(), heaters=()))
        except Misunderstood as error:
            # A moment or zone that is not clear is told once, for the whole batch.
            told = {f: s for f, s in error.sentences.items() if f not in ("eat", "zone", "units", "rules")}
            for field, said in told.items():
                self.sentences.setdefault(field, said.rstrip("."))
            self.choices |= error.choices
            if "eat" in error.sentences:
                self._top.sentences.setdefault(
                    "begin" if self._top.question.begin else "done", error.sentences["eat"].rstrip(".")
                )
            if "rules" in error.sentences:
                self._top.sentences.setdefault("rules", error.sentences["rules"].rstrip("."))
            return None

    def _weighed(self, pieces: tuple[Pieces, ...] | None) -> tuple[Pieces, ...] | None:
        """The pieces with the mass of each: as told for one, or a share of the whole by thickness."""
        row = self.question
        one_kg, total_kg = (
            self.read(name, lambda t: parse_mass(t, prefer=self.preference.mass)) for name in ("mass", "total")
        )
        if row.mass and row.total:
            self.sentences["total"] = "say the mass of one piece or that of all of them, not both"
        if pieces is None or (one_kg is None and total_kg is None):
            return pieces
        per_m = 0.0 if total_kg is None else total_kg / sum(p.thickness_m * p.count for p in pieces)
        weighed = tuple(replace(p, mass_kg=per_m * p.thickness_m if one_kg is None else one_kg) for p in pieces)
        if any(not 0.005 <= (p.mass_kg or 0.0) <= 25 for p in weighed):
            field = "mass" if one_kg is not None else "total"
            self.sentences[field] = f"one piece must weigh between {mark(0.005, 'kg')} and {mark(25, 'kg')}"
        return weighed

    def _eaten(self, days: str, cooked: date, count: int) -> Any:
        try:
            today = self._top.now.astimezone(self._top.zone).date()
            return parse_portions(days, cooked, count, today)
        except (NotUnderstood, BadRequest) as error:
            self.sentences["days"] = str(error)
            return ()


def _whole(text: str) -> int:
    if not text.isascii() or not text.isdigit() or len(text) > 3:
        raise NotUnderstood(f"{short(text)!r} is not the number of pieces: type a whole number")
    return int(text)
