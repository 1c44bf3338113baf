"""Cooks, their events and ratings in their tables."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from uuid import uuid4

from sqlalchemy import ColumnElement, delete, func, select
from sqlalchemy.orm import Session

from .cook import Cook, Event, Happening, Rating
from .errors import Missing, Outdated
from .moments import from_us, to_us
from .tables import CookRow, EventRow, RatingRow
from .texts import check_text, limits

_CHANGED = "the cook was changed in another window meanwhile: look at it again, then change it"
_RATED = ("tender", "juicy", "done", "crust", "salt", "note")


@dataclass(frozen=True, slots=True)
class CookList:
    """Some cooks, the last cooked first. total : how many there are in all that fit the search"""

    cooks: tuple[Cook, ...]
    total: int


def insert_cook(session: Session, cook: Cook, uid: str | None = None) -> int:
    """Write a new cook with its events and rating; returns its number."""
    row = CookRow(
        uid=uid or uuid4().hex, revision=1, question=cook.question, planned_at_us=to_us(cook.planned_at),
        name=cook.name, food=cook.food, set_point_C=cook.set_point_C, thickness_m=cook.thickness_m,
        planned_bath_s=cook.planned_bath_s, ended=cook.ended, words="",
    )  # fmt: skip
    session.add(row)
    session.flush()
    for event in cook.events:
        insert_event(session, row.id, event)
        session.flush()
    if cook.rating is not None:
        write_rating(session, row.id, cook.rating)
    _note_words(session, row)
    return row.id


def read_cook(session: Session, cook_id: int) -> Cook:
    """One cook. Raises Missing."""
    return _cooks(session, [cook_row(session, cook_id)])[0]


def list_cooks(session: Session, search: str, ended: bool | None, first: int, most: int) -> CookList:
    """Cooks in which every word of the search stands, whatever its case."""
    wanted = select(CookRow)
    for word in search.casefold().split():
        wanted = wanted.where(CookRow.words.contains(word, autoescape=True))
    if ended is not None:
        wanted = wanted.where(CookRow.ended == ended)
    total = session.scalar(select(func.count()).select_from(wanted.subquery())) or 0
    page = wanted.order_by(_cooked_at_us().desc(), CookRow.id.desc()).offset(first).limit(most)
    return CookList(tuple(_cooks(session, session.scalars(page).all())), total)


def _cooked_at_us() -> ColumnElement[int]:
    """`Cook.cooked_at` in the database."""
    dropped, pulled = (
        select(func.min(EventRow.at_us))
        .where(EventRow.cook_id == CookRow.id, EventRow.happening == happening.value)
        .correlate(CookRow)
        .scalar_subquery()
        for happening in (Happening.DROPPED_IN, Happening.PULLED)
    )
    return func.coalesce(dropped, pulled, CookRow.planned_at_us)


def cook_row(session: Session, cook_id: int, revision: int | None = None) -> CookRow:
    """The row of a cook. Raises Missing, and Outdated when it is not of the revision that was seen."""
    row = session.get(CookRow, cook_id) if -(2**31) < cook_id < 2**31 else None
    if row is None:
        raise Missing(f"there is no cook {cook_id} in this store")
    if revision is not None and row.revision != revision:
        raise Outdated(_CHANGED)
    return row


def rename(row: CookRow, name: str) -> None:
    """Give a cook another name; raises ValueError for one it cannot have."""
    check_text(name, limits().name_characters, "the name of a cook", shortest=1)
    row.name = name


def changed(session: Session, row: CookRow) -> Cook:
    """Count a change of a cook; returns it as it is now."""
    row.revision += 1
    session.flush()
    _note_words(session, row)
    return _cooks(session, [row])[0]


def insert_event(session: Session, cook_id: int, event: Event) -> None:
    """Write a new event."""
    row = EventRow(cook_id=cook_id)
    _fill(row, event)
    session.add(row)


def update_event(session: Session, cook_id: int, event: Event) -> None:
    """Write an event anew. Raises Missing, and ValueError for one that was never stored."""
    if event.id is None:
        raise ValueError("an event can be changed only after it is stored")
    _fill(event_row(session, cook_id, event.id), event)


def event_row(session: Session, cook_id: int, event_id: int) -> EventRow:
    """The row of an event of a cook. Raises Missing."""
    row = session.get(EventRow, event_id) if -(2**31) < event_id < 2**31 else None
    if row is None or row.cook_id != cook_id:
        raise Missing(f"there is no event {event_id} in cook {cook_id}")
    return row


def write_rating(session: Session, cook_id: int, rating: Rating | None) -> None:
    """Write what the table thought, or take it back with None."""
    session.execute(delete(RatingRow).where(RatingRow.cook_id == cook_id))
    if rating is not None:
        session.add(RatingRow(cook_id=cook_id, **{name: getattr(rating, name) for name in _RATED}))


def _fill(row: EventRow, event: Event) -> None:
    row.happening, row.value_C, row.text = event.happening.value, event.value_C, event.text
    row.at_us, row.told_at_us = to_us(event.at), to_us(event.told_at)


def _note_words(session: Session, row: CookRow) -> None:
    """Keep what a search looks through: names and notes, in small letters of every alphabet."""
    notes = session.scalars(select(EventRow.text).where(EventRow.cook_id == row.id).order_by(EventRow.id))
    rated = session.scalars(select(RatingRow.note).where(RatingRow.cook_id == row.id))
    texts = (row.name, row.food.replace("_", " ").replace("-", " "), *notes, *rated)
    row.words = "\n".join(filter(None, texts)).casefold()


def _cooks(session: Session, rows: Sequence[CookRow]) -> list[Cook]:
    """Cooks with their events and ratings, by two queries however many they are."""
    ids = [row.id for row in rows]
    events: dict[int, list[Event]] = defaultdict(list)
    found = select(EventRow).where(EventRow.cook_id.in_(ids)).order_by(EventRow.at_us, EventRow.id)
    for e in session.scalars(found):
        happening = Happening(e.happening)
        event = Event(happening, from_us(e.at_us), from_us(e.told_at_us), e.value_C, e.text, e.id)
        events[e.cook_id].append(event)
    ratings = {
        r.cook_id: Rating(**{name: getattr(r, name) for name in _RATED})
        for r in session.scalars(select(RatingRow).where(RatingRow.cook_id.in_(ids)))
    }
    return [_cook(row, events[row.id], ratings.get(row.id)) for row in rows]


def _cook(row: CookRow, events: list[Event], rating: Rating | None) -> Cook:
    return Cook(
        row.question, from_us(row.planned_at_us), row.name, row.food, row.set_point_C, row.thickness_m,
        row.planned_bath_s, tuple(events), rating, row.ended, row.id, row.revision,
    )  # fmt: skip
