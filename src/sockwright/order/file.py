"""The order file as a whole: from TOML to an `Order`, or to all its problems at once."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, TypeVar

from sockwright.errors import OrderError, Problem
from sockwright.machine import Machine
from sockwright.order.document import check_together, parse_document, read_document
from sockwright.order.machine_part import MACHINE, MachinePart
from sockwright.order.model import Order, SwatchGiven
from sockwright.order.reader import Fields, Key, Place, Table
from sockwright.order.sock_part import SOCK
from sockwright.order.swatches import SWATCH
from sockwright.order.values import choice, text
from sockwright.order.wearer import (
    FOOT,
    UNMEASURED,
    WEARER,
    FeetGiven,
    ask_for_length,
    check_feet,
    join,
)
from sockwright.order.yarns import YARN
from sockwright.words import said

_AS_READ = ("machine", "units", "sock")
_Read = TypeVar("_Read", Order, Machine)


def load_order(path: Path, machines: Path | None = None) -> Order:
    """The order in the file at `path`; OrderError with all its problems.

    A machine file is looked for in the order's folder, then in the folder `machines`.
    """
    folders = (path.parent,) if machines is None else (path.parent, machines)
    return _read(read_document(path), folders)


def parse_order(text: str, folder: Path | None = None) -> Order:
    """The order in `text`; OrderError with all its problems.

    Machine files are taken from `folder`, and refused if it is None.
    """
    return _read(parse_document(text, said("the order")), () if folder is None else (folder,))


def load_machine(path: Path) -> Machine:
    """The machine in the machine file at `path`; OrderError with all its problems."""
    problems: list[Problem] = []
    machine = MACHINE.read(read_document(path, "machine"), Place(path.name, problems))
    return _sound(machine, problems, Machine)


def order_table(folders: tuple[Path, ...]) -> Table:
    """The declaration of a whole order."""
    return Table(
        "an order",
        (
            Key("title", text("a title"), "the order's title", '"Socks for" and the name'),
            Key("units", choice(("cm", "in")), "the units of the sheets", "cm"),
            Key("wearer", WEARER, "who wears the socks", "a grown-up"),
            Key("foot", FOOT, "the measures of the feet", "estimated from [wearer]"),
            Key("yarn", YARN, "the yarns", needed=True),
            Key("machine", MachinePart(folders), "the machine", needed=True),
            Key("swatch", SWATCH, "the swatches", "none: estimated from the yarn"),
            Key("sock", SOCK, "the design", "a plain sock"),
        ),
        _build,
        _check,
    )


def _read(document: dict[str, Any], folders: tuple[Path, ...]) -> Order:
    problems: list[Problem] = []
    return _sound(order_table(folders).read(document, Place("", problems)), problems, Order)


def _sound(value: Any, problems: list[Problem], kind: type[_Read]) -> _Read:
    if problems or not isinstance(value, kind):
        raise OrderError(tuple(problems))
    return value


def _check(fields: Fields) -> None:
    check_together(fields)
    if not any(part in fields.given and part not in fields.values for part in ("wearer", "foot")):
        ask_for_length(*_wearer_and_feet(fields), fields.place.at("foot"))
        check_feet(*_wearer_and_feet(fields))


def _build(fields: Fields) -> Order | None:
    if fields.place.problems:
        return None
    wearer = join(*_wearer_and_feet(fields))
    values = {name: fields.values[name] for name in _AS_READ if name in fields.values}
    return Order(
        title=fields.get("title", said("Socks for {name}", name=wearer.name)),
        wearer=wearer,
        yarns=fields.values["yarn"],
        swatches=_named(fields.get("swatch", ())),
        **values,
    )


def _wearer_and_feet(fields: Fields) -> tuple[Fields, FeetGiven]:
    nobody = Fields({}, {}, fields.place)
    return fields.get("wearer", nobody), fields.get("foot", UNMEASURED)


def _named(swatches: tuple[SwatchGiven, ...]) -> tuple[SwatchGiven, ...]:
    return tuple(
        swatch if swatch.name else replace(swatch, name=said("swatch {number}", number=i))
        for i, swatch in enumerate(swatches, 1)
    )
