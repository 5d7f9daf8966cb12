"""A yarn as the engine uses it: how fine and how thick, and metres into grams."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.fibres import blend_density
from sockwright.measure.thickness import diameter_mm
from sockwright.order.model import YarnGiven

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
