"""Shared plans in their table."""

from __future__ import annotations

import json
from datetime import datetime

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from .errors import Missing, StoreError
from .gear import Kitchen
from .gear_rows import kitchen_of, rows_of
from .moments import from_us, to_us
from .share import Shared
from .tables import HeaterRow, KitchenRow, SharedRow, VesselRow
from .transfer import values_of

_GONE = "nothing is shared at this address, or not any more"


def insert_shared(session: Session, shared: Shared, token_hash: str, most: int) -> Shared:
    """Write a shared plan; those that are over make room. Raises StoreError when there are as many as there may be."""
    now = to_us(shared.created_at)
    for old in session.scalars(select(SharedRow).where(SharedRow.revoked | (SharedRow.expires_at_us <= now))):
        session.delete(old)
    session.flush()
    if (session.scalar(select(func.count()).select_from(SharedRow)) or 0) >= most:
        raise StoreError(f"{most} plans are shared, as many as there may be: stop sharing one on Gear first")
    row = SharedRow(
        token_hash=token_hash, name=shared.name, query=shared.query, kitchen=_text_of(shared.kitchen),
        created_at_us=now, expires_at_us=to_us(shared.expires_at), revoked=False,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return _shared(row)


def read_shared(session: Session, token_hash: str, now: datetime) -> Shared:
    """The plan of a link. Raises Missing for one that never was, is over, or was revoked: they look the same."""
    row = session.scalar(select(SharedRow).where(SharedRow.token_hash == token_hash))
    if row is None or row.revoked or row.expires_at_us <= to_us(now):
        raise Missing(_GONE)
    return _shared(row)


def list_shared(session: Session, now: datetime) -> tuple[Shared, ...]:
    """Plans whose links hold, the last shared first."""
    holds = select(SharedRow).where(~SharedRow.revoked, SharedRow.expires_at_us > to_us(now))
    return tuple(_shared(row) for row in session.scalars(holds.order_by(SharedRow.id.desc())))


def revoke(session: Session, shared_id: int) -> None:
    """Stop sharing a plan. Raises Missing."""
    row = session.get(SharedRow, shared_id) if 0 < shared_id < 2**31 else None
    if row is None:
        raise Missing(_GONE)
    row.revoked = True


def _text_of(kitchen: Kitchen) -> str:
    row, vessels, heaters = rows_of(kitchen)
    return json.dumps(
        {
            "kitchen": values_of(row),
            "vessels": [values_of(vessel) for vessel in vessels],
            "heaters": [values_of(heater) for heater in heaters],
        }
    )


def _shared(row: SharedRow) -> Shared:
    held = json.loads(row.kitchen)
    vessels, heaters = [VesselRow(**v) for v in held["vessels"]], [HeaterRow(**h) for h in held["heaters"]]
    kitchen = kitchen_of(KitchenRow(**held["kitchen"]), vessels, heaters)
    return Shared(row.name, row.query, kitchen, from_us(row.created_at_us), from_us(row.expires_at_us), row.id)
