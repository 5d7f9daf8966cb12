"""Damage at random: to bytes, to texts of orders, to documents. The same seed, the same damage."""

from __future__ import annotations

import random
import tomllib
from collections.abc import Iterator
from copy import deepcopy
from datetime import date
from typing import Any

import tomli_w

ODD_TEXTS = (
    "",
    " ",
    "\x00",
    "\u202e",
    "\ufeff",
    "\u200d",
    "e\u0301" * 9,
    "\U0001f9e6",
    "½ in",
    "٣ cm",
    "-1 cm",
    "1e999 cm",
    "9" * 190 + " cm",
    "1/0 in",
    "NaN cm",
    "100 % %",
    "a" * 5_000,
    "\n\r\t",
)
ODD_VALUES = (
    0,
    -1,
    10**18,
    10**400,
    1e308,
    -1e-308,
    float("inf"),
    float("nan"),
    True,
    [],
    {},
    [[]],
    {"": {}},
    date(2025, 11, 3),
    *ODD_TEXTS,
)
ODD_SIGNS = "\"'[]{}=.,#\\\n\x00\x7f\u2028\u202eéẞ🧦0_-+e"


def damaged_bytes(chance: random.Random, data: bytes) -> bytes:
    """The bytes cut short, with some of them changed, or with a piece twice."""
    given = bytearray(data)
    for _ in range(chance.randint(1, 4)):
        at = chance.randrange(len(given) + 1)
        kind = chance.randrange(4)
        if kind == 0:
            del given[at:]
        elif kind == 1:
            given[at : at + 1] = bytes([chance.randrange(256)])
        elif kind == 2:
            given[at:at] = given[at : at + chance.randint(1, 200)]
        else:
            del given[at : at + chance.randint(1, 200)]
    return bytes(given)


def damaged_text(chance: random.Random, text: str) -> str:
    """An order's text, damaged as a text or as a document."""
    if chance.random() < 0.3:
        return damaged_bytes(chance, text.encode()).decode("utf-8", "replace")
    if chance.random() < 0.2:
        at = chance.randrange(len(text))
        odd = chance.choice(ODD_SIGNS) * chance.choice((1, 1, 3, 2_000))
        return text[:at] + odd + text[at + chance.randint(0, 3) :]
    document = damaged_document(chance, tomllib.loads(text))
    return tomli_w.dumps(document) if isinstance(document, dict) else str(document)


def damaged_document(chance: random.Random, document: Any) -> Any:
    """The document with some of its values swapped, lost, renamed, doubled or made odd."""
    gently = chance.random() < 0.5
    for _ in range(chance.randint(1, 3)):
        places = list(_places(document))
        if not places:
            return document
        if gently:
            _slip(chance, *chance.choice(places))
        else:
            _damage(chance, *chance.choice(places), places)
    return document


def _slip(chance: random.Random, holder: Any, key: Any) -> None:
    """Another digit, a number more or less, a text the other way round: what often still reads."""
    value = holder[key]
    if isinstance(value, bool):
        holder[key] = not value
    elif isinstance(value, int | float):
        holder[key] = value + chance.choice((-1, 1, 10))
    elif isinstance(value, str):
        at = [place for place, sign in enumerate(value) if sign.isdigit()]
        if at:
            place = chance.choice(at)
            holder[key] = value[:place] + chance.choice("0123456789") + value[place + 1 :]
        else:
            holder[key] = value[::-1]


def _places(value: Any) -> Iterator[tuple[Any, Any]]:
    """Each table or array with each of its keys or numbers."""
    if isinstance(value, dict | list):
        for key in list(value) if isinstance(value, dict) else range(len(value)):
            yield value, key
            yield from _places(value[key])


def _damage(chance: random.Random, holder: Any, key: Any, places: list[tuple[Any, Any]]) -> None:
    kind = chance.randrange(7)
    if kind == 0:
        del holder[key]
    elif kind == 1 and isinstance(holder, dict):
        holder[str(key) + chance.choice(("x", "_", "é", "."))] = holder.pop(key)
    elif kind == 2 and isinstance(holder, list):
        holder.extend(deepcopy(holder[key]) for _ in range(chance.choice((1, 3, 60))))
    elif kind == 3:
        other, its = chance.choice(places)
        holder[key] = deepcopy(other[its])
    elif kind == 4:
        value = holder[key]
        for _ in range(chance.choice((1, 5, 30))):
            value = chance.choice(([value], {"a": value}))
        holder[key] = value
    elif kind == 5 and isinstance(holder[key], int | float):
        holder[key] = holder[key] * chance.choice((-1, 0, 10, 1e-9, 1e9))
    elif kind == 6 and isinstance(holder[key], str) and holder[key]:
        text = holder[key]
        at = chance.randrange(len(text))
        holder[key] = text[:at] + chance.choice(ODD_SIGNS) + text[at + chance.randint(0, 1) :]
    else:
        holder[key] = deepcopy(chance.choice(ODD_VALUES))
