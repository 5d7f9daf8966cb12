"""The thickness of a yarn, from its fineness and its fibres, and the loop length that follows."""

from __future__ import annotations

from math import pi, sqrt

from sockwright.facts import fact

_MM_PER_CM = 10.0


def diameter_mm(tex: float, density_g_cm3: float) -> float:
    """Yarn diameter, mm, of `tex` and fibre density: d (cm) = 4.44e-3 sqrt(tex / density).

    Source: Texcoms Textile Technical Handbook (2023), p. 147.
    """
    return _MM_PER_CM * fact("constants", "diameter_texcoms").number * sqrt(tex / density_g_cm3)


def diameter_peirce_mm(tex: float) -> float:
    """Yarn diameter, mm, of a round yarn with Peirce's specific volume, 1.1 cm3/g.

    1 tex is 1e-5 g in a cm, so the section is 1.1e-5 x tex cm2. Made for cotton.
    """
    section_cm2 = fact("constants", "peirce_specific_volume").number * tex * 1e-5
    return _MM_PER_CM * sqrt(4.0 * section_cm2 / pi)


def peirce_loop_mm(course_mm: float, wale_mm: float, diameter_mm: float) -> float:
    """Loop length, mm, by Peirce's relation l = 2p + w + 5.94 d.

    p is the course and w the wale spacing, d the diameter of Peirce's yarn, all mm. It holds for
    loops near the jam. Source: Peirce 1947, as tested by Fletcher and Roberts.
    """
    return 2.0 * course_mm + wale_mm + fact("constants", "peirce_loop").number * diameter_mm
