"""Tables of the store."""

from __future__ import annotations

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, Index, MetaData
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column


class Base(DeclarativeBase):
    """All tables; constraints get stable names, so that migrations can change them."""

    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_label)s",
            "uq": "uq_%(table_name)s_%(column_0_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class KitchenRow(Base):
    """The one kitchen of this store. `revision` rises with every change of the gear."""

    __tablename__ = "kitchen"
    __table_args__ = (CheckConstraint("id = 1", name="only_one"),)

    id: Mapped[int] = mapped_column(primary_key=True, autoincrement=False)
    revision: Mapped[int] = mapped_column()
    zone: Mapped[str]
    units: Mapped[str]
    authority: Mapped[str]
    air_C: Mapped[float]
    humidity: Mapped[float]
    altitude_m: Mapped[float]
    draught_m_s: Mapped[float]
    cold_tap_C: Mapped[float]
    hot_tap_C: Mapped[float]
    fridge_C: Mapped[float | None]
    freezer_C: Mapped[float]
    probe_offset_K: Mapped[float]
    price_per_kWh: Mapped[float | None]
    currency: Mapped[str]
    cover: Mapped[str]

    # A change is written only where the revision still is the one that was read.
    __mapper_args__ = {"version_id_col": revision, "version_id_generator": False}  # noqa: RUF012 - read once, by mapping


class VesselRow(Base):
    """A vessel; `place` orders them, the usual one first."""

    __tablename__ = "vessel"

    id: Mapped[int] = mapped_column(primary_key=True)
    kitchen_id: Mapped[int] = mapped_column(ForeignKey("kitchen.id", ondelete="CASCADE"))
    place: Mapped[int]
    name: Mapped[str]
    length_m: Mapped[float]
    width_m: Mapped[float | None]
    depth_m: Mapped[float]
    wall: Mapped[str]
    wrap_m2K_W: Mapped[float]


class HeaterRow(Base):
    """A heater; `place` orders them, the usual one first."""

    __tablename__ = "heater"

    id: Mapped[int] = mapped_column(primary_key=True)
    kitchen_id: Mapped[int] = mapped_column(ForeignKey("kitchen.id", ondelete="CASCADE"))
    place: Mapped[int]
    name: Mapped[str]
    power_W: Mapped[float]
    lowest_m: Mapped[float]
    highest_m: Mapped[float]
    sd_K: Mapped[float]
    room_m: Mapped[float]


class CookRow(Base):
    """A cook. `words` is what a search looks through; moments are microseconds since 1970 UTC in all tables."""

    __tablename__ = "cook"
    # A number once given is never given again, so that an old address cannot show another cook.
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    uid: Mapped[str] = mapped_column(unique=True)
    revision: Mapped[int]
    question: Mapped[str]
    planned_at_us: Mapped[int] = mapped_column(BigInteger, index=True)
    name: Mapped[str]
    food: Mapped[str]
    set_point_C: Mapped[float]
    thickness_m: Mapped[float]
    planned_bath_s: Mapped[float]
    ended: Mapped[bool]
    words: Mapped[str]


class EventRow(Base):
    """One thing that happened in a cook."""

    __tablename__ = "event"
    __table_args__ = (Index("ix_event_cook_id_at_us", "cook_id", "at_us"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id", ondelete="CASCADE"))
    happening: Mapped[str]
    at_us: Mapped[int] = mapped_column(BigInteger)
    told_at_us: Mapped[int] = mapped_column(BigInteger)
    value_C: Mapped[float | None]
    text: Mapped[str]


class RatingRow(Base):
    """What the table thought of a cook."""

    __tablename__ = "rating"

    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id", ondelete="CASCADE"), primary_key=True)
    tender: Mapped[int | None]
    juicy: Mapped[int | None]
    done: Mapped[int | None]
    crust: Mapped[int | None]
    salt: Mapped[int | None]
    note: Mapped[str]


class ReadingRow(Base):
    """A temperature. The key makes the same reading told twice one reading, and is the index by cook and moment."""

    __tablename__ = "reading"
    __table_args__ = ({"sqlite_with_rowid": False},)

    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id", ondelete="CASCADE"), primary_key=True)
    place: Mapped[str] = mapped_column(primary_key=True)
    at_us: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    value_C: Mapped[float] = mapped_column(primary_key=True)
    source: Mapped[str]


class PhotoRow(Base):
    """A photo of a cook."""

    __tablename__ = "photo"
    __table_args__ = (Index("ix_photo_cook_id_at_us", "cook_id", "at_us"), {"sqlite_autoincrement": True})

    id: Mapped[int] = mapped_column(primary_key=True)
    cook_id: Mapped[int] = mapped_column(ForeignKey("cook.id", ondelete="CASCADE"))
    at_us: Mapped[int] = mapped_column(BigInteger)
    caption: Mapped[str]
    media_type: Mapped[str]
    size: Mapped[int]
    data: Mapped[bytes] = mapped_column(deferred=True)


class RecordRow(Base):
    """A row of the kitchen's records, written once. `at_us` is the moment it stands under, for the list by day.

    `cook_uid` names a cook that may be gone, or not here yet; `subject` is JSON.
    """

    __tablename__ = "record"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    uid: Mapped[str] = mapped_column(unique=True)
    points_at: Mapped[int | None] = mapped_column(ForeignKey("record.id"), index=True)
    cook_uid: Mapped[str | None] = mapped_column(index=True)
    step: Mapped[str]
    batch: Mapped[str]
    at_us: Mapped[int] = mapped_column(BigInteger, index=True)
    told_at_us: Mapped[int] = mapped_column(BigInteger)
    began_at_us: Mapped[int | None] = mapped_column(BigInteger)
    ended_at_us: Mapped[int | None] = mapped_column(BigInteger)
    initials: Mapped[str]
    authority: Mapped[str]
    set_C: Mapped[float | None]
    food: Mapped[str]
    subject: Mapped[str | None]
    pasteurised: Mapped[bool]
    opened: Mapped[bool]
    held_hot: Mapped[bool]
    point: Mapped[str | None]
    altitude_m: Mapped[float | None]
    offset_K: Mapped[float]
    action: Mapped[str]
    note: Mapped[str]


class MeasuredRow(Base):
    """One temperature of a row of the records, as it was read."""

    __tablename__ = "record_measured"
    __table_args__ = ({"sqlite_with_rowid": False},)

    record_id: Mapped[int] = mapped_column(ForeignKey("record.id"), primary_key=True)
    at_us: Mapped[int] = mapped_column(BigInteger, primary_key=True)
    value_C: Mapped[float]


class SharedRow(Base):
    """A plan that was shared by a link, of which only the hash is kept. `kitchen` is JSON, without any name."""

    __tablename__ = "shared"
    __table_args__ = ({"sqlite_autoincrement": True},)

    id: Mapped[int] = mapped_column(primary_key=True)
    token_hash: Mapped[str] = mapped_column(unique=True)
    name: Mapped[str]
    query: Mapped[str]
    kitchen: Mapped[str]
    created_at_us: Mapped[int] = mapped_column(BigInteger)
    expires_at_us: Mapped[int] = mapped_column(BigInteger)
    revoked: Mapped[bool]
