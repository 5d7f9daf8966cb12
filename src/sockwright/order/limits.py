"""The least and the most an order may say of a thing, from `facts/order_limits.toml`."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.facts import table


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

    def __str__(self) -> str:
        return f"{_shown(self.least, self.unit)} to {_shown(self.most, self.unit)}"


def limits(name: str) -> Limits:
    """The limits of `name`; KeyError if the facts have none."""
    facts = table("order_limits")
    least, most = facts[f"{name}_least"], facts[f"{name}_most"]
    return Limits(name, least.number, most.number, least.unit)


def _shown(value: float, unit: str) -> str:
    """The value as a maker writes it: longer lengths in cm or m, counts without a unit."""
    if unit == "mm" and value >= 3000:
        return f"{_plain(value / 1000)} m"
    if unit == "mm" and value >= 10:
        return f"{_plain(value / 10)} cm"
    return _plain(value) if unit in ("1", "year") else f"{_plain(value)} {unit}"


def _plain(value: float) -> str:
    """The number without an exponent."""
    return f"{value:.0f}" if value.is_integer() else f"{value:g}"
