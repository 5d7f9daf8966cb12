"""What may be written of each kind of thing: the order file's own declarations, part by part.

Paths of problems are those within the thing's document, such as "foot.length" or "fineness".
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from sockwright.errors import Problem, QuantityError
from sockwright.order.limits import limits
from sockwright.order.machine_part import MACHINE
from sockwright.order.model import YARN_ROLES, State, SwatchGiven
from sockwright.order.reader import (
    WRONG,
    Fields,
    Key,
    Kind,
    Place,
    Table,
    Value,
    WrittenAs,
    give,
    it_is,
)
from sockwright.order.sock_part import SOCK
from sockwright.order.swatches import SWATCH
from sockwright.order.values import choice, length, prose, text
from sockwright.order.wearer import FOOT, UNMEASURED, WEARER, check_feet
from sockwright.order.yarns import YARN
from sockwright.quantities import parse_mass_g
from sockwright.store.items import ItemKind
from sockwright.store.models import NAME
from sockwright.words import said
from sockwright.words.printable import has_ink, normal, normal_lines

LONGEST_MOMENT = 40
"""Characters of a moment: one with its time zone, to the microsecond, has fewer."""

MOST_ROUNDS = 5_000
"""Rounds a log may tell of: more than any sock has."""


def moment() -> Value:
    """A day with or without its time, kept as it was typed."""
    expects = said('a day, maybe with the time, such as "2025-11-03 19:20"')

    def convert(given: object) -> str:
        text = given if isinstance(given, str) else ""
        try:
            # Python takes any sign at all between day and time, half characters too.
            if len(text) > LONGEST_MOMENT or not (text.isascii() and text.isprintable()):
                raise ValueError(text)
            datetime.fromisoformat(text)
        except ValueError as error:
            raise QuantityError(it_is(given), give(expects)) from error
        return text

    return Value(expects, convert)


def rounds() -> Value:
    """Rounds counted."""
    expects = said("a whole number, 0 to {most}", most=MOST_ROUNDS)

    def convert(given: object) -> int:
        if isinstance(given, bool) or not isinstance(given, int):
            raise QuantityError(it_is(given), give(expects))
        if not 0 <= given <= MOST_ROUNDS:
            raise QuantityError(said("{given} is out of range", given=given), give(expects))
        return given

    return Value(expects, convert, WrittenAs.NUMBER)


def mass_left() -> Value:
    """What a yarn weighs after a sock: nothing, too."""
    most = limits("on_hand").most
    expects = said(
        'what the scale shows, such as "62 g", up to {most:g} g; "0 g" if it is used up', most=most
    )

    def convert(given: object) -> float:
        mass_g = parse_mass_g(given)
        if mass_g > most:
            raise QuantityError(said("is heavier than any store of yarn"), give(expects))
        return mass_g

    return Value(expects, convert)


def _fields(fields: Fields) -> Fields:
    return fields


PERSON = Table(
    "a table with the tables wearer and foot",
    (
        Key("wearer", WEARER, "who it is", needed=True),
        Key("foot", FOOT, "the measures of the feet", "estimated from wearer"),
    ),
    _fields,
    lambda fields: check_feet(
        fields.get("wearer", Fields({}, {}, fields.place)), fields.get("foot", UNMEASURED)
    ),
)

SOCK_DOCUMENT = Table(
    "a table with the order's title and units",
    (
        Key("title", text("a title"), "the order's title", '"Socks for" and the name'),
        Key("units", choice(("cm", "in")), "the units of the sheets", "cm"),
        Key("sock", SOCK, "what holds instead of the design's", "all as the design"),
    ),
    _fields,
)

NOTE = Table(
    "a table with the text", (Key("text", prose("a text"), "the note", needed=True),), _fields
)

LOG_ENTRY = Table(
    "a table of what happened",
    (
        Key("time", moment(), "when it was", needed=True),
        Key("sock", choice(("left", "right", "first", "second")), "which of the pair", "either"),
        Key("rounds", rounds(), "the rounds knitted so far", "not noted"),
        Key("deviation", prose("a text"), "what was done otherwise than planned", "none"),
        Key("note", prose("a text"), "what else is worth knowing", "none"),
    ),
    _fields,
)

MEASURED = Table(
    "a table of the finished sock's measures",
    (
        Key("state", choice(State), "the state of the fabric", needed=True),
        Key("foot", length("foot_length", "any foot"), "from heel to toe", "not measured"),
        Key("height", length("sock_height", "any sock"), "from floor to top", "not measured"),
        Key("flat_width", length("flat_width", "any tube"), "the tube laid flat", "not measured"),
        Key(
            "cuff", length("cuff_depth", said("any cuff")), "the cuff as it is seen", "not measured"
        ),
        Key("worn", prose("a text"), "how it fits and wears", "not noted"),
    ),
    _fields,
)

LEFT = Table(
    "a table of what each yarn weighs now",
    tuple(Key(role, mass_left(), "what is left of it", "not weighed") for role in YARN_ROLES),
    lambda fields: dict(fields.values),
)

_MAIN = next(key.kind for key in YARN.keys if key.name == "main")
_DOCUMENTS: dict[ItemKind, Kind] = {
    ItemKind.PERSON: PERSON,
    ItemKind.YARN: _MAIN,
    ItemKind.MACHINE: MACHINE,
    ItemKind.DESIGN: SOCK,
    ItemKind.SWATCH: SWATCH.one,
    ItemKind.SOCK: SOCK_DOCUMENT,
    ItemKind.NOTE: NOTE,
}
_NAMED_IN: dict[ItemKind, tuple[str, ...]] = {
    ItemKind.PERSON: ("wearer", "name"),
    ItemKind.YARN: ("name",),
    ItemKind.MACHINE: ("name",),
    ItemKind.SWATCH: ("name",),
}
"""Where the document of a kind has the thing's name; other kinds are named beside it."""


