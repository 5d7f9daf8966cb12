"""What is chosen for a pair, in an address: from a query to a Choice, and back.

person=ID  machine=ID  yarn.main=ID  yarn.heel=ID  design=ID  needles=60  title=…
swatches=fitting|chosen  swatch=ID (several)  beside=72
ease.girth=8 %  leg.height=25 cm  (keys of [sock] that hold instead of the design's)
try.girth=8  was.girth=10  (the sliders; one that stands where it was says nothing)
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any
from urllib.parse import urlencode

from sockwright.errors import Problem
from sockwright.grammar.declare import WRONG, Place, Table
from sockwright.i18n.messages import _
from sockwright.i18n.printable import unprintable
from sockwright.order.sock_part import SOCK
from sockwright.workshop.answers import Choice

LONGEST = 300
"""Characters of one value: more than any name or quantity has."""
MOST = 200
"""Values of one query: more than there are fields."""

FITTING, CHOSEN = "fitting", "chosen"


@dataclass(frozen=True)
class Slider:
    """A what-if slider: the key of [sock] it tries, its range by units, the unit written."""

    name: str
    key: str
    ranges: Mapping[str, tuple[float, float, float]]
    """By "cm" and "in": least, most, step."""
    label: str
    share: bool = False

    def unit(self, units: str) -> str:
        """What stands behind its number."""
        return "%" if self.share else units

    def text(self, value: float, units: str) -> str:
        """The value as an order has it."""
        return f"{value:g} {self.unit(units)}"


def _both(least: float, most: float, step: float) -> dict[str, tuple[float, float, float]]:
    return {"cm": (least, most, step), "in": (least, most, step)}


SLIDERS = (
    Slider(
        "girth",
        "ease.girth",
        _both(-10, 35, 1),
        _("Narrower than the foot by (your choice)"),
        share=True,
    ),
    Slider(
        "length",
        "ease.length",
        _both(-5, 12, 0.5),
        _("Shorter than the foot by (your choice)"),
        share=True,
    ),
    Slider(
        "hem",
        "cuff.depth",
        {"cm": (0.5, 20, 0.5), "in": (0.25, 8, 0.25)},
        _("Cuff, visible part"),
    ),
    Slider(
        "leg",
        "leg.height",
        {"cm": (6, 60, 0.5), "in": (2.5, 24, 0.25)},
        _("Height from the floor"),
    ),
)


@dataclass(frozen=True)
class PlanRequest:
    """What an address asks for: the parts chosen so far, which may not make a pair yet.

    `beside` is the needles of a second cylinder to set beside; `was` where the sliders stood.
    """

    person: str = ""
    machine: str = ""
    yarns: Mapping[str, str] = field(default_factory=dict)
    design: str = ""
    swatches: tuple[str, ...] = ()
    swatches_chosen: bool = False
    needles: int | None = None
    title: str = ""
    units: str = "cm"
    what_if: Mapping[str, str] = field(default_factory=dict)
    tried: Mapping[str, float] = field(default_factory=dict)
    was: Mapping[str, float] = field(default_factory=dict)
    beside: int | None = None

    def choice(self, swatches: tuple[str, ...], needles: int | None = None) -> Choice:
        """The choice, with the swatches that were found to fit, on another cylinder if given."""
        return Choice(
            person=self.person,
            machine=self.machine,
            yarns=dict(self.yarns),
            design=self.design or None,
            swatches=swatches,
            needles=needles or self.needles,
            title=self.title,
            units=self.units,
            what_if=_tables(self._every_if()),
        )

    def in_units(self, units: str) -> PlanRequest:
        """The same request for a reader of other units: what her sliders tried is asked for as it
        was, in theirs."""
        if units == self.units:
            return self
        return replace(self, units=units, what_if=self._every_if(), tried={}, was={})

    def _every_if(self) -> dict[str, str]:
        tried = {
            slider.key: slider.text(self.tried[slider.name], self.units)
            for slider in SLIDERS
            if slider.name in self.tried and self.tried[slider.name] != self.was.get(slider.name)
        }
        return {**self.what_if, **tried}


def read_request(items: Iterable[tuple[str, str]], units: str) -> PlanRequest:
    """What a query asks for; what cannot be meant is left out, the rest is checked later."""
    given = [
        (name, value.strip()[:LONGEST])
        for name, value in items
        if value.strip() and not unprintable(value)
    ][:MOST]
    last = dict(given)
    numbers = {name: _number(value) for name, value in given}
    sliders = [slider.name for slider in SLIDERS]

    def of_sliders(group: str) -> dict[str, float]:
        every = {name: numbers.get(f"{group}.{name}") for name in sliders}
        return {name: value for name, value in every.items() if value is not None}

    return PlanRequest(
        person=last.get("person", ""),
        machine=last.get("machine", ""),
        yarns={name[5:]: value for name, value in given if name.startswith("yarn.")},
        design=last.get("design", ""),
        swatches=tuple(dict.fromkeys(value for name, value in given if name == "swatch")),
        swatches_chosen=last.get("swatches") == CHOSEN,
        needles=_whole(last.get("needles")),
        title=last.get("title", "")[:200],
        units=last["units"] if last.get("units") in ("cm", "in") else units,
        what_if={
            name.removeprefix("sock."): value
            for name, value in given
            if "." in name and name.split(".")[0] not in ("yarn", "try", "was")
        },
        tried=of_sliders("try"),
        was=of_sliders("was"),
        beside=_whole(last.get("beside")),
    )


def query_of(choice: Choice, beside: int | None = None, fitting: bool = False) -> str:
    """The query that asks for a choice, spelled out; `fitting` leaves its swatches to be found."""
    parts = [("person", choice.person), ("machine", choice.machine)]
    parts += [(f"yarn.{role}", id) for role, id in choice.yarns.items()]
    parts += [("design", choice.design)] if choice.design else []
    if not fitting:
        parts += [("swatches", CHOSEN), *(("swatch", id) for id in choice.swatches)]
    parts += [("needles", str(choice.needles))] if choice.needles else []
    parts += [("title", choice.title)] if choice.title else []
    parts += [("units", choice.units)]
    parts += [(key, _text(value)) for key, value in _flat(choice.what_if)]
    parts += [("beside", str(beside))] if beside else []
    return urlencode(parts)


def _tables(flat: Mapping[str, str]) -> dict[str, Any]:
    """Dotted keys as tables, each value as the order file writes it."""
    result: dict[str, Any] = {}
    for path, text in flat.items():
        *tables, key = path.split(".")[:4]
        here = result
        for name in tables:
            inner = here.setdefault(name, {})
            if not isinstance(inner, dict):
                inner = here[name] = {}
            here = inner
        here[key] = as_written(path, text)
    return result


def as_written(path: str, text: str) -> Any:
    """The value of a key of [sock] from its text: a number or a yes where the key wants one."""
    kind: Any = SOCK
    for name in path.split("."):
        keys = kind.keys if isinstance(kind, Table) else ()
        kind = next((key.kind for key in keys if key.name == name), None)
    if kind is None or isinstance(kind, Table):
        return text
    found: list[Problem] = []
    if kind.read(text, Place(path, found)) is not WRONG:
        return text
    if text in ("true", "false"):
        return text == "true"
    value = _number(text)
    return text if value is None else int(value) if value.is_integer() else value


def _flat(tables: Mapping[str, Any], above: str = "") -> Iterable[tuple[str, Any]]:
    for key, value in tables.items():
        if isinstance(value, Mapping):
            yield from _flat(value, f"{above}{key}.")
        elif above or "." in key:
            yield f"{above}{key}", value
        else:
            # A key of [sock] itself is told from the query's own names by its table.
            yield f"sock.{key}", value


def _text(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _whole(text: str | None) -> int | None:
    return int(text) if text and text.isdecimal() and text.isascii() and len(text) < 6 else None


def _number(text: str) -> float | None:
    try:
        value = float(text.replace("\u2212", "-"))
    except ValueError:
        return None
    return value if abs(value) < 1e6 else None
