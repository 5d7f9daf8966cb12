"""A calf shaped by the stitch cam: looser loops towards the top of a long leg."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.facts import fact
from sockwright.measure.foot import Foot
from sockwright.measure.gauge import Gauge
from sockwright.quantities import format_both
from sockwright.words import said

STEPS = 4
"""Cam settings of a shaped leg (from memory: three to five, each ten to twenty rounds)."""


@dataclass(frozen=True)
class LegShape:
    """Loop-length factors from the top of the leg down, and what should be said of them."""

    factors: tuple[float, ...]
    notes: tuple[str, ...]


def girth_at(foot: Foot, height_mm: float) -> float:
    """Girth of the leg at a height from the floor, mm, straight between ankle and calf."""
    length = foot.length.estimate.value
    low = fact("fit", "ankle_level_by_length").number * length
    high = fact("fit", "calf_level_by_length").number * length
    share = min(max((height_mm - low) / (high - low), 0.0), 1.0)
    ankle, calf = foot.ankle_girth.estimate.value, foot.calf_girth.estimate.value
    return ankle + share * (calf - ankle)


def shape_leg(foot: Foot, gauge: Gauge, needles: int, height_mm: float, ease: float) -> LegShape:
    """Factors that bring the tube to the leg's girth less `ease` at the top, as far as the cam can.

    One factor, 1, where the plain tube is wide enough already.
    """
    tube = needles * gauge.wale.value
    leg = girth_at(foot, height_mm)
    wanted = leg * (1 - ease) / tube
    most = fact("fit", "cam_shaping_most").number
    top = min(max(wanted, 1.0), most)
    notes = []
    stretch = leg / (tube * top)
    if wanted > most:
        notes.append(
            said(
                "the stitch cam widens the top by {most:.0f} % at most; there the leg "
                "measures {leg} and the sock opens {stretch:.2f} times",
                most=100 * (most - 1),
                leg=format_both(leg),
                stretch=stretch,
            )
        )
    if top < 1.005:
        return LegShape((1.0,), (*notes, said("the plain tube is wide enough for this leg")))
    factors = tuple(1 + (top - 1) * (STEPS - 1 - step) / (STEPS - 1) for step in range(STEPS))
    return LegShape(tuple(round(factor, 3) for factor in factors), tuple(notes))


def leg_opening(foot: Foot, gauge: Gauge, needles: int, height_mm: float) -> float:
    """How many times its relaxed width a plain tube opens at the top of the sock."""
    return girth_at(foot, height_mm) / (needles * gauge.wale.value)
