"""Cooks, readings and photos to put into a store."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from corebath.log.cook import Cook, Event, Happening, Place, Rating, Reading
from corebath.log.demo import demo_kitchen
from corebath.log.photo import Photo
from corebath.log.record import Measured, Point, Record, Step
from corebath.log.store import Store
from corebath.safety.authority import Authority
from corebath.safety.subject import Subject

NOON = datetime(2026, 11, 25, 12, 0, tzinfo=UTC)
PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d49484452000000010000000108020000009077"
    "53de0000000c49444154789c63f8cfc0000003010100c9fe92ef0000000049454e44ae426082"
)


def a_jpeg(drawn: bytes = bytes(range(255))) -> bytes:
    """The frame of a JPEG around any bytes; 0xFF in them is stuffed, as in a drawn one."""
    scan = b"\xff\xda\x00\x08\x01\x01\x00\x00\x3f\x00" + drawn.replace(b"\xff", b"\xff\x00")
    return b"\xff\xd8\xff\xe0\x00\x10JFIF\x00\x01\x01\x00\x00\x01\x00\x01\x00\x00" + scan + b"\xff\xd9"


JPEG = a_jpeg()


def a_cook(name: str = "Ribeye for four", *, food: str = "beef_ribeye", planned_at: datetime = NOON) -> Cook:
    """A cook that nothing happened in yet."""
    return Cook("food=ribeye&thick=30+mm", planned_at, name, food, 57.0, 0.03, 7200.0)


def an_event(happening: Happening = Happening.DROPPED_IN, minutes: float = 0.0, text: str = "") -> Event:
    """Something that happened some minutes after noon, and was told at once."""
    at = NOON + timedelta(minutes=minutes)
    return Event(happening, at, at, 58.5 if happening is Happening.SET_POINT else None, text)


def trace(values: Iterable[float], place: Place = Place.CORE, source: str = "probe.csv") -> list[Reading]:
    """Readings every second from noon."""
    return [Reading(NOON + timedelta(seconds=i), place, value, source) for i, value in enumerate(values)]


def a_record(step: Step = Step.KEEP, *celsius: float, **other: Any) -> Record:
    """A row of the records, read every half hour from noon, told a minute after its last reading."""
    values = celsius or (4.0,)
    measured = tuple(Measured(NOON + timedelta(minutes=30 * i), value) for i, value in enumerate(values))
    told_at = measured[-1].at + timedelta(minutes=1)
    plain: dict[str, Any] = {"batch": "Chicken, 12 bags", "told_at": told_at, "initials": "JM", "measured": measured}
    return Record(step, **(plain | other))


def fill(store: Store) -> None:
    """Put something of everything into a store."""
    store.save_kitchen(demo_kitchen(ZoneInfo("Europe/Paris")), 0)
    first = store.start_cook(a_cook("Entrecôte für Öle \U0001f969"))
    assert first.id is not None
    for number, happening in enumerate(Happening):
        store.add_event(first.id, an_event(happening, minutes=7.5 * number, text=f"note {number}\nand more"))
    told = store.rate(first.id, Rating(tender=1, juicy=-2, salt=0, note="Trop tendre"), store.cook(first.id).revision)
    store.end_cook(first.id, told.revision)
    store.add_readings(first.id, trace((20 + i / 1000 for i in range(12_001)), source="a.csv"))
    store.add_readings(first.id, trace((57.1, 57.0, 0.1 + 0.2), Place.BATH, "typed"))
    store.add_photo(first.id, Photo(JPEG, NOON, "the crust"))
    store.add_photo(first.id, Photo(PNG, NOON + timedelta(microseconds=1)))
    store.start_cook(a_cook("Eggs", food="egg", planned_at=NOON - timedelta(days=400)))
    chicken = Subject("chicken", handling="minced", fat=0.03, guests_at_risk=True)
    cook = a_record(Step.COOK, 20.0, 61.2, 62.0, began=NOON, ended=NOON + timedelta(hours=1), set_C=62.0,
                    food="chicken breast", subject=chicken, cook_id=first.id)  # fmt: skip
    row = store.add_record(cook).record.id
    store.add_record(a_record(Step.ACTION, action="Back in for 20 min", points_at=row))
    store.add_record(a_record(Step.COOK, 20.0, 62.0, note="misread \U0001f969", points_at=row))
    store.add_record(a_record(Step.PROBE, 0.3, point=Point.ICE, altitude_m=35.0, authority=Authority.UK))


def exported(store: Store, folder: Path, name: str = "export.jsonl") -> bytes:
    """What the store exports."""
    file = folder / name
    store.export(file)
    try:
        return file.read_bytes()
    finally:
        file.unlink()
