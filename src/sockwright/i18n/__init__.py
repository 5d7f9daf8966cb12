"""Every word a user reads: English where it stands in the code, other languages in a catalogue."""

from sockwright.i18n.locale import ENGLISH, LANGUAGES, Locale, UnknownLanguage, locale_of
from sockwright.i18n.messages import (
    N_,
    Message,
    _,
    by_units,
    capitalised,
    dated,
    either,
    joined,
    listed,
    ngettext,
    numeral,
    pgettext,
    sentence,
)

__all__ = [
    "ENGLISH",
    "LANGUAGES",
    "N_",
    "Locale",
    "Message",
    "UnknownLanguage",
    "_",
    "by_units",
    "capitalised",
    "dated",
    "either",
    "joined",
    "listed",
    "locale_of",
    "ngettext",
    "numeral",
    "pgettext",
    "sentence",
]
