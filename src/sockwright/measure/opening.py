"""How far plain fabric opens in width: enough for the heel, or not.

A model of our own, and an assumption: a loop drawn as wide as it goes lies doubled, so that it is
half its length wide, less the two thicknesses of its neighbours' yarn. Worn in comfort is a
stated share of that, set so that an everyday sock fabric opens by half. A swatch that was
measured stretched is better than either.
"""

from __future__ import annotations

from sockwright.facts import fact


def opened_wale_mm(loop_mm: float, diameter_mm: float) -> float:
    """Width of one fully spread wale, mm: l / 2 less two yarn diameters; 0 if nothing is left."""
    yarns = fact("constants", "opened_yarns").number
    return max(0.0, loop_mm / 2.0 - yarns * diameter_mm)


def comfortable_wale_mm(loop_mm: float, diameter_mm: float, wale_mm: float) -> float:
    """Width, mm, to which a wale opens in wear: the comfortable share of the full opening.

    Never less than the relaxed width `wale_mm`: fabric jammed full of yarn does not open at all.
    """
    share = fact("constants", "comfortable_share").number
    return max(wale_mm, share * opened_wale_mm(loop_mm, diameter_mm))


def comfortable_ratio(loop_mm: float, diameter_mm: float, wale_mm: float) -> float:
    """How many times its relaxed width `wale_mm` fabric opens in wear, at least 1."""
    return comfortable_wale_mm(loop_mm, diameter_mm, wale_mm) / wale_mm
