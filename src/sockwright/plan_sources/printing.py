"""Numbers of every unit as they are printed beside their sd."""

from __future__ import annotations

from math import floor, log10

from sockwright.estimates import Estimate
from sockwright.quantities.printing import UNIT_WORDS
from sockwright.quantities.reading import factor
from sockwright.words import numeral, said

SMALL_MM, LARGE_MM = 30.0, 10_000.0
"""Loops and courses below, yarn above; between them what is measured in the order's own unit."""

SIGNS = {
    "1": "",
    "course": "",
    "round": "",
    "needle": "",
    "size": "",
    "g/m2": "g/m²",
    "g/cm3": "g/cm³",
    "tex^0.5/mm": "√tex/mm",
    "1/min": "/min",
}
"""What is printed behind numbers of a unit, where it is not the unit itself."""


def told_of(key: str, value: Estimate | int, units: str) -> str:
    """The number of this key as it is printed: eases in per cent, lengths in `units`."""
    if isinstance(value, int):
        return numeral(f"{value}")
    return shown(value, units, percent=is_percent(key))


def is_percent(key: str) -> bool:
    """Whether the number of a key is told in per cent."""
    return key.endswith("ease") or ".ease." in key


def shown(value: Estimate, units: str, *, percent: bool = False) -> str:
    """A number with its sd: "23.8 ± 0.3 cm"; as many digits as the sd has meaning for."""
    if value.sd and (value.value == 0 or (value.value, value.unit) == (1.0, "1")):
        # Only an error: of a sum, or of a factor.
        return said("± {sd}", sd=shown_sd(value.sd, value, units, percent=value.value == 1))
    times, sign = _scale(value, units, percent)
    if not value.sd:
        return _with(sign, _plain(value.value * times))
    digits = _digits(value.sd * times)
    text = _printed(value.value * times, digits)
    return _with(sign, said("{value} ± {sd}", value=text, sd=_printed(value.sd * times, digits)))


def shown_sd(sd: float, value: Estimate, units: str, *, percent: bool = False) -> str:
    """An sd of `value`, in the unit in which that is printed: "0.35 cm"."""
    times, sign = _scale(value, units, percent)
    return _with(sign, _printed(sd * times, _digits(sd * times)))


def _scale(value: Estimate, units: str, percent: bool) -> tuple[float, str]:
    """What to multiply by, and the sign that stands behind."""
    if value.unit != "mm":
        return (100.0, "%") if percent else (1.0, SIGNS.get(value.unit, value.unit))
    size = max(abs(value.value), value.sd)
    if size >= LARGE_MM:
        return (factor("millimetre", "yard"), "yd") if units == "in" else (0.001, "m")
    if 0 < abs(value.value) < SMALL_MM or size < 1:
        return (factor("millimetre", "inch"), "in") if units == "in" else (1.0, "mm")
    return factor("millimetre", UNIT_WORDS[units]), units


def _plain(number: float) -> str:
    return numeral(f"{number:.0f}" if float(number).is_integer() else f"{number:.4g}")


def _digits(sd: float) -> int:
    """Digits after the point that show an sd with two figures."""
    return max(0, 1 - floor(log10(sd))) if sd > 0 else 0


def _printed(number: float, digits: int) -> str:
    return numeral(f"{round(number, digits) + 0.0:.{digits}f}")


def _with(sign: str, number: str) -> str:
    return said("{number} {unit}", number=number, unit=sign) if sign else number
