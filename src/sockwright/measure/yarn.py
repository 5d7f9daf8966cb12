"""A yarn as the engine uses it, and the laws of the loops it makes.

Of relaxed plain knitting the loop's length alone sets its width and height (Munden): courses per cm
are Kc / l and wales per cm Kw / l, with the loop length l in cm; which constants hold depends on
how far the fabric has relaxed. So one course is l / Kc high and one wale l / Kw wide, in any unit
of length. Source: D. L. Munden, J. Text. Inst. 50 (1959) T448-T471, the constants from memory
except the fully relaxed pair (see `facts/constants.toml`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, partial
from math import hypot, sqrt

from sockwright.errors import QuantityError
from sockwright.estimates import Derivation, Estimate, Input, Origin
from sockwright.facts import Fact, fact, table
from sockwright.i18n import _, joined
from sockwright.order.model import Drape, State, YarnGiven

STATES = ("dry relaxed", "wet relaxed", "fully relaxed")
"""Rested flat; washed and dried flat; washed and tumbled dry."""

_OF_ORDER = {State.RESTED: "dry relaxed", State.WASHED: "wet relaxed"}

ROLES = {
    "main": _("main yarn"),
    "cuff": _("yarn of the cuff"),
    "heel": _("yarn of the heel"),
    "toe": _("yarn of the toe"),
    "waste": _("waste yarn"),
    "cord": _("ravel cord"),
}
COTTON = "cotton"
"""The one fibre that opens less far than wool."""

ISO_TEX = _("ISO 1144:2016: grams in 1000 m")
_MM_PER_CM = 10.0

MM_G_PER_TEX = 1e6
"""1 tex is one gram in a million millimetres."""


@dataclass(frozen=True)
class MundenConstants:
    """The dimensionless constants of plain fabric in one state, with their sources."""

    state: str
    kc: Fact
    kw: Fact

    @property
    def shape(self) -> float:
        """Loop shape factor R = Kc / Kw: courses per wale on the same length."""
        return self.kc.number / self.kw.number

    @property
    def standing(self) -> str:
        """How far the pair can be trusted (both constants come from one source)."""
        return self.kc.standing


def munden(state: str) -> MundenConstants:
    """The constants of one of STATES; KeyError for any other state."""
    stem = state.replace(" ", "_")
    return MundenConstants(state, fact("constants", f"{stem}_kc"), fact("constants", f"{stem}_kw"))


def munden_of(state: State) -> MundenConstants:
    """The constants for a state of the order.

    ValueError for fabric on the machine: it hangs under weights, and no constants describe it.
    """
    if state not in _OF_ORDER:
        raise ValueError(f"no constants describe fabric {state}: it hangs under weights")
    return munden(_OF_ORDER[state])


def course_mm(loop_mm: float, constants: MundenConstants) -> float:
    """Height of one course, mm, of a loop of `loop_mm`."""
    return loop_mm / constants.kc.number


def wale_mm(loop_mm: float, constants: MundenConstants) -> float:
    """Width of one wale, mm, of a loop of `loop_mm`."""
    return loop_mm / constants.kw.number


def loops_per_cm2(height_mm: float, width_mm: float) -> float:
    """Loops in one cm2 of fabric, from its course height and wale width in mm."""
    return 100.0 / (height_mm * width_mm)


def areal_mass_g_m2(density_per_cm2: float, loop_mm: float, tex: float) -> float:
    """Mass of one m2 of plain fabric, g, from its loops per cm2, loop length and yarn.

    Source: Texcoms Textile Technical Handbook (2023), p. 147.
    """
    return density_per_cm2 * loop_mm * tex / fact("constants", "fabric_mass_divisor").number


def tightness(tex: float, loop_mm: float) -> float:
    """Tightness factor K, tex^0.5/mm."""
    return sqrt(tex) / loop_mm


def loop_for_tightness_mm(tex: float, k: float) -> float:
    """Loop length, mm, that gives a yarn of `tex` the tightness `k` (tex^0.5/mm)."""
    return sqrt(tex) / k


def drape_tightness(drape: Drape) -> float:
    """The tightness aimed at for a drape, tex^0.5/mm; see `facts/constants.toml` for standing."""
    return fact("constants", f"tightness_{drape.value}").number


def jam_tightness(tex: float, diameter_mm: float) -> float:
    """Tightness, tex^0.5/mm, at which a yarn of this fineness and diameter jams.

    Source: Chamberlain's jammed loop, l/d = 16.67.
    """
    return tightness(tex, fact("constants", "jam_chamberlain").number * diameter_mm)


def fibre(name: str) -> Fact:
    """The density of one fibre, g/cm3. QuantityError, with the fibres known, for any other."""
    known = table("fibres")
    if name.strip().lower() not in known:
        raise QuantityError(
            _('"{name}" is not a fibre Sockwright knows', name=name),
            _("known are {known}", known=tuple(_(one) for one in known)),
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
        raise QuantityError(_("the fibres have no shares"), _('write each share, such as "75 %"'))
    parts = [(fibre(name).estimate, share / total) for name, share in fibres]
    volume = sum(share / density.value for density, share in parts)
    sd = hypot(*(share * density.sd / density.value**2 for density, share in parts))
    return Estimate(1.0 / volume, sd / volume**2, "g/cm3")


def diameter_mm(tex: float, density_g_cm3: float) -> float:
    """Yarn diameter, mm, of `tex` and fibre density: d (cm) = 4.44e-3 sqrt(tex / density).

    Source: Texcoms Textile Technical Handbook (2023), p. 147.
    """
    return _MM_PER_CM * fact("constants", "diameter_texcoms").number * sqrt(tex / density_g_cm3)


@dataclass(frozen=True)
class Yarn:
    """A yarn: fineness of the whole yarn (tex), density of its fibres (g/cm3), mass on hand (g),
    share of cotton in its mass."""

    role: str
    name: str
    tex: Estimate
    density: Estimate
    colour: str = ""
    on_hand_g: float | None = None
    cotton: float = 0.0

    @cached_property
    def diameter(self) -> Estimate:
        """Diameter of the yarn, mm, from fineness and density (`diameter_mm`)."""
        constant = fact("constants", "diameter_texcoms")
        mm = _MM_PER_CM * constant.number
        return ((self.tex / self.density) ** 0.5 * mm).named(
            f"yarn.{self.role}.diameter",
            _("yarn diameter"),
            "mm",
            _("{mm:.4f} mm × √(fineness ÷ density of the fibres)", mm=mm),
            _(constant.source),
            constant.standing,
        )

    def mass_of(self, length: Estimate) -> Estimate:
        """Mass, g, of a length of this yarn in mm."""
        return (length * self.tex / MM_G_PER_TEX).named(
            f"yarn.{self.role}.mass",
            _("mass of the {yarn} in one sock", yarn=ROLES[self.role]),
            "g",
            _("length (km) × fineness (tex)"),
            ISO_TEX,
            "published",
        )


def yarn_from(given: YarnGiven) -> Yarn:
    """The yarn of an order.

    A fineness without an sd comes from a label, and labels err (see `label_relative_sd` in
    `facts/constants.toml`). QuantityError for an unknown fibre.
    """
    return Yarn(
        given.role,
        given.name,
        _fineness(given),
        _density(given),
        given.colour,
        given.on_hand_g,
        _share_of(COTTON, given.fibres),
    )


def _share_of(name: str, fibres: Sequence[tuple[str, float]]) -> float:
    """The share (0 to 1) of one fibre."""
    total = sum(share for _, share in fibres)
    mine = sum(share for fibre, share in fibres if fibre.strip().lower() == name)
    return mine / total if total else 0.0


def _fineness(given: YarnGiven) -> Estimate:
    """Grams in 1000 m, weighed or by the label."""
    origin: Origin
    if given.tex_sd is None:
        label_error = fact("constants", "label_relative_sd")
        sd, origin = given.tex * label_error.number, "estimated"
        read = _("label of the {yarn}", yarn=ROLES[given.role])
        source = _("the order; a label errs: {source}", source=label_error.told)
    else:
        sd, origin = given.tex_sd, "measured"
        read = _("weighed skein of the {yarn}", yarn=ROLES[given.role])
        source = _("weighed by the maker, with the ± that the order gives")
    reading = Derivation(f"order.yarn.{given.role}.fineness", read, source, origin="measured")
    taken = Input(Estimate(given.tex, sd, "tex", reading), 1.0 if sd else 0.0)
    how = Derivation(
        f"yarn.{given.role}.fineness",
        _("fineness of the {yarn}", yarn=ROLES[given.role]),
        ISO_TEX,
        _("mass (g) ÷ length (km)"),
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
        source = _("from the fibres, by their shares: {source}", source=joined("; ", fibres))
    label = _("density of the fibres")
    how = Derivation(f"yarn.{given.role}.density", label, source, origin="table")
    return blend_density(given.fibres).called(how)
