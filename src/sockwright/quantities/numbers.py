"""Numbers as people write them: decimals with point or comma, fractions and mixed numbers."""

from __future__ import annotations

import re
import unicodedata
from math import isfinite

from sockwright.errors import QuantityError
from sockwright.words import said
from sockwright.words.printable import shown_safely

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
        return said("a very large number")
    text = given if isinstance(given, str) else str(given)
    text = shown_safely(text, " ")
    return f'"{text[:40]}…"' if len(text) > 40 else f'"{text}"'


def tidy(given: object, right: str) -> str:
    """The text with single ASCII spaces, quotes and slashes, and "9½" as "9 1/2".

    Raises QuantityError for what is no text (a bare number), empty, too long or negative.
    """
    if not isinstance(given, str):
        raise QuantityError(said("{given} has no unit", given=shown(given)), right)
    if len(given) > LONGEST_TEXT:
        raise QuantityError(said("{given} is too long for one quantity", given=shown(given)), right)
    text = "".join(map(_plain_fraction, given)).translate(_SAME_SIGNS).replace("''", '"')
    text = " ".join(text.split()).removeprefix("+").lstrip()
    if not text:
        raise QuantityError(said("nothing is given"), right)
    if text.startswith("-"):
        raise QuantityError(said("{given} is negative", given=shown(given)), right)
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
            raise QuantityError(said("{text} divides by zero", text=shown(text)), right)
        return _finite(whole + over / under, text, right)
    if _THOUSANDS.fullmatch(text):
        raise QuantityError(
            said("{text} may mean thousands or a decimal", text=shown(text)),
            said(
                'write "{thousands}" or "{decimal}"',
                thousands=text.replace(",", ""),
                decimal=text.replace(",", "."),
            ),
        )
    if not re.fullmatch(NUMBER, text):
        raise QuantityError(said("{text} is not a number", text=shown(text)), right)
    return _finite(float(text.replace(",", ".")), text, right)


def _finite(number: float, text: str, right: str) -> float:
    if not isfinite(number):
        raise QuantityError(said("{text} is too large", text=shown(text)), right)
    return number
