"""Reading quantities: numbers, and lengths, masses and shares with their units."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from math import isfinite

from sockwright.errors import QuantityError
from sockwright.facts import table
from sockwright.i18n import _
from sockwright.i18n.printable import shown_safely

LONGEST_TEXT = 80
"""Characters; nothing that is one quantity is longer."""

NUMBER = r"(?:[0-9]+(?:[ ]+|-)[0-9]+/[0-9]+|[0-9]+/[0-9]+|[0-9]*[.,][0-9]+|[0-9]+)"
"""A number inside a longer pattern. Longest forms first: "10 1/4", "1/4", "2,5", "10"."""

_MANY_BITS = 200
"""Python refuses to write out integers of very many digits."""

_SAME_SIGNS = str.maketrans(
    {
        "\u2044": "/",  # fraction slash
        "\u2215": "/",  # division slash
        "\u2212": "-",  # minus
        "\u00d7": "x",
        "\u2033": '"',
        "\u201c": '"',
        "\u201d": '"',
        "\u201f": '"',
        "\u2032": "'",
        "\u2018": "'",
        "\u2019": "'",
    }
)
_MIXED = re.compile(r"(?:([0-9]+)(?:[ ]+|-))?([0-9]+)/([0-9]+)")
_THOUSANDS = re.compile(r"(?!0,)[0-9]+,[0-9]{3}")


def shown(given: object) -> str:
    """What was given, short and on one line, for an error message."""
    if isinstance(given, int) and given.bit_length() > _MANY_BITS:
        return _("a very large number")
    text = given if isinstance(given, str) else str(given)
    text = shown_safely(text, " ")
    return f'"{text[:40]}…"' if len(text) > 40 else f'"{text}"'


def tidy(given: object, right: str) -> str:
    """The text with single ASCII spaces, quotes and slashes, and "9½" as "9 1/2".

    Raises QuantityError for what is no text (a bare number), empty, too long or negative.
    """
    if not isinstance(given, str):
        raise QuantityError(_("{given} has no unit", given=shown(given)), right)
    if len(given) > LONGEST_TEXT:
        raise QuantityError(_("{given} is too long for one quantity", given=shown(given)), right)
    text = "".join(map(_plain_fraction, given)).translate(_SAME_SIGNS).replace("''", '"')
    text = " ".join(text.split()).removeprefix("+").lstrip()
    if not text:
        raise QuantityError(_("nothing is given"), right)
    if text.startswith("-"):
        raise QuantityError(_("{given} is negative", given=shown(given)), right)
    return text


def _plain_fraction(sign: str) -> str:
    """A single-character fraction as " 1/2", so that a whole number can stand before it."""
    kind, *signs = unicodedata.decomposition(sign).split() or [""]
    if kind != "<fraction>":
        return sign
    return " " + "".join(chr(int(code, 16)) for code in signs)


def parse_number(text: str, right: str) -> float:
    """A finite number >= 0 from text that `tidy` has seen and that NUMBER matches.

    Raises QuantityError, with `right` as its second half unless it knows better.
    """
    mixed = _MIXED.fullmatch(text)
    if mixed:
        whole, over, under = (float(part or 0) for part in mixed.groups())
        if not under:
            raise QuantityError(_("{text} divides by zero", text=shown(text)), right)
        return _finite(whole + over / under, text, right)
    if _THOUSANDS.fullmatch(text):
        raise QuantityError(
            _("{text} may mean thousands or a decimal", text=shown(text)),
            _(
                'write "{thousands}" or "{decimal}"',
                thousands=text.replace(",", ""),
                decimal=text.replace(",", "."),
            ),
        )
    if not re.fullmatch(NUMBER, text):
        raise QuantityError(_("{text} is not a number", text=shown(text)), right)
    return _finite(float(text.replace(",", ".")), text, right)


def _finite(number: float, text: str, right: str) -> float:
    if not isfinite(number):
        raise QuantityError(_("{text} is too large", text=shown(text)), right)
    return number


@dataclass(frozen=True)
class Unit:
    """A unit in millimetres and grams: its size, exact as it is defined, and the powers of length
    and mass in it."""

    size: Fraction
    length: int = 0
    mass: int = 0

    def times(self, value: float | str) -> Unit:
        """As a fact's figures say."""
        return Unit(Fraction(str(value)) * self.size, self.length, self.mass)

    def __truediv__(self, other: Unit) -> Unit:
        return Unit(self.size / other.size, self.length - other.length, self.mass - other.mass)


ONE = Fraction(1)
BASE = {"1": Unit(ONE), "millimetre": Unit(ONE, length=1), "gram": Unit(ONE, mass=1)}


@cache
def unit(name: str) -> Unit:
    """A unit by name, or one by another ("yard / pound"). KeyError for a name that is none."""
    above, by, below = name.partition(" / ")
    if by:
        return unit(above) / unit(below)
    if name in BASE:
        return BASE[name]
    if name in table("units"):
        known = table("units")[name]
        return unit(known.unit).times(known.value)
    system = table("yarn_systems")[name]
    if system.unit == "metre":  # so many grams in that length
        return unit("gram") / unit("metre").times(system.value)
    return unit(system.unit).times(system.value)


@cache
def factor(name: str, into: str) -> float:
    """How many `into` one `name` is. ValueError where the one cannot be told in the other."""
    one, other = unit(name), unit(into)
    if (one.length, one.mass) != (other.length, other.mass):
        raise ValueError(f"{name} is no measure in {into}")
    return float(one.size / other.size)


