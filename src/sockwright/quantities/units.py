"""The units that Sockwright converts between, and the factor from one to another.

pint does the converting and refuses to mix dimensions. Its own registry of some thousand units
takes a tenth of a second to build, so ours holds only the units in `facts/units.toml` and
`facts/yarn_systems.toml`, is built when first asked for, and pint is not imported before that.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING, Any

from sockwright.facts import table

if TYPE_CHECKING:
    from pint import UnitRegistry


def definitions() -> tuple[str, ...]:
    """Every unit as pint reads it: `inch = 25.4 * millimetre`."""
    lines = ["millimetre = [length]", "gram = [mass]"]
    lines += [f"{unit.name} = {unit.value} * {unit.unit}" for unit in table("units").values()]
    for system in table("yarn_systems").values():
        direct = system.unit == "metre"
        size = f"gram / ({system.value} * metre)" if direct else f"{system.value} * {system.unit}"
        lines.append(f"{system.name} = {size}")
    return tuple(lines)


@cache
def registry() -> UnitRegistry[Any]:
    """The one registry of units, built on first use."""
    from pint import UnitRegistry

    units: UnitRegistry[Any] = UnitRegistry(None)
    for definition in definitions():
        units.define(definition)
    return units


@cache
def factor(unit: str, into: str) -> float:
    """How many `into` one `unit` is. DimensionalityError (pint's) across dimensions."""
    return float(registry().Quantity(1.0, unit).m_as(into))
