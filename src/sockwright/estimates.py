"""A number with its standard deviation and its unit."""

from __future__ import annotations

from dataclasses import dataclass
from math import sqrt

RECTANGULAR = sqrt(3.0)
"""Divisor that turns the half-width of a rectangular error into a standard deviation
(JCGM 100:2008, 4.3.7)."""


@dataclass(frozen=True)
class Estimate:
    """A value and its standard deviation, both in `unit` (mm, g, tex, 1/mm, tex^0.5/mm, min, 1)."""

    value: float
    sd: float
    unit: str

    def as_data(self) -> dict[str, float | str]:
        """The estimate as JSON-ready data, rounded to six significant figures."""
        return {
            "value": float(f"{self.value:.6g}"),
            "sd": float(f"{self.sd:.3g}"),
            "unit": self.unit,
        }


def rectangular_sd(half_width: float) -> float:
    """Standard deviation of an error known only to lie within +- `half_width` (same unit).

    Source: JCGM 100:2008 (GUM), 4.3.7.
    """
    return half_width / RECTANGULAR
