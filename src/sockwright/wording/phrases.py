"""The phrases of a room: one file of English ones, told in any language and filled in by name."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any

from sockwright.errors import SockwrightError
from sockwright.words import ENGLISH, Tongue, tongue
from sockwright.words.sentences import Sentence, sentence_of

FOLDER: Any = files("sockwright.wording") / "words"
"""Where the file of phrases lies (a path)."""
FILE = "en.toml"


class PhraseError(SockwrightError, LookupError):
    """A phrase asked for that the file does not have."""


@dataclass(frozen=True)
class Phrases:
    """All phrases in one language, by dotted key ("step.rounds")."""

    tongue: Tongue
    table: Mapping[str, str]

    def say(self, key: str, **values: object) -> str:
        """The phrase `key` with its fields filled in, each told; PhraseError if there is none."""
        if key not in self.table:
            raise PhraseError(f"words/{FILE}: no phrase {key!r}")
        phrase = self.table[key]
        if self.tongue is ENGLISH:
            return phrase.format_map(values)
        return self.tongue.fill(phrase, values)

    def sentence(self, key: str, **values: object) -> Sentence:
        """The phrase `key` in pieces, with the amounts among its values apart."""
        if key not in self.table:
            raise PhraseError(f"words/{FILE}: no phrase {key!r}")
        return sentence_of(self.tongue, self.table[key], values)

    def __contains__(self, key: str) -> bool:
        return key in self.table

    def under(self, table: str) -> Iterator[str]:
        """Keys of one table of the file, in its order."""
        start = table + "."
        return (key for key in self.table if key.startswith(start))


def load_phrases(language: str = "en", folder: Any = None) -> Phrases:
    """The phrases in `language`, of another room's `folder` if one is given.

    Raises UnknownTongue for a language without a catalogue.
    """
    return _load(FOLDER if folder is None else folder, tongue(language))


@cache
def _load(folder: Any, tongue: Tongue) -> Phrases:
    table = english_phrases(folder)
    return Phrases(tongue, {key: tongue.gettext(text) for key, text in table.items()})


def english_phrases(folder: Any = None) -> Mapping[str, str]:
    """The phrases as they stand in the file."""
    path = (FOLDER if folder is None else folder) / FILE
    return dict(_flat(tomllib.loads(path.read_text(encoding="utf-8")), ""))


def _flat(data: Mapping[str, Any], start: str) -> Iterator[tuple[str, str]]:
    for key, value in data.items():
        if isinstance(value, dict):
            yield from _flat(value, f"{start}{key}.")
        else:
            yield start + key, str(value)
