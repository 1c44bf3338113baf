"""Moments as the store keeps them: whole microseconds since 1970-01-01 UTC."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_US = timedelta(microseconds=1)
_LAST_YEAR = 2199


def to_us(at: datetime) -> int:
    """A moment with a zone, as microseconds. Raises ValueError without a zone and outside 1970 to 2199."""
    if at.tzinfo is None:
        raise ValueError("a moment needs a time zone")
    if not EPOCH.year < at.year <= _LAST_YEAR:
        raise ValueError(f"a moment must lie after {EPOCH.year} and before {_LAST_YEAR + 1}")
    return (at - EPOCH) // _US


def from_us(us: int) -> datetime:
    """A moment in UTC."""
    return EPOCH + timedelta(microseconds=us)
