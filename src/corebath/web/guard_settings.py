"""The figures of data/guard.toml, named as there."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from typing import TypeVar

from corebath.data_files import read_toml

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Requests:
    """What one request may be: lengths, how long its head and its body may take [s], and how many at once.

    ending_s : how long requests under way may take when the server is ended [s]
    idle_s : how long a connection is kept for the next request; clients that keep theirs shorter lose none [s]
    """

    query_characters: int
    form_bytes: int
    file_bytes: int
    head_s: float
    body_s: float
    ending_s: float
    idle_s: float
    connections: int
    pages_at_once: int


@dataclass(frozen=True, slots=True)
class Pace:
    """A token bucket: so many at once, so many a second after that."""

    at_once: float
    a_second: float


@dataclass(frozen=True, slots=True)
class Pairing:
    """How long codes [s] and devices [days] hold, and how many there may be."""

    code_letters: int
    code_s: float
    codes_at_once: int
    device_days: int
    devices: int
    device_name_characters: int


@dataclass(frozen=True, slots=True)
class Sharing:
    """How long a shared card holds [days], how many there may be, and how many pages are kept ready."""

    days: int
    shares: int
    kept_pages: int


@cache
def requests() -> Requests:
    """What one request may be."""
    return _read(Requests, "requests")


@cache
def pace(name: str) -> Pace:
    """The pace of a kind of client. name : a table under `pace`"""
    return _read(Pace, "pace", name)


@cache
def pairing() -> Pairing:
    """How devices are paired."""
    return _read(Pairing, "pairing")


@cache
def sharing() -> Sharing:
    """How cards are shared."""
    return _read(Sharing, "sharing")


def _read(kind: type[T], *path: str) -> T:
    table = read_toml("corebath.web", "guard.toml")
    for name in path:
        table = table[name]
    return kind(**{f.name: table[f.name] for f in fields(kind)})  # type: ignore[arg-type]
