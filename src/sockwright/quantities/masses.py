"""Masses in: yarn on a kitchen scale in g, people in kg."""

from __future__ import annotations

from sockwright.quantities.parts import parse_sum
from sockwright.words import said

MASS_WORDS = {
    word: unit
    for unit, words in {
        "gram": "g gr gram grams gramme grammes",
        "kilogram": "kg kgs kilogram kilograms kilo kilos",
        "ounce": "oz ozs ounce ounces",
        "pound": "lb lbs pound pounds",
        "stone": "st stone stones",
    }.items()
    for word in words.split()
}
"""What may be written for each unit of mass."""


def parse_mass_g(text: object) -> float:
    """A mass in g from "100 g", "3.5 oz", "0.1 kg" or "1/2 lb". Raises QuantityError."""
    right = said('say a mass with its unit: g, kg, oz or lb, such as "100 g" or "3 1/2 oz"')
    return parse_sum(text, MASS_WORDS, "gram", right)


def parse_weight_kg(text: object) -> float:
    """A person's weight in kg from "72 kg", "158 lb" or "11 st 4 lb". Raises QuantityError."""
    right = said('say a weight with its unit: kg, lb or st, such as "72 kg" or "11 st 4 lb"')
    return parse_sum(text, MASS_WORDS, "kilogram", right)
