"""Coroutines beside a browser: its driver keeps an event loop in the main thread, where no other can run."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import Any, TypeVar

T = TypeVar("T")


def run_apart(task: Coroutine[Any, Any, T]) -> T:
    """What a coroutine returns, run in a thread of its own."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, task).result()
