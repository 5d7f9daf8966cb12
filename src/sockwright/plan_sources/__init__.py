"""Where every number of a plan comes from: formula, measurements, sources, and what would help."""

from sockwright.plan_sources.explained import Explained, Further, Input, Origin
from sockwright.plan_sources.printing import told_of
from sockwright.plan_sources.sources import UnknownNumber, explain, sources, sources_data

__all__ = [
    "Explained",
    "Further",
    "Input",
    "Origin",
    "UnknownNumber",
    "explain",
    "sources",
    "sources_data",
    "told_of",
]
