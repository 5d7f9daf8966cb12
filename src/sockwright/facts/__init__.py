"""Tables of facts: every number the trade or a publication gave us, with its source.

A table is a TOML file in this folder, and each fact one TOML table in it:

    [wool]
    value = 1.31
    unit = "g/cm3"
    source = "Morton and Hearle, Physical Properties of Textile Fibres, Table 5.1"
    standing = "published"
    sd = 0.01            # optional, same unit
"""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache, cached_property
from importlib.resources import files
from typing import Any

from sockwright.estimates import Derivation, Estimate, Origin
from sockwright.i18n import _

STANDINGS = {
    "published": _("published"),
    "derived": _("derived"),
    "common practice": _("common practice"),
    "from memory": _("from memory"),
    "assumption": _("assumption"),
}
"""How far a fact can be trusted, best first, in words."""


@dataclass(frozen=True)
class Fact:
    """One number (or word) with its unit, where it comes from and how far to trust it.

    `sd` is one standard deviation in `unit`, None where nobody has stated one.
    """

    name: str
    value: float | str
    unit: str
    source: str
    standing: str
    sd: float | None = None

    @property
    def number(self) -> float:
        """The value as a float; TypeError if the fact is a word."""
        if isinstance(self.value, str):
            raise TypeError(f"the fact {self.name!r} is a word, not a number")
        return float(self.value)

    @property
    def estimate(self) -> Estimate:
        """The value with its sd (0 where none is stated)."""
        return Estimate(self.number, self.sd or 0.0, self.unit)

    @cached_property
    def told(self) -> str:
        """Its source and how far it can be trusted, in words."""
        return with_standing(_(self.source), self.standing)

    def called(
        self, key: str, label: str, value: Estimate | None = None, origin: Origin = "table"
    ) -> Estimate:
        """The fact, or a `value` that rests on it, as a number that can go into another."""
        how = Derivation(key, label, self.told, standing=self.standing, origin=origin)
        return (value or self.estimate).called(how)


def with_standing(source: str, standing: str) -> str:
    """A source and how far it can be trusted, in words."""
    return _("{source} ({standing})", source=source, standing=STANDINGS[standing])


@cache
def table(name: str) -> dict[str, Fact]:
    """All facts of `facts/<name>.toml` by name, in the file's order.

    Raises FileNotFoundError for no such table, ValueError for a row without its source.
    """
    text = files(__name__).joinpath(f"{name}.toml").read_text(encoding="utf-8")
    return {key: _fact(name, key, row) for key, row in tomllib.loads(text).items()}


def fact(table_name: str, name: str) -> Fact:
    """One fact, as `fact("fibres", "wool")`; KeyError naming the table if it is not there."""
    try:
        return table(table_name)[name]
    except KeyError:
        raise KeyError(f"no fact {name!r} in facts/{table_name}.toml") from None


def _fact(table_name: str, key: str, row: dict[str, Any]) -> Fact:
    place = f"facts/{table_name}.toml [{key}]"
    missing = {"value", "unit", "source", "standing"} - row.keys()
    if missing:
        raise ValueError(f"{place}: has no {', '.join(sorted(missing))}")
    if row["standing"] not in STANDINGS:
        raise ValueError(f"{place}: standing must be one of {', '.join(STANDINGS)}")
    return Fact(name=key, **row)
