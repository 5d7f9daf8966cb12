"""Lengths in: any way a tape, a ruler or a ball band writes them, out in mm."""

from __future__ import annotations

from sockwright.quantities.parts import parse_sum
from sockwright.words import said

LENGTH_WORDS = {
    word: unit
    for unit, words in {
        "millimetre": "mm millimetre millimetres millimeter millimeters",
        "centimetre": "cm cms centimetre centimetres centimeter centimeters",
        "decimetre": "dm decimetre decimetres decimeter decimeters",
        "metre": "m metre metres meter meters",
        "kilometre": "km kilometre kilometres kilometer kilometers",
        "inch": 'in ins inch inches "',
        "foot": "ft foot feet '",
        "yard": "yd yds yard yards",
    }.items()
    for word in words.split()
}
"""What may be written for each unit of length."""

_RIGHT = said('say a length with its unit: cm, mm or in, such as "25.4 cm" or "10 1/4 in"')


def parse_length_mm(text: object) -> float:
    """A length in mm from "25.4 cm", "25,4 cm", "9½ in", `4 1/2"`, "1 ft 2 in" or "4 yd".

    Raises QuantityError for a bare number, a negative one, an unknown unit, or "1,234 mm",
    which one reader takes for thousands and another for a decimal.
    """
    return parse_sum(text, LENGTH_WORDS, "millimetre", _RIGHT)
