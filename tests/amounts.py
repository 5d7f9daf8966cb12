"""How much is tried: little by default, much in `make test-long`."""

from __future__ import annotations

import os

LONG = bool(os.environ.get("SOCKWRIGHT_LONG"))


def amount(usual: int, long: int) -> int:
    """So many as a rule, so many in `make test-long`."""
    return long if LONG else usual
