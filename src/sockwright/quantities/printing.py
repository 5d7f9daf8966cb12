"""Quantities out: lengths in cm, mm or inches, masses in g, yarn in metres or yards, with +-."""

from __future__ import annotations

from math import ceil, floor, log10

from sockwright.estimates import Estimate
from sockwright.i18n import N_, Message, _, by_units, numeral
from sockwright.quantities.reading import factor

UNIT_WORDS = {"cm": "centimetre", "mm": "millimetre", "in": "inch"}
VALUE_AND_UNIT = {
    "cm": N_("{value} cm"),
    "mm": N_("{value} mm"),
    "in": N_("{value} in"),
    "g": N_("{value} g"),
    "m": N_("{value} m"),
    "yd": N_("{value} yd"),
}
_DIGITS = {"cm": 1, "mm": 0, "in": 2}
_MOST_DIGITS = 4
_JUST_SHOWN = 0.95
"""A deviation of at least this share of the last place rounds to something like itself."""


def format_length(mm: float, units: str, digits: int | None = None) -> Message:
    """A length in mm as "24.6 cm", "246 mm" or "9.70 in".

    `digits` are those after the point; without them cm have one, mm none, and inches two.
    KeyError if `units` is not "cm", "mm" or "in".
    """
    value = mm * factor("millimetre", UNIT_WORDS[units])
    return _with(_fixed(value, _DIGITS[units] if digits is None else digits), units)


def format_both(mm: float) -> Message:
    """A length in mm for a reader whose units are not known: "163 mm (6.4 in)"; one whose units are
    known is told it in those."""
    metric, inches = format_length(mm, "mm"), format_length(mm, "in", 1)
    both = _("{metric} ({inches})", metric=metric, inches=inches)
    return by_units(both, **{"cm": format_length(mm, "cm"), "in": inches})


def format_pm(length: Estimate, units: str) -> Message:
    """A length with one standard deviation as "24.6 ± 0.3 cm"; ValueError if it is not in mm.

    More digits are shown where the usual ones would hide the deviation; none are shown of a
    length without one.
    """
    _require(length, "mm")
    one = factor("millimetre", UNIT_WORDS[units])
    if not length.sd:
        return format_length(length.value, units)
    return _with(_pair(length.value * one, length.sd * one, _DIGITS[units]), units)


def format_mass(mass: Estimate) -> Message:
    """A mass with one standard deviation as "27 ± 1 g"; ValueError if it is not in g."""
    _require(mass, "g")
    return _with(_pair(mass.value, mass.sd, 0), "g")


def format_mass_at_least(mass_g: float) -> Message:
    """A mass in g rounded upward: whole grams above 10 g, tenths below ("4.4 g", "38 g")."""
    return _with(f"{ceil(mass_g)}" if mass_g > 10 else f"{ceil(10 * mass_g) / 10:g}", "g")


def format_metres(length: Estimate, units: str) -> Message:
    """A length of yarn as "96 ± 4 m", in yards ("105 ± 4 yd") where `units` is "in".

    ValueError if the estimate is not in mm.
    """
    _require(length, "mm")
    unit, sign = ("yard", "yd") if units == "in" else ("metre", "m")
    one = factor("millimetre", unit)
    return _with(_pair(length.value * one, length.sd * one, 0), sign)


def _with(digits: str, unit: str) -> Message:
    return _(VALUE_AND_UNIT[unit], value=numeral(digits))


def _require(estimate: Estimate, unit: str) -> None:
    if estimate.unit != unit:
        raise ValueError(f"an estimate in {estimate.unit} where one in {unit} is printed")


def _pair(value: float, sd: float, digits: int) -> str:
    if not sd:
        return _fixed(value, digits)
    if sd < _JUST_SHOWN * 10.0**-digits:
        digits = min(_MOST_DIGITS, -floor(log10(sd)))
    return f"{_fixed(value, digits)} ± {_fixed(sd, digits)}"


def _fixed(value: float, digits: int) -> str:
    # Adding 0.0 turns a rounded -0.0 into 0.0.
    return f"{round(value, digits) + 0.0:.{digits}f}"


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
        return _("± {sd}", sd=shown_sd(value.sd, value, units, percent=value.value == 1))
    times, sign = _scale(value, units, percent)
    if not value.sd:
        return _signed(sign, _plain_number(value.value * times))
    digits = _digits_of(value.sd * times)
    of_value, of_sd = (_to_digits(one * times, digits) for one in (value.value, value.sd))
    return _signed(sign, _("{value} ± {sd}", value=of_value, sd=of_sd))


def shown_sd(sd: float, value: Estimate, units: str, *, percent: bool = False) -> str:
    """An sd of `value`, in the unit in which that is printed: "0.35 cm"."""
    times, sign = _scale(value, units, percent)
    return _signed(sign, _to_digits(sd * times, _digits_of(sd * times)))


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


def _plain_number(number: float) -> str:
    return numeral(f"{number:.0f}" if float(number).is_integer() else f"{number:.4g}")


def _digits_of(sd: float) -> int:
    """Digits after the point that show an sd with two figures."""
    return max(0, 1 - floor(log10(sd))) if sd > 0 else 0


def _to_digits(number: float, digits: int) -> str:
    return numeral(f"{round(number, digits) + 0.0:.{digits}f}")


def _signed(sign: str, number: str) -> str:
    return _("{number} {unit}", number=number, unit=sign) if sign else number
