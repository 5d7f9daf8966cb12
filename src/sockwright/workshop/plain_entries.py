"""A log's entries of the usual kind, taken without asking the declaration about each key.

A workshop of years has a hundred thousand of them in its file. Whatever is not plainly sound is
left to the declaration, which says what is wrong with it.
"""

from __future__ import annotations

import re
from datetime import datetime
from typing import Any

from sockwright.bench.log import WHICH, Deed
from sockwright.store.kept import KeptEntry
from sockwright.store.models import moment_from

_ID = "[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"
_WORDS = re.compile(
    rf"{_ID} {_ID} {_ID} (?:{'|'.join(WHICH)}) (?:{'|'.join(Deed)}) (?:{_ID})?"
    r" \d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{3})?Z"
)
_NEEDED = frozenset(("id", "sock_id", "which", "received", "clock", "device", "time", "deed"))
_NUMBERS = {"by": 0, "of": "", "at": 0, "text": ""}
_ALL = _NEEDED | _NUMBERS.keys()
_MOST = 10_000


def plain_entry(given: object) -> KeptEntry | None:
    """The entry, if it is a sound one without a note; None for any other, sound or not."""
    if not isinstance(given, dict) or not _NEEDED <= given.keys() <= _ALL:
        return None
    entry: dict[str, Any] = {**_NUMBERS, **given}
    clock, by, at = entry["clock"], entry["by"], entry["at"]
    if entry["text"] != "" or not type(clock) is type(by) is type(at) is int:
        return None
    if not (0 < clock < _MOST and 0 <= by < _MOST and 0 <= at < _MOST):
        return None
    try:
        words = ("id", "sock_id", "device", "which", "deed", "of", "time")
        if not _WORDS.fullmatch(" ".join([entry[word] for word in words])):
            return None
        datetime.fromisoformat(entry["time"])
        return KeptEntry(**{**entry, "received": moment_from(entry["received"])})
    except (TypeError, ValueError):
        return None
