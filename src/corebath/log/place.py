"""Where the store lies."""

from __future__ import annotations

import hashlib
import os
from pathlib import Path

from platformdirs import user_data_path


def store_address(*, demo: bool = False) -> str | Path:
    """The address in COREBATH_STORE, or a file in the user's data folder; the demo kitchen has one of its own."""
    named = os.environ.get("COREBATH_STORE")
    if named:
        return named
    return user_data_path("corebath", appauthor=False) / ("demo.db" if demo else "kitchen.db")


def key_path(file: Path | None, shown_address: str) -> Path:
    """Where the key of a store's household lies: beside its file or, for one on a server, in the user's data folder.

    shown_address : of a store on a server, without its password
    """
    if file is not None:
        return file.with_name(f"{file.name}.key")
    name = hashlib.sha256(shown_address.encode()).hexdigest()[:16]
    return user_data_path("corebath", appauthor=False) / f"server-{name}.key"
