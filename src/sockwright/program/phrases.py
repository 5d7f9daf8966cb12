"""The phrases of a language: one file of them, loaded once and filled in by name."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from string import Formatter
from typing import Any

from sockwright.errors import SockwrightError

FOLDER: Any = files("sockwright.program") / "words"
"""Where the language files lie (a path): `en.toml` and what is dropped in beside it."""
MODEL = "en"
"""The language every other file is compared with."""


class PhraseError(SockwrightError, LookupError):
    """A language without its file, or a file without a phrase or one of its fields."""


@dataclass(frozen=True)
class Phrases:
    """All phrases of `language`, by dotted key ("step.rounds")."""

    language: str
    table: Mapping[str, str]

    def say(self, key: str, **values: object) -> str:
        """The phrase `key` with its fields filled in; PhraseError if there is none."""
        try:
            return self.table[key].format_map(values)
        except KeyError:
            if key in self.table:
                raise
            raise PhraseError(f"words/{self.language}.toml: no phrase {key!r}") from None

    def __contains__(self, key: str) -> bool:
        return key in self.table

    def under(self, table: str) -> Iterator[str]:
        """Keys of one table of the file, in its order."""
        start = table + "."
        return (key for key in self.table if key.startswith(start))


def load_phrases(language: str = MODEL, folder: Any = None) -> Phrases:
    """The phrases of `language`, from another room's `folder` of language files if one is given.

    Raises PhraseError where there is no such file, or naming every phrase and field that the
    English file has and this one has not.
    """
    return _load(FOLDER if folder is None else folder, language)


@cache
def _load(folder: Any, language: str) -> Phrases:
    path = folder / f"{language}.toml"
    if not path.is_file():
        known = sorted(entry.name[:-5] for entry in folder.iterdir() if entry.name[-5:] == ".toml")
        raise PhraseError(f"no language {language!r}; there is {', '.join(known)}")
    table = dict(_flat(tomllib.loads(path.read_text(encoding="utf-8")), ""))
    if language != MODEL:
        _compare(language, table, _load(folder, MODEL).table)
    return Phrases(language, table)


def _flat(data: Mapping[str, Any], start: str) -> Iterator[tuple[str, str]]:
    for key, value in data.items():
        if isinstance(value, dict):
            yield from _flat(value, f"{start}{key}.")
        else:
            yield start + key, str(value)


def _compare(language: str, table: Mapping[str, str], model: Mapping[str, str]) -> None:
    wrong = [f"no phrase {key!r}" for key in model if key not in table]
    for key, phrase in table.items():
        strange = fields(phrase) - fields(model.get(key, ""))
        wrong += [f"{key!r} asks for {{{name}}}, which is not given" for name in sorted(strange)]
    if wrong:
        raise PhraseError(f"words/{language}.toml: " + "; ".join(wrong))


def fields(phrase: str) -> set[str]:
    """Names of the fields a phrase has filled in."""
    return {name for _, name, _, _ in Formatter().parse(phrase) if name is not None}
