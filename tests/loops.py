"""Asynchronous work for tests: in another thread, for a browser may have this one's event loop."""

from __future__ import annotations

import asyncio
from collections.abc import Coroutine
from concurrent.futures import ThreadPoolExecutor
from typing import TypeVar

T = TypeVar("T")


def run(work: Coroutine[object, object, T]) -> T:
    """What the work comes to."""
    with ThreadPoolExecutor(1) as thread:
        return thread.submit(asyncio.run, work).result()
