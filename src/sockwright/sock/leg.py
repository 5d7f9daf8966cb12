"""A calf shaped by the stitch cam: looser loops towards the top of a long leg."""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from sockwright.estimates import Estimate
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


def girth_at(foot: Foot, height_mm: float) -> Estimate:
    """Girth of the leg at a height from the floor, mm, straight between ankle and calf; its sd is
    that of both girths and of the height at which legs differ in having them."""
    length = foot.length.estimate.value
    low = fact("fit", "ankle_level_by_length").estimate
    high = fact("fit", "calf_level_by_length").estimate
    rise = (high.value - low.value) * length
    share = min(max((height_mm - low.value * length) / rise, 0.0), 1.0)
    ankle, calf = foot.ankle_girth.estimate, foot.calf_girth.estimate
    widening = calf.value - ankle.value
    level_sd = 0.0
    if 0 < share < 1:
        level_sd = widening * length / rise * hypot((1 - share) * low.sd, share * high.sd)
    return Estimate(
        ankle.value + share * widening,
        hypot((1 - share) * ankle.sd, share * calf.sd, level_sd),
        "mm",
    )


def shape_leg(foot: Foot, gauge: Gauge, needles: int, height_mm: float, ease: float) -> LegShape:
    """Factors that bring the tube to the leg's girth less `ease` at the top, as far as the cam can.

    One factor, 1, where the plain tube is wide enough already.
    """
    tube = needles * gauge.wale.value
    leg = girth_at(foot, height_mm).value
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


def leg_opening(foot: Foot, gauge: Gauge, needles: int, height_mm: float) -> Estimate:
    """How many times its relaxed width a plain tube opens at the top of the sock."""
    leg, wale = girth_at(foot, height_mm), gauge.wale
    times = leg.value / (needles * wale.value)
    return Estimate(times, times * hypot(leg.sd / leg.value, wale.sd / wale.value), "1")
