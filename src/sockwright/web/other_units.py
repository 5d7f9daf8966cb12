"""Units as German readers write them, turned into those that the order's reader knows."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from sockwright.errors import QuantityError
from sockwright.order.reader import Value
from sockwright.quantities import parse_fineness_tex
from sockwright.web.offers import accepts

LONGEST = 60
"""Characters: no quantity is longer, and nothing else shall be touched."""

WORDS: Mapping[str, str] = {
    "zoll": "in",
    "fuß": "ft",
    "fuss": "ft",
    "zentimeter": "cm",
    "gramm": "g",
    "kilogramm": "kg",
    "unze": "oz",
    "unzen": "oz",
    "prozent": "%",
    "maschen": "stitches",
    "stäbchen": "wales",
    "reihen": "rows",
    "runden": "courses",
}
"""German words, in small letters, and what the reader calls the same."""

BETWEEN = ("in", "per")
"""What "auf", "pro" and "je" mean: the reader has one word for counts and one for labels."""

READERS: Mapping[str, Callable[[object], object]] = {"fineness": parse_fineness_tex}
"""How the values are read that are taken as texts first, by their path."""

_WORD = re.compile(r"([a-zäöüß]+)", re.IGNORECASE)


def as_read(kind: Value, path: str, text: str) -> str:
    """The text, or the same in the reader's words where only those are understood."""
    if kind.words or len(text) > LONGEST or _understood(kind, path, text):
        return text
    return next((one for one in _in_our_words(text) if _understood(kind, path, one)), text)


def _in_our_words(text: str) -> Iterator[str]:
    for between in BETWEEN:
        words = {**WORDS, "auf": between, "pro": between, "je": between}
        parts = re.split(_WORD, text)
        yield "".join(words.get(part.lower(), part) for part in parts)


def _understood(kind: Value, path: str, text: str) -> bool:
    if not accepts(kind, text):
        return False
    try:
        READERS.get(path, str)(text)
    except QuantityError:
        return False
    return True
