"""What was just done, told once on the next page, with the way to take it back."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Final
from urllib.parse import parse_qsl, urlencode

COOKIE: Final = "sockwright_flash"

LONGEST = 500


@dataclass(frozen=True)
class Flash:
    """The words, the address that undoes it ("" if none does), and the version it is to see."""

    words: str
    undo: str = ""
    seen: int = 0

    def as_cookie(self) -> str:
        """The cookie's text."""
        return urlencode(asdict(self))


def read_flash(cookie: str | None) -> Flash | None:
    """What the cookie tells; None if nothing, or nothing of ours."""
    given = dict(parse_qsl(cookie or ""))
    words, undo, seen = given.get("words", ""), given.get("undo", ""), given.get("seen", "0")
    if not words or not seen.isdecimal() or len(seen) > 9:
        return None
    ours = undo if undo.startswith("/") and not undo.startswith("//") else ""
    return Flash(words[:LONGEST], ours, int(seen))
