"""Tightness: how much yarn fills a loop, the number behind soft and firm fabric.

K = sqrt(tex) / l with l in mm. Printed ranges often use l in cm, which makes K ten times as
large. Source: Texcoms Textile Technical Handbook (2023), p. 147, "cover factor".
"""

from __future__ import annotations

from math import sqrt

from sockwright.facts import fact
from sockwright.order.model import Drape


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
