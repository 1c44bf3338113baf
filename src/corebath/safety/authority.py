"""Authorities: whose rules a plan is held to."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from corebath.safety.tables import read_toml


class Authority(StrEnum):
    """A rule profile; the European rule on fish worms goes with UK, New Zealand with AU."""

    US = "US"
    UK = "UK"
    AU = "AU"


@dataclass(frozen=True, slots=True)
class Profile:
    """What stands behind an authority: its name, the bodies whose rules are used, and what was not held."""

    authority: Authority
    name: str
    bodies: str
    note: str


def profile(authority: Authority) -> Profile:
    """The profile of an authority."""
    return Profile(authority, **read_toml("authorities.toml")[authority.value])
