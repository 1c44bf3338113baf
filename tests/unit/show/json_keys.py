"""Keys of JSON, to compare with the pages that describe them."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any


def keys_of(value: Any) -> Iterator[str]:
    """Every key of an answer, however deep."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield key
            yield from keys_of(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from keys_of(inner)
