"""What a reader prefers (language, units, theme, paper), and numbers as they are printed for it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import asdict, dataclass, fields, replace
from datetime import datetime
from typing import Final
from urllib.parse import parse_qsl, urlencode

from sockwright.errors import QuantityError
from sockwright.estimates import Estimate
from sockwright.i18n import locale_of
from sockwright.i18n.locale import LANGUAGES, Locale
from sockwright.i18n.messages import _
from sockwright.quantities import (
    format_length,
    format_mass,
    format_metres,
    format_pm,
    parse_length_mm,
)

_INCHES = re.compile(r"(?:\bin\b|inch|[\"″'′]|\d(?:in|ft)|\bft\b)", re.IGNORECASE)
_POINT = re.compile(r"(?<=\d)\.(?=\d)")

PREFERENCES_COOKIE: Final = "sockwright_preferences"

CHOICES: Mapping[str, tuple[str, ...]] = {
    "language": tuple(LANGUAGES),
    "units": ("cm", "in"),
    "theme": ("auto", "light", "dark"),
    "paper": ("a4", "letter"),
}
"""What may be chosen of each; the first is the usual one."""

CHOICE_WORDS: Mapping[str, Mapping[str, str]] = {
    "language": LANGUAGES,
    "units": {"cm": _("centimetres"), "in": _("inches")},
    "theme": {"auto": _("as this device"), "light": _("light"), "dark": _("dark")},
    "paper": {"a4": "A4", "letter": "US Letter"},
}
"""What each choice is called; languages and papers are called the same in every language."""


@dataclass(frozen=True)
class Formats:
    """Prints quantities in `units` ("cm" or "in") for readers of `language`."""

    units: str
    language: str

    def sign(self, text: str) -> str:
        """The text with the language's decimal sign."""
        return _POINT.sub(",", text) if self.language == "de" else text

    def length(self, mm: float | Estimate) -> str:
        """A length in mm, with its +- where it has one."""
        if isinstance(mm, Estimate):
            return self.sign(format_pm(mm, self.units))
        return self.sign(format_length(mm, self.units))

    def small_length(self, mm: Estimate) -> str:
        """A length of a few mm, in mm or in inches."""
        return self.sign(format_pm(mm, "in" if self.units == "in" else "mm"))

    def deviation(self, mm: float) -> str:
        """A standard deviation in mm, as "3.6 mm" or "0.14 in"."""
        inches = self.units == "in"
        return self.sign(format_length(mm, "in" if inches else "mm", 2 if inches else 1))

    def typed_length(self, text: str) -> str:
        """A length that was typed: as it stands where it is in these units or no length."""
        metric = not _INCHES.search(text)
        if metric == (self.units == "cm"):
            return text
        try:
            return self.length(parse_length_mm(text))
        except QuantityError:
            return text

    def mass(self, mass: Estimate) -> str:
        """A mass in g with its +-."""
        return self.sign(format_mass(mass))

    def yarn_length(self, length: Estimate) -> str:
        """A length of yarn in m or yd with its +-."""
        return self.sign(format_metres(length, self.units))

    def percent(self, share: float | Estimate) -> str:
        """A share as "12 ± 1 %"."""
        if isinstance(share, Estimate):
            return f"{100 * share.value:.0f} ± {max(1, round(100 * share.sd))} %"
        return f"{100 * share:.0f} %"

    def number(self, value: float | Estimate, digits: int = 2) -> str:
        """A plain number, with its +- where it has one."""
        if isinstance(value, Estimate):
            return self.sign(f"{value.value:.{digits}f} ± {value.sd:.{digits}f}")
        return self.sign(f"{value:.{digits}f}")

    def gauge(self, per: Estimate) -> str:
        """A wale or course in mm as a count in 10 cm, or in 4 in, with its +-."""
        span = 101.6 if self.units == "in" else 100.0
        count, said = span / per.value, "4 in" if self.units == "in" else "10 cm"
        return self.sign(f"{count:.1f} ± {count * per.sd / per.value:.1f} / {said}")

    def hours(self, minutes: Estimate) -> str:
        """A working time with its +-, as the sheets have it: "56 ± 14 min"."""
        return f"{minutes.value:.0f} ± {minutes.sd:.0f} min"

    def day(self, moment: datetime) -> str:
        """A day and minute, in this computer's time."""
        return self.date(moment.astimezone().strftime("%Y-%m-%d %H:%M"))

    def date(self, iso: str) -> str:
        """A day, maybe with its time, from its ISO form."""
        return locale_of(self.language).day(iso)


@dataclass(frozen=True)
class Preferences:
    """One of CHOICES for each."""

    language: str = "en"
    units: str = "cm"
    theme: str = "auto"
    paper: str = "a4"

    @property
    def locale(self) -> Locale:
        """The reader's language, with her units."""
        return locale_of(self.language, self.units)

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
