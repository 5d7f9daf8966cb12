"""Shoe sizes: the foot length a size stands for, and the size a foot would ask for."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.order.model import ShoeSize, ShoeSystem

MM_PER_INCH = 25.4  # exact: international yard and pound agreement, 1959
MM_PER_CM = 10.0

CHILD_SYSTEMS = (ShoeSystem.EU_CHILD, ShoeSystem.UK_CHILD, ShoeSystem.US_CHILD)
"""Systems of children's sizes."""

ADULT_SYSTEMS = (ShoeSystem.EU, ShoeSystem.UK, ShoeSystem.US_MEN, ShoeSystem.US_WOMEN)
"""Systems of adults' sizes that are counted in sizes, not in mm."""


@dataclass(frozen=True)
class _Scale:
    """size = per_mm x foot length + offset."""

    per_mm: float
    offset: float


def shoe_foot_length(shoe: ShoeSize) -> Estimate:
    """The foot length in mm that a shoe size stands for, with the wide sd of a shoe size.

    Formulas as in printed conversion tables (facts/shoe_sizes.toml); the sd, 6 mm for adults' and
    8 mm for children's sizes, because makers' shoes of one size differ by that (measuring.toml).
    """
    sd = fact("measuring", "child_shoe_sd" if shoe.system in CHILD_SYSTEMS else "adult_shoe_sd")
    scale = _scale(shoe.system)
    return Estimate((shoe.size - scale.offset) / scale.per_mm, sd.number, "mm")


def shoe_size(length_mm: float, system: ShoeSystem) -> float:
    """The size in `system` nearest to a foot of `length_mm`: half sizes, or 5 mm Mondopoint."""
    scale = _scale(system)
    step = "mondopoint_class" if system is ShoeSystem.MONDOPOINT else "half"
    return _nearest(scale.per_mm * length_mm + scale.offset, fact("shoe_sizes", step).number)


def adult_shoe_sizes(length_mm: float) -> dict[ShoeSystem, float]:
    """The nearest adult half size in each of ADULT_SYSTEMS for a foot of `length_mm`."""
    return {system: shoe_size(length_mm, system) for system in ADULT_SYSTEMS}


def _scale(system: ShoeSystem) -> _Scale:
    if system is ShoeSystem.MONDOPOINT:
        return _Scale(1.0, 0.0)
    factor = _number("child_factor") if system in CHILD_SYSTEMS else 1.0
    if system in (ShoeSystem.EU, ShoeSystem.EU_CHILD):
        offset = _number("eu_offset") if system is ShoeSystem.EU else 0.0
        return _Scale(factor * _number("eu_per_cm") / MM_PER_CM, offset)
    offset = _number(f"{system.value.lower().replace(' ', '_')}_offset")
    return _Scale(factor * _number("uk_per_inch") / MM_PER_INCH, offset)


def _nearest(size: float, step: float) -> float:
    """Halves go up: a shoe a little long can be worn, one a little short cannot."""
    return floor(size / step + 0.5) * step


def _number(name: str) -> float:
    return fact("shoe_sizes", name).number
