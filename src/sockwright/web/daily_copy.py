"""A copy of the workshop each day: when it is opened, and when a day begins while it is open."""

from __future__ import annotations

import logging
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Final

from sockwright.store.copies import keep_copy
from sockwright.store.items import StoreError

LOOKS_AFTER_S: Final = 600.0
"""How long after a look whether a day has begun the next one comes, s."""

_log = logging.getLogger("sockwright.web")


@contextmanager
def copied_daily(
    file: Path | None, today: Callable[[], date], looks_after_s: float = LOOKS_AFTER_S
) -> Iterator[None]:
    """Keep a copy of each day on which the block runs; a database without a `file` has none.

    Where a copy cannot be made, that is told once a day, and the workshop goes on.
    """
    if file is None:
        yield
        return
    ended, told = threading.Event(), set[date]()
    copy_today(file, today(), told)

    def look() -> None:
        while not ended.wait(looks_after_s):
            copy_today(file, today(), told)

    watch = threading.Thread(target=look, name="daily copy", daemon=True)
    watch.start()
    try:
        yield
    finally:
        ended.set()
        watch.join()


def copy_today(file: Path, day: date, told: set[date]) -> None:
    """Keep the copy of a day, if there is none; `told` are the days of which a failure is told."""
    try:
        keep_copy(file, day.isoformat())
    except StoreError as error:
        if day not in told:
            told.add(day)
            _log.warning("%s", error)
