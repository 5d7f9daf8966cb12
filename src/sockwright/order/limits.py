"""The least and the most an order may say of a thing, from the tables of facts."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor

from sockwright.facts import table
from sockwright.facts.feet import foot_ranges
from sockwright.words import Said, by_units, numeral, said

LONG_MM = 3000
"""From here on a length is told in metres or yards."""


@dataclass(frozen=True)
class Limits:
    """The range of one value, ends included, in `unit`; `name` as in the facts' table."""

    name: str
    least: float
    most: float
    unit: str

    def holds(self, value: float) -> bool:
        """Whether `value` lies in the range; never for a value that is not a number."""
        return self.least <= value <= self.most

    @property
    def words(self) -> Said:
        """The range in words."""
        return said(
            "{least} to {most}",
            least=_shown(self.least, self.unit, ceil),
            most=_shown(self.most, self.unit, floor),
        )

    def __str__(self) -> str:
        return str(self.words)


def limits(name: str) -> Limits:
    """The limits of `name`, a foot's measure too; KeyError if the facts have none."""
    facts = table("order_limits") | foot_ranges()
    least, most = facts[f"{name}_least"], facts[f"{name}_most"]
    return Limits(name, least.number, most.number, least.unit)


def _shown(value: float, unit: str, inward: Callable[[float], int]) -> Said:
    """The value as a maker writes it: longer lengths in cm or m, counts without a unit.

    Who reads inches is told inches or yards, rounded `inward` so that they are within the range.
    """
    if unit != "mm":
        return _plain(value) if unit in ("1", "year") else _with(value, unit)
    times, small, large = (1000, "m", "yd") if value >= LONG_MM else (1, "mm", "in")
    usual = _with(value / 10, "cm") if 10 <= value < LONG_MM else _with(value / times, small)
    other = table("units")["yard" if large == "yd" else "inch"].number
    inches = inward(round(100 * value / other, 6)) / 100
    return by_units(usual, **{"in": _with(inches, large)})


def _with(value: float, unit: str) -> Said:
    return said("{value} {unit}", value=_plain(value), unit=unit)


def _plain(value: float) -> Said:
    """The number without an exponent."""
    return numeral(f"{value:.0f}" if value.is_integer() else f"{value:g}")
