"""What each browser prefers: language, units, theme and paper, kept in one cookie."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from typing import Final
from urllib.parse import parse_qsl, urlencode

from sockwright.web.formats import Formats
from sockwright.words.said import said
from sockwright.words.tongue import LANGUAGES, Tongue, tongue

COOKIE: Final = "sockwright_preferences"

CHOICES: Mapping[str, tuple[str, ...]] = {
    "language": tuple(LANGUAGES),
    "units": ("cm", "in"),
    "theme": ("auto", "light", "dark"),
    "paper": ("a4", "letter"),
}
"""What may be chosen of each; the first is the usual one."""

CHOICE_WORDS: Mapping[str, Mapping[str, str]] = {
    "language": LANGUAGES,
    "units": {"cm": said("centimetres"), "in": said("inches")},
    "theme": {"auto": said("as this device"), "light": said("light"), "dark": said("dark")},
    "paper": {"a4": "A4", "letter": "US Letter"},
}
"""What each choice is called; languages and papers are called the same in every language."""


@dataclass(frozen=True)
class Preferences:
    """One of CHOICES for each."""

    language: str = "en"
    units: str = "cm"
    theme: str = "auto"
    paper: str = "a4"

    @property
    def tongue(self) -> Tongue:
        """The reader's language, with her units."""
        return tongue(self.language, self.units)

    @property
    def formats(self) -> Formats:
        """The reader's way to write numbers."""
        return Formats(self.units, self.language)

    def with_choices(self, given: Mapping[str, str]) -> Preferences:
        """Those of `given` that may be chosen, the others as they are."""
        sound = {key: given[key] for key in CHOICES if given.get(key) in CHOICES[key]}
        return replace(self, **sound)

    def as_cookie(self) -> str:
        """The cookie's text."""
        return urlencode(asdict(self))


def read_preferences(cookie: str | None, accept_language: str) -> Preferences:
    """From the cookie; without one the language is the first of the browser's that we speak."""
    usual = Preferences(language=_spoken(accept_language))
    return usual.with_choices(dict(parse_qsl(cookie or "")))


def _spoken(accept_language: str) -> str:
    """The first language of an Accept-Language header that we speak, else English."""
    for part in accept_language.split(",")[:20]:
        code = part.split(";")[0].strip().split("-")[0].lower()
        if code in LANGUAGES:
            return code
    return fields(Preferences)[0].default  # type: ignore[return-value]
