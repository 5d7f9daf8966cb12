"""Where every number of a plan comes from: formula, measurements, sources, and what would help."""

from sockwright.plan_sources.explained import Explained, Further, Input, Origin
from sockwright.plan_sources.printing import told_of
from sockwright.plan_sources.sources import UnknownNumber, explain, sources, sources_data
from sockwright.plan_sources.swatch_numbers import swatch_sources

__all__ = [
    "Explained",
    "Further",
    "Input",
    "Origin",
    "UnknownNumber",
    "explain",
    "sources",
    "sources_data",
    "swatch_sources",
    "told_of",
]
