"""What became of a number when it was made a whole count."""

from __future__ import annotations

from sockwright.estimates import Estimate
from sockwright.plan_sources.printing import shown
from sockwright.quantities import format_length
from sockwright.words import said

NOTHING_MM = 0.05


def rounded_words(exact: Estimate, count: int, each_mm: float, units: str) -> str:
    """The count beside the number it was made from, and what that does to a length of which each
    one makes `each_mm`."""
    apart_mm = (count - exact.value) * each_mm
    before = shown(exact, units)
    if abs(apart_mm) < NOTHING_MM:
        return said("{exact} came out as {count}", exact=before, count=count)
    by = format_length(abs(apart_mm), "in" if units == "in" else "mm", 2 if units == "in" else 1)
    if apart_mm > 0:
        return said("{exact} became {count}: {by} longer", exact=before, count=count, by=by)
    return said("{exact} became {count}: {by} shorter", exact=before, count=count, by=by)
