"""Munden's laws of relaxed plain knitting: the loop's length alone sets its width and height.

Courses per cm are Kc / l and wales per cm Kw / l, with the loop length l in cm; which constants
hold depends on how far the fabric has relaxed. So one course is l / Kc high and one wale l / Kw
wide, in any unit of length. Source: D. L. Munden, J. Text. Inst. 50 (1959) T448-T471, the
constants from memory except the fully relaxed pair (see `facts/constants.toml`).
"""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

from sockwright.facts import Fact, fact
from sockwright.order.model import Drape, State

STATES = ("dry relaxed", "wet relaxed", "fully relaxed")
"""Rested flat; washed and dried flat; washed and tumbled dry."""

_OF_ORDER = {State.RESTED: "dry relaxed", State.WASHED: "wet relaxed"}


@dataclass(frozen=True)
class Munden:
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


def munden(state: str) -> Munden:
    """The constants of one of STATES; KeyError for any other state."""
    stem = state.replace(" ", "_")
    return Munden(state, fact("constants", f"{stem}_kc"), fact("constants", f"{stem}_kw"))


def munden_of(state: State) -> Munden:
    """The constants for a state of the order.

    ValueError for fabric on the machine: it hangs under weights, and no constants describe it.
    """
    if state not in _OF_ORDER:
        raise ValueError(f"no constants describe fabric {state}: it hangs under weights")
    return munden(_OF_ORDER[state])


def course_mm(loop_mm: float, constants: Munden) -> float:
    """Height of one course, mm, of a loop of `loop_mm`."""
    return loop_mm / constants.kc.number


def wale_mm(loop_mm: float, constants: Munden) -> float:
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
