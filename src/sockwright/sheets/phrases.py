"""The words on sheets, beside those of the crank program."""

from __future__ import annotations

from importlib.resources import files

from sockwright.program.phrases import load_phrases

FOLDER = files("sockwright.sheets") / "words"


def say(key: str, **values: object) -> str:
    """The sheets' phrase `key` with its fields filled in; PhraseError if there is none."""
    return load_phrases(folder=FOLDER).say(key, **values)
