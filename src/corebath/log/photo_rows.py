"""Photos in their table."""

from __future__ import annotations

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from .errors import Missing
from .moments import from_us, to_us
from .photo import Photo, PhotoLabel
from .tables import PhotoRow
from .texts import limits


def insert_photo(session: Session, cook_id: int, photo: Photo) -> PhotoLabel:
    """Write a photo. Raises ValueError when the cook has as many as it may have."""
    most = limits().photos_a_cook
    if (session.scalar(select(func.count()).where(PhotoRow.cook_id == cook_id)) or 0) >= most:
        raise ValueError(f"a cook can have at most {most} photos")
    row = PhotoRow(
        cook_id=cook_id, at_us=to_us(photo.at), caption=photo.caption, media_type=photo.media_type,
        size=len(photo.data), data=photo.data,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return _label(row)


def list_photos(session: Session, cook_id: int) -> tuple[PhotoLabel, ...]:
    """What is known of a cook's photos, the earliest first."""
    wanted = select(PhotoRow).where(PhotoRow.cook_id == cook_id).order_by(PhotoRow.at_us, PhotoRow.id)
    return tuple(_label(row) for row in session.scalars(wanted))


def read_photo(session: Session, photo_id: int) -> Photo:
    """One photo. Raises Missing."""
    row = photo_row(session, photo_id)
    return Photo(bytes(row.data), from_us(row.at_us), row.caption, row.id)


def photo_row(session: Session, photo_id: int) -> PhotoRow:
    """The row of a photo. Raises Missing."""
    row = session.get(PhotoRow, photo_id) if -(2**31) < photo_id < 2**31 else None
    if row is None:
        raise Missing(f"there is no photo {photo_id} in this store")
    return row


def _label(row: PhotoRow) -> PhotoLabel:
    return PhotoLabel(row.id, from_us(row.at_us), row.caption, row.media_type, row.size)