def document_kind(kind: ItemKind) -> Kind:
    """The declaration by which a kind's document is read."""
    return _DOCUMENTS[kind]


def check_document(kind: ItemKind, document: object, place: Place) -> None:
    """Note all problems of a document; there are none if it may be kept."""
    _DOCUMENTS[kind].read(document, place)
    if isinstance(document, Mapping):
        _check_named(kind, document, place)
        if kind is ItemKind.SWATCH and "yarn" in document:
            place.at("yarn").say(
                said("is a role, which a yarn has only in an order"), said("choose the yarn itself")
            )


def name_of(kind: ItemKind, document: Mapping[str, Any], given: str = "") -> str:
    """What a thing of a sound document is called; `given` names those whose document does not."""
    if kind in _NAMED_IN:
        return normal(str(_within(document, _NAMED_IN[kind])).strip())
    return _cut(
        _first_line(str(document["text"])) if kind is ItemKind.NOTE else normal(given.strip())
    )


def check_name(kind: ItemKind, given: str, place: Place) -> None:
    """Note a name that cannot be one, where the document does not hold it."""
    if kind is ItemKind.DESIGN:
        text("a name").read(given, place.at("name"))


def read_swatch(document: Mapping[str, Any]) -> SwatchGiven | None:
    """The swatch of a kept document; None for one that no longer reads."""
    problems: list[Problem] = []
    swatch = SWATCH.one.read(document, Place("", problems))
    return None if problems or swatch is WRONG or swatch is None else swatch


def plain(value: Any) -> Any:
    """The same in JSON's types: days become texts such as "2025-11-03"."""
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [plain(item) for item in value]
    return value.isoformat() if isinstance(value, date) else value


def _check_named(kind: ItemKind, document: Mapping[str, Any], place: Place) -> None:
    """A kept thing must have a name to be found by, where an order could do without."""
    *tables, key = _NAMED_IN.get(kind, ("",))
    if not key:
        return
    at, table = place, document
    for name in tables:
        at, inner = at.at(name), table.get(name, {})
        if not isinstance(inner, Mapping):
            return
        table = inner
    if key not in table:
        at.at(key).say(said("is missing"), said("give a name"))


def _within(document: Mapping[str, Any], path: tuple[str, ...]) -> Any:
    value: Any = document
    for key in path:
        value = value[key]
    return value


def _first_line(lines: str) -> str:
    """The first line of which something is to be seen."""
    every = (" ".join(line.split()) for line in normal_lines(lines).split("\n"))
    return next(filter(has_ink, every), "")


def _cut(line: str) -> str:
    return line if len(line) <= NAME else line[: NAME - 1] + "…"
