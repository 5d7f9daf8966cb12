"""The density of a yarn's fibres, from what it is blended of."""

from __future__ import annotations

from math import hypot

from sockwright.errors import QuantityError
from sockwright.estimates import Estimate
from sockwright.facts import Fact, fact, table
from sockwright.words import said


def fibre(name: str) -> Fact:
    """The density of one fibre, g/cm3. QuantityError, with the fibres known, for any other."""
    known = table("fibres")
    if name.strip().lower() not in known:
        raise QuantityError(
            said('"{name}" is no fibre known here', name=name),
            said("known are {known}", known=tuple(said(one) for one in known)),
        )
    return known[name.strip().lower()]


def blend_density(fibres: tuple[tuple[str, float], ...]) -> Estimate:
    """Density, g/cm3, of (name, share of the mass) pairs; the shares need not add up to 1.

    The specific volumes add, not the densities. Without fibres it is that of most sock yarn,
    with a wide sd. QuantityError for an unknown fibre or shares that are all zero.
    """
    if not fibres:
        return fact("constants", "density_of_unknown_fibres").estimate
    total = sum(share for _, share in fibres)
    if not total > 0:
        raise QuantityError(
            said("the fibres have no shares"), said('say each share, such as "75 %"')
        )
    parts = [(fibre(name).estimate, share / total) for name, share in fibres]
    volume = sum(share / density.value for density, share in parts)
    sd = hypot(*(share * density.sd / density.value**2 for density, share in parts))
    return Estimate(1.0 / volume, sd / volume**2, "g/cm3")
