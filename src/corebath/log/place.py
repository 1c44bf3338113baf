"""Where the store lies."""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_data_path


def store_address(*, demo: bool = False) -> str | Path:
    """The address in COREBATH_STORE, or a file in the user's data folder; the demo kitchen has one of its own."""
    named = os.environ.get("COREBATH_STORE")
    if named:
        return named
    return user_data_path("corebath", appauthor=False) / ("demo.db" if demo else "kitchen.db")
