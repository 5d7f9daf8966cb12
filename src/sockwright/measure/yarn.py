"""A yarn as the engine uses it: how fine and how thick, and metres into grams."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot, sqrt

from sockwright.errors import QuantityError
from sockwright.estimates import Estimate
from sockwright.facts import Fact, fact, table
from sockwright.order.model import YarnGiven
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


_MM_PER_CM = 10.0


def diameter_mm(tex: float, density_g_cm3: float) -> float:
    """Yarn diameter, mm, of `tex` and fibre density: d (cm) = 4.44e-3 sqrt(tex / density).

    Source: Texcoms Textile Technical Handbook (2023), p. 147.
    """
    return _MM_PER_CM * fact("constants", "diameter_texcoms").number * sqrt(tex / density_g_cm3)


_MM_G_PER_TEX = 1e6
"""1 tex is one gram in a million millimetres."""


@dataclass(frozen=True)
class Yarn:
    """A yarn: fineness of the whole yarn (tex), density of its fibres (g/cm3), mass on hand (g)."""

    role: str
    name: str
    tex: Estimate
    density: Estimate
    colour: str = ""
    on_hand_g: float | None = None

    @property
    def diameter(self) -> Estimate:
        """Diameter of the yarn, mm, from fineness and density."""
        value = diameter_mm(self.tex.value, self.density.value)
        return Estimate(value, value * 0.5 * hypot(_share(self.tex), _share(self.density)), "mm")

    def mass_of(self, length: Estimate) -> Estimate:
        """Mass, g, of a length of this yarn in mm."""
        value = length.value * self.tex.value / _MM_G_PER_TEX
        return Estimate(value, value * hypot(_share(length), _share(self.tex)), "g")


def yarn_from(given: YarnGiven) -> Yarn:
    """The yarn of an order.

    A fineness without an sd comes from a label, and labels err (see `label_relative_sd` in
    `facts/constants.toml`). QuantityError for an unknown fibre.
    """
    sd = given.tex_sd
    if sd is None:
        sd = given.tex * fact("constants", "label_relative_sd").number
    tex = Estimate(given.tex, sd, "tex")
    density = blend_density(given.fibres)
    return Yarn(given.role, given.name, tex, density, given.colour, given.on_hand_g)


def _share(estimate: Estimate) -> float:
    return estimate.sd / estimate.value if estimate.value else 0.0
