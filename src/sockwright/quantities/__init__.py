"""Quantities with units: read from people's words into mm, g, kg, tex and shares, and printed.

Every parser takes whatever an order holds and raises `errors.QuantityError`, in plain words, for
what it cannot read.
"""

from sockwright.quantities.printing import (
    format_both,
    format_length,
    format_mass,
    format_mass_at_least,
    format_metres,
    format_pm,
)
from sockwright.quantities.reading import (
    parse_length_mm,
    parse_mass_g,
    parse_share,
    parse_weight_kg,
)
from sockwright.quantities.yarn_numbers import number_in, parse_fineness_tex

__all__ = [
    "format_both",
    "format_length",
    "format_mass",
    "format_mass_at_least",
    "format_metres",
    "format_pm",
    "number_in",
    "parse_fineness_tex",
    "parse_length_mm",
    "parse_mass_g",
    "parse_share",
    "parse_weight_kg",
]
