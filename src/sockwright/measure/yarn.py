"""A yarn as the engine uses it: how fine and how thick, and metres into grams."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property, partial
from math import hypot, sqrt

from sockwright.errors import QuantityError
from sockwright.estimates import Derivation, Estimate, Input, Origin
from sockwright.facts import Fact, fact, table
from sockwright.order.model import YarnGiven
from sockwright.words import joined, said

ROLES = {
    "main": said("main yarn"),
    "cuff": said("yarn of the cuff"),
    "heel": said("yarn of the heel"),
    "toe": said("yarn of the toe"),
    "waste": said("waste yarn"),
    "cord": said("ravel cord"),
}
ISO_TEX = said("ISO 1144:2016: grams in 1000 m")


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
MM_G_PER_TEX = 1e6
"""1 tex is one gram in a million millimetres."""


def diameter_mm(tex: float, density_g_cm3: float) -> float:
    """Yarn diameter, mm, of `tex` and fibre density: d (cm) = 4.44e-3 sqrt(tex / density).

    Source: Texcoms Textile Technical Handbook (2023), p. 147.
    """
    return _MM_PER_CM * fact("constants", "diameter_texcoms").number * sqrt(tex / density_g_cm3)


@dataclass(frozen=True)
class Yarn:
    """A yarn: fineness of the whole yarn (tex), density of its fibres (g/cm3), mass on hand (g)."""

    role: str
    name: str
    tex: Estimate
    density: Estimate
    colour: str = ""
    on_hand_g: float | None = None

    @cached_property
    def diameter(self) -> Estimate:
        """Diameter of the yarn, mm, from fineness and density (`diameter_mm`)."""
        constant = fact("constants", "diameter_texcoms")
        mm = _MM_PER_CM * constant.number
        return ((self.tex / self.density) ** 0.5 * mm).named(
            f"yarn.{self.role}.diameter",
            said("yarn diameter"),
            "mm",
            said("{mm:.4f} mm × √(fineness ÷ density of the fibres)", mm=mm),
            said(constant.source),
            constant.standing,
        )

    def mass_of(self, length: Estimate) -> Estimate:
        """Mass, g, of a length of this yarn in mm."""
        return (length * self.tex / MM_G_PER_TEX).named(
            f"yarn.{self.role}.mass",
            said("mass of the {yarn} in one sock", yarn=ROLES[self.role]),
            "g",
            said("length (km) × fineness (tex)"),
            ISO_TEX,
            "published",
        )


def yarn_from(given: YarnGiven) -> Yarn:
    """The yarn of an order.

    A fineness without an sd comes from a label, and labels err (see `label_relative_sd` in
    `facts/constants.toml`). QuantityError for an unknown fibre.
    """
    return Yarn(
        given.role, given.name, _fineness(given), _density(given), given.colour, given.on_hand_g
    )


def _fineness(given: YarnGiven) -> Estimate:
    """Grams in 1000 m, weighed or by the label."""
    origin: Origin
    if given.tex_sd is None:
        label_error = fact("constants", "label_relative_sd")
        sd, origin = given.tex * label_error.number, "estimated"
        read = said("label of the {yarn}", yarn=ROLES[given.role])
        source = said("the order; a label errs: {source}", source=label_error.told)
    else:
        sd, origin = given.tex_sd, "measured"
        read = said("weighed skein of the {yarn}", yarn=ROLES[given.role])
        source = said("weighed by the maker, with the ± that the order gives")
    reading = Derivation(f"order.yarn.{given.role}.fineness", read, source, origin="measured")
    taken = Input(Estimate(given.tex, sd, "tex", reading), 1.0 if sd else 0.0)
    how = Derivation(
        f"yarn.{given.role}.fineness",
        said("fineness of the {yarn}", yarn=ROLES[given.role]),
        ISO_TEX,
        said("mass (g) ÷ length (km)"),
        "published",
        origin,
        partial(tuple, (taken,)),
    )
    return Estimate(given.tex, sd, "tex", how)


def _density(given: YarnGiven) -> Estimate:
    """Of the fibres, with where theirs are from."""
    source = fact("constants", "density_of_unknown_fibres").told
    if given.fibres:
        fibres = dict.fromkeys(fibre(name).told for name, _ in given.fibres)
        source = said("the fibres' own, by their shares: {source}", source=joined("; ", fibres))
    label = said("density of the fibres")
    how = Derivation(f"yarn.{given.role}.density", label, source, origin="table")
    return blend_density(given.fibres).called(how)
