"""Numbers followed by their unit, one after the other: "25.4 cm", "1 ft 2 in", "11 st 4 lb"."""

from __future__ import annotations

import re
from collections.abc import Mapping

from sockwright.errors import QuantityError
from sockwright.quantities.numbers import NUMBER, parse_number, shown, tidy
from sockwright.quantities.units import factor
from sockwright.words import said

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
        raise QuantityError(said("{given} has no unit", given=shown(given)), right)
    if not _PARTS.fullmatch(text):
        raise QuantityError(
            said("{given} is not a number with its unit", given=shown(given)), right
        )
    total, room = 0.0, float("inf")
    for number, word in _ONE.findall(text):
        if word not in words:
            raise QuantityError(
                said(
                    "{word} in {given} is not a unit known here",
                    word=shown(word),
                    given=shown(given),
                ),
                right,
            )
        one = factor(words[word], into)
        amount = parse_number(number, right) * one
        if one >= room or amount >= room * (1 - _SHORT):
            raise QuantityError(
                said("the parts of {given} do not follow from each other", given=shown(given)),
                right,
            )
        total, room = total + amount, one
    # Binary fractions: 10.25 x 25.4 is 260.35, not 260.34999999999997.
    return round(total, _DECIMALS)
