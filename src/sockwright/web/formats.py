"""Numbers for pages, in the visitor's units and with her decimal sign."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import datetime

from sockwright.errors import QuantityError
from sockwright.estimates import Estimate
from sockwright.quantities import (
    format_length,
    format_mass,
    format_metres,
    format_pm,
    parse_length_mm,
)
from sockwright.words import tongue

_INCHES = re.compile(r"(?:\bin\b|inch|[\"″'′]|\d(?:in|ft)|\bft\b)", re.IGNORECASE)
_POINT = re.compile(r"(?<=\d)\.(?=\d)")


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
        return tongue(self.language).day(iso)
