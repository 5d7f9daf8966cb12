"""Which of the words in an order need letters that no shipped typeface has."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator
from dataclasses import fields, is_dataclass
from enum import Enum

from sockwright.plan import Plan
from sockwright.sheets.faces import shipped_letters
from sockwright.sheets.long_words import composed

UNSEEN = {"Zs", "Zl", "Zp", "Cc", "Cf"}
"""Classes of signs that leave no ink: blanks, controls, joiners."""


def missing_letters(plan: Plan) -> tuple[str, ...]:
    """The names and other words of the plan's order with letters that no shipped face has."""
    return tuple(words for words in dict.fromkeys(_words(plan.order)) if lacking(words))


def lacking(words: str) -> str:
    """The letters of `words` that no shipped face has, each once, in their order."""
    letters = dict.fromkeys(composed(words))
    return "".join(letter for letter in letters if not _has(letter))


def _has(letter: str) -> bool:
    unseen = unicodedata.category(letter) in UNSEEN or "\ufe00" <= letter <= "\ufe0f"
    return unseen or ord(letter) in shipped_letters()


def _words(value: object) -> Iterator[str]:
    """Every text the user wrote in an order, however deep it lies."""
    if isinstance(value, str) and not isinstance(value, Enum):
        yield value
    elif isinstance(value, tuple):
        for part in value:
            yield from _words(part)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _words(getattr(value, field.name))
