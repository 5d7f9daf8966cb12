"""The thickness of a yarn, from its fineness and its fibres."""

from __future__ import annotations

from math import sqrt

from sockwright.facts import fact

_MM_PER_CM = 10.0


def diameter_mm(tex: float, density_g_cm3: float) -> float:
    """Yarn diameter, mm, of `tex` and fibre density: d (cm) = 4.44e-3 sqrt(tex / density).

    Source: Texcoms Textile Technical Handbook (2023), p. 147.
    """
    return _MM_PER_CM * fact("constants", "diameter_texcoms").number * sqrt(tex / density_g_cm3)
