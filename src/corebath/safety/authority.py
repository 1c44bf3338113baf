"""Authorities: whose rules a plan is held to."""

from __future__ import annotations

from enum import StrEnum


class Authority(StrEnum):
    """A rule profile. The names of the bodies behind each stand in data/authorities.toml."""

    US = "US"
    UK = "UK"
    AU = "AU"
