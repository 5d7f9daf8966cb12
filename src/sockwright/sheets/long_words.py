"""Places to break a word that is longer than a column: hidden until a line really ends there."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Iterator
from itertools import pairwise
from typing import Any

SOFT_HYPHEN, SOFT_SPACE = "\u00ad", "\u200b"
"""A break between letters shows a hyphen; one beside a figure or a sign shows nothing."""
LONGEST, PIECE = 16, 12
"""Signs of a word that is left whole, and of a piece of a longer one: 12 of the widest capitals
still fit the narrowest column with a name in it, that of the yarns on the record."""
BREAKABLE = {"Lu", "Ll", "Lt", "Nd", "Pc", "Pd", "Ps", "Pe", "Po", "Sm", "Sc"}
"""Classes of signs that may be parted. Marks and joiners belong to the sign before them; scripts
without capitals join their letters or are broken by the typesetter itself."""


def breakable(data: Any, names: Container[str] = ()) -> Any:
    """The data of a sheet with every text in composed letters (Unicode's NFC) and its long words
    given places to break; texts in `names`, which name drawings, stay as they are."""
    if isinstance(data, str):
        return data if data in names else with_breaks(data)
    if isinstance(data, dict):
        return {key: breakable(value, names) for key, value in data.items()}
    if isinstance(data, list | tuple):
        return [breakable(value, names) for value in data]
    return data


def with_breaks(text: str) -> str:
    """The text in composed letters, its words of more than LONGEST signs in pieces of PIECE."""
    return re.sub(rf"\S{{{LONGEST + 1},}}", lambda word: "".join(_pieces(word[0])), composed(text))


def composed(text: str) -> str:
    """The text with a letter and its marks as one sign wherever there is one: typefaces have it."""
    return unicodedata.normalize("NFC", text)


def _pieces(word: str) -> Iterator[str]:
    """The signs of a word and its breaks, PIECE signs apart or at the next place that allows it."""
    length = 1
    yield word[0]
    for before, after in pairwise(word):
        if length >= PIECE and _may_part(before, after):
            yield SOFT_HYPHEN if before.isalpha() and after.isalpha() else SOFT_SPACE
            length = 0
        length += 1
        yield after


def _may_part(before: str, after: str) -> bool:
    return unicodedata.category(before) in BREAKABLE and unicodedata.category(after) in BREAKABLE