PART = rf"{NUMBER}[ ]*(?:[a-z]+\.?|['\"])"
"""One number with its unit, inside a longer pattern over lower-case text."""

_PARTS = re.compile(rf"{PART}(?:[ ]*,?[ ]*{PART})*")
_ONE = re.compile(rf"({NUMBER})[ ]*([a-z]+|['\"])")
_DECIMALS = 9
_SHORT = 1e-9
"""Slack when asking whether 12 in is less than 1 ft, as a share."""


def parse_sum(given: object, words: Mapping[str, str], into: str, right: str) -> float:
    """The sum of the parts of a text in the unit `into`.

    `words` maps what may be written (lower case) to the names in `facts/units.toml`. Larger
    units come first, and a later part is less than one of the unit before it. Raises
    QuantityError, whose second half is `right`.
    """
    text = tidy(given, right).lower()
    if re.fullmatch(NUMBER, text):
        parse_number(text, right)
        raise QuantityError(_("{given} has no unit", given=shown(given)), right)
    if not _PARTS.fullmatch(text):
        raise QuantityError(_("{given} is not a number with its unit", given=shown(given)), right)
    total, room = 0.0, float("inf")
    for number, word in _ONE.findall(text):
        if word not in words:
            raise QuantityError(
                _(
                    "{word} in {given} is not a known unit",
                    word=shown(word),
                    given=shown(given),
                ),
                right,
            )
        one = factor(words[word], into)
        amount = parse_number(number, right) * one
        if one >= room or amount >= room * (1 - _SHORT):
            raise QuantityError(
                _("the parts of {given} do not follow from each other", given=shown(given)),
                right,
            )
        total, room = total + amount, one
    # Binary fractions: 10.25 x 25.4 is 260.35, not 260.34999999999997.
    return round(total, _DECIMALS)


def _by_word(spellings: Mapping[str, str]) -> dict[str, str]:
    """The unit of each word, from the words of each unit."""
    return {word: unit for unit, words in spellings.items() for word in words.split()}


LENGTH_WORDS = _by_word(
    {
        "millimetre": "mm millimetre millimetres millimeter millimeters",
        "centimetre": "cm cms centimetre centimetres centimeter centimeters",
        "decimetre": "dm decimetre decimetres decimeter decimeters",
        "metre": "m metre metres meter meters",
        "kilometre": "km kilometre kilometres kilometer kilometers",
        "inch": 'in ins inch inches "',
        "foot": "ft foot feet '",
        "yard": "yd yds yard yards",
    }
)
"""What may be written for each unit of length."""

_RIGHT = _('write a length with its unit: cm, mm or in, such as "25.4 cm" or "10 1/4 in"')


def parse_length_mm(text: object) -> float:
    """A length in mm from "25.4 cm", "25,4 cm", "9½ in", `4 1/2"`, "1 ft 2 in" or "4 yd".

    Raises QuantityError for a bare number, a negative one, an unknown unit, or "1,234 mm",
    which one reader takes for thousands and another for a decimal.
    """
    return parse_sum(text, LENGTH_WORDS, "millimetre", _RIGHT)


MASS_WORDS = _by_word(
    {
        "gram": "g gr gram grams gramme grammes",
        "kilogram": "kg kgs kilogram kilograms kilo kilos",
        "ounce": "oz ozs ounce ounces",
        "pound": "lb lbs pound pounds",
        "stone": "st stone stones",
    }
)
"""What may be written for each unit of mass."""


def parse_mass_g(text: object) -> float:
    """A mass in g from "100 g", "3.5 oz", "0.1 kg" or "1/2 lb". Raises QuantityError."""
    right = _('write a mass with its unit: g, kg, oz or lb, such as "100 g" or "3 1/2 oz"')
    return parse_sum(text, MASS_WORDS, "gram", right)


def parse_weight_kg(text: object) -> float:
    """A person's weight in kg from "72 kg", "158 lb" or "11 st 4 lb". Raises QuantityError."""
    right = _('write a weight with its unit: kg, lb or st, such as "72 kg" or "11 st 4 lb"')
    return parse_sum(text, MASS_WORDS, "kilogram", right)


_RIGHT_SHARE = _('write a share from 0 to 100 %, such as "10 %" or 0.10')
_PERCENT = re.compile(r"(.*?)[ ]*(?:%|percent|per cent|pct)")


def parse_share(given: object) -> float:
    """A share 0..1 from "10 %", "10%", "0.1" or the number 0.1.

    Raises QuantityError for a bare number above 1 (which may be per cent), more than 100 %, a
    negative share, and what is no number.
    """
    if isinstance(given, bool) or not isinstance(given, str | int | float):
        raise QuantityError(_("{given} is not a share", given=shown(given)), _RIGHT_SHARE)
    if not isinstance(given, str):
        return _checked(float(given), given) if -1 < given <= 1 else _refuse(given)
    text = tidy(given, _RIGHT_SHARE).lower()
    percent = _PERCENT.fullmatch(text)
    if percent:
        return _checked(parse_number(percent[1], _RIGHT_SHARE) / 100.0, given)
    return _checked(parse_number(text, _RIGHT_SHARE), given)


def _checked(share: float, given: object) -> float:
    return share if 0.0 <= share <= 1.0 else _refuse(given)


def _refuse(given: object) -> float:
    raise QuantityError(
        _("{given} is not between 0 and 1, that is 0 to 100 %", given=shown(given)),
        _RIGHT_SHARE,
    )
