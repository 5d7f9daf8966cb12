"""The words of the sheets that do not come from the crank program or from the user."""

from __future__ import annotations

from importlib.resources import files
from typing import Any

from sockwright.wording.phrases import Phrases, load_phrases

FOLDER: Any = files("sockwright.sheets") / "words"


def sheet_phrases(language: str = "en") -> Phrases:
    """The sheets' phrases in a language; UnknownTongue for one without a catalogue."""
    return load_phrases(language, FOLDER)
