"""The units that Sockwright converts between, and the factor from one to another.

All that is measured here is a length, a mass, or one by the other. The units stand in
`facts/units.toml` and `facts/yarn_systems.toml`; the tests hold them against a library of units.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from functools import cache

from sockwright.facts import table


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
