"""Every word a user reads: English where it stands in the code, other languages in a catalogue."""

from sockwright.words.said import (
    Said,
    by_units,
    capitalised,
    dated,
    either,
    joined,
    listed,
    numeral,
    phrase,
    said,
    said_as,
    said_of,
    sentence,
)
from sockwright.words.tongue import ENGLISH, LANGUAGES, Tongue, UnknownTongue, tongue

__all__ = [
    "ENGLISH",
    "LANGUAGES",
    "Said",
    "Tongue",
    "UnknownTongue",
    "by_units",
    "capitalised",
    "dated",
    "either",
    "joined",
    "listed",
    "numeral",
    "phrase",
    "said",
    "said_as",
    "said_of",
    "sentence",
    "tongue",
]
