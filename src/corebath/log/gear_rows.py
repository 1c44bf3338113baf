"""The kitchen in its tables."""

from __future__ import annotations

from collections.abc import Iterator
from zoneinfo import ZoneInfo

from sqlalchemy import delete, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session
from sqlalchemy.orm.exc import StaleDataError

from corebath.bath.gear import Room
from corebath.bath.heater import Heater
from corebath.bath.vessel import Vessel, Wall
from corebath.safety.authority import Authority
from corebath.units import METRIC, US

from .errors import Outdated, StoreError
from .gear import Kitchen, NamedHeater, NamedVessel
from .tables import HeaterRow, KitchenRow, VesselRow

_UNITS = {"metric": METRIC, "us": US}
_CHANGED = "the kitchen was changed in another window meanwhile: look at it again, then change it"


def read_kitchen(session: Session) -> tuple[Kitchen, int] | None:
    """The kitchen and its revision, or None in a new store. Raises StoreError when its rows make no kitchen."""
    row = session.get(KitchenRow, 1)
    if row is None:
        return None
    vessels = session.scalars(select(VesselRow).order_by(VesselRow.place)).all()
    heaters = session.scalars(select(HeaterRow).order_by(HeaterRow.place)).all()
    try:
        return kitchen_of(row, list(vessels), list(heaters)), row.revision
    except (ValueError, KeyError) as error:
        raise StoreError(f"the store holds a kitchen that is not understood: {error}") from error


def write_kitchen(session: Session, kitchen: Kitchen, revision: int) -> int:
    """Write the kitchen whose `revision` was read; returns the new revision, raises Outdated."""
    row = session.get(KitchenRow, 1)
    if (row.revision if row else 0) != revision:
        raise Outdated(_CHANGED)
    if row is None:
        row = KitchenRow(id=1)
        session.add(row)
    _fill(row, kitchen, revision + 1)
    try:
        # The row is written only where its revision still is the one read, whoever else writes.
        session.flush()
    except (StaleDataError, IntegrityError) as error:
        raise Outdated(_CHANGED) from error
    session.execute(delete(VesselRow))
    session.execute(delete(HeaterRow))
    session.add_all(_vessel_rows(kitchen))
    session.add_all(_heater_rows(kitchen))
    return revision + 1


def kitchen_of(row: KitchenRow, vessels: list[VesselRow], heaters: list[HeaterRow]) -> Kitchen:
    """The kitchen that rows stand for. Raises ValueError or KeyError when they make none."""
    return Kitchen(
        zone=ZoneInfo(row.zone),
        preference=_UNITS[row.units],
        units_chosen=True,
        authority=Authority(row.authority),
        room=Room(row.air_C, row.humidity, row.altitude_m, row.draught_m_s),
        cold_tap_C=row.cold_tap_C,
        hot_tap_C=row.hot_tap_C,
        fridge_C=row.fridge_C,
        freezer_C=row.freezer_C,
        probe_offset_K=row.probe_offset_K,
        price_per_kWh=row.price_per_kWh,
        currency=row.currency,
        cover=row.cover,
        vessels=tuple(
            NamedVessel(v.name, Vessel(v.length_m, v.width_m, v.depth_m, Wall.named(v.wall), v.wrap_m2K_W))
            for v in vessels
        ),
        heaters=tuple(
            NamedHeater(h.name, Heater(h.power_W, h.lowest_m, h.highest_m, h.sd_K, h.room_m)) for h in heaters
        ),
    )


def rows_of(kitchen: Kitchen) -> tuple[KitchenRow, list[VesselRow], list[HeaterRow]]:
    """The rows that stand for a kitchen, in no store yet."""
    row = KitchenRow(id=1)
    _fill(row, kitchen, 0)
    return row, list(_vessel_rows(kitchen)), list(_heater_rows(kitchen))


def _fill(row: KitchenRow, kitchen: Kitchen, revision: int) -> None:
    row.revision = revision
    row.zone = kitchen.zone.key
    row.units = next(name for name, preference in _UNITS.items() if preference == kitchen.preference)
    row.authority = kitchen.authority.value
    room = kitchen.room
    row.air_C, row.humidity, row.altitude_m, row.draught_m_s = (
        room.air_C, room.humidity, room.altitude_m, room.draught_m_s,
    )  # fmt: skip
    for name in (
        "cold_tap_C", "hot_tap_C", "fridge_C", "freezer_C", "probe_offset_K", "price_per_kWh", "currency", "cover",
    ):  # fmt: skip
        setattr(row, name, getattr(kitchen, name))


def _vessel_rows(kitchen: Kitchen) -> Iterator[VesselRow]:
    for place, named in enumerate(kitchen.vessels):
        v = named.vessel
        yield VesselRow(
            kitchen_id=1, place=place, name=named.name, length_m=v.length_m, width_m=v.width_m, depth_m=v.depth_m,
            wall=v.wall.key, wrap_m2K_W=v.wrap_m2K_W,
        )  # fmt: skip


def _heater_rows(kitchen: Kitchen) -> Iterator[HeaterRow]:
    for place, named in enumerate(kitchen.heaters):
        h = named.heater
        yield HeaterRow(
            kitchen_id=1, place=place, name=named.name, power_W=h.power_W, lowest_m=h.lowest_m,
            highest_m=h.highest_m, sd_K=h.sd_K, room_m=h.room_m,
        )  # fmt: skip
