"""The best estimate of a foot: what was measured stays, tables of feet fill the gaps."""

from __future__ import annotations

from sockwright.measure.adults import adult_foot
from sockwright.measure.children import child_foot, is_child
from sockwright.measure.foot_values import MEASURES, Foot, FootMeasure
from sockwright.measure.given_feet import as_measured
from sockwright.measure.two_feet import FeetComparison, compare_feet
from sockwright.order.model import FootGiven, WearerGiven

__all__ = [
    "MEASURES",
    "FeetComparison",
    "Foot",
    "FootMeasure",
    "compare_feet",
    "estimate_foot",
]


def estimate_foot(wearer: WearerGiven, foot: FootGiven) -> Foot:
    """The whole of one foot of `wearer`, every measure with its sd in mm.

    What was measured stays exactly as measured; the rest follows from it, from shoe size, stature
    and weight: for adults by ANSUR II, for an age of 2 to 17 by Snyder et al. 1977. Raises
    OrderError if nothing tells the length and for a foot too short for the adults' tables.
    """
    measured = as_measured(foot, wearer.sex)
    return child_foot(wearer, measured) if is_child(wearer) else adult_foot(wearer, measured)
