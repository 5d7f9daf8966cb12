"""Stored values that are not what their column holds: read as such, so that others still read."""

from __future__ import annotations

import json
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Unreadable:
    """What stands in place of a value that does not read; `raw` is what is stored."""

    raw: object


def loads(text: Any) -> Any:
    """A stored JSON text; Unreadable where it is none."""
    try:
        return json.loads(text)
    except (ValueError, TypeError, RecursionError):
        return Unreadable(text)


def text_from(stored: bytes) -> str:
    """A stored text; bytes that are no UTF-8 become halves of characters, which no text has."""
    return stored.decode("utf-8", "surrogateescape")
