"""A document as the texts of a form: what was typed, each under the path of its field.

Paths are those of problems: "foot.left.length", "cylinders[2].needles". A name of the user's own
(a fibre, a landmark) and its value are a row of two: "fibres[1].name" and "fibres[1].value". What
may be written in short (a cylinder as its needles alone) stands in the first field of its table.
What is declared at a path says what its field is called; the other foot has the labels of both.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from sockwright.errors import QuantityError
from sockwright.grammar.declare import Either, FieldType, Key, Many, Names, Table, Value
from sockwright.i18n.messages import _
from sockwright.store.items import ItemKind
from sockwright.workshop.kinds import TYPES

Texts = Mapping[str, str]
"""What stands in each field, by its path."""

NAME, VALUE = "name", "value"
"""The fields of a row of `Names`."""

_ROW = re.compile(r"([a-z_.]+)\[([0-9]{1,4})\]((?:\.[a-z_.]+)?)")

_NUMBER = re.compile(r"\[[0-9]+\]")
_ONE_FOOT = re.compile(r"\bfoot\.(left|right)\.")


def at(path: str, name: str) -> str:
    """The path of a key of the table at `path`."""
    return f"{path}.{name}" if path else name


def row(path: str, number: int) -> str:
    """The path of a row, counted from 1."""
    return f"{path}[{number}]"


def short_key(either: Either) -> Key:
    """The key that a plain value stands for."""
    return either.table.keys[0]


def typed(kind: FieldType, given: Any, path: str = "") -> Iterator[tuple[str, str]]:
    """The texts of a document, or of its part at `path`."""
    if isinstance(kind, Table):
        yield from _of_table(kind, given, path)
    elif isinstance(kind, Many):
        for number, one in enumerate(given if isinstance(given, list) else [given], 1):
            yield from typed(kind.one, one, row(path, number))
    elif isinstance(kind, Either):
        short = short_key(kind)
        table = given if isinstance(given, Mapping) else {short.name: given}
        yield from _of_table(kind.table, table, path)
    elif isinstance(kind, Names):
        for number, (name, value) in enumerate(given.items(), 1):
            yield at(row(path, number), NAME), name
            yield from typed(kind.one, value, at(row(path, number), VALUE))
    elif isinstance(kind, Value):
        yield path, text_of(kind, given)


def _of_table(table: Table, given: Mapping[str, Any], path: str) -> Iterator[tuple[str, str]]:
    for key in table.keys:
        if key.name in given:
            yield from typed(key.kind, given[key.name], at(path, key.name))


def text_of(kind: Value, given: object) -> str:
    """A value as it stands in its field; one of a few words as the declaration spells it."""
    if isinstance(given, bool):
        return "true" if given else "false"
    if isinstance(given, int | float):
        return repr(given)
    if not isinstance(given, str):
        return ""
    return _spelled(kind, given) if kind.words else given


def _spelled(kind: Value, given: str) -> str:
    try:
        return str(kind.convert(given))
    except QuantityError:
        return given


def clean(text: str) -> str:
    """A text without outer blanks, its lines ended our way."""
    return text.replace("\r\n", "\n").strip()


def tidy(pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The fields of a form without rows that say nothing; the others are numbered anew."""
    texts, said = dict(pairs), set[tuple[str, int]]()
    for path, text in texts.items():
        if (found := _ROW.fullmatch(path)) and clean(text):
            said.add((found[1], int(found[2])))
    places = _places(said)
    return dict(_renumbered(texts, places))


def _places(said: set[tuple[str, int]]) -> dict[tuple[str, int], int]:
    """The new number of each row that says something."""
    counts: dict[str, int] = {}
    places = {}
    for path, number in sorted(said):
        counts[path] = places[path, number] = counts.get(path, 0) + 1
    return places


def _renumbered(texts: Texts, places: Mapping[tuple[str, int], int]) -> Iterator[tuple[str, str]]:
    for path, text in texts.items():
        found = _ROW.fullmatch(path)
        if found is None:
            yield path, text
        elif (found[1], int(found[2])) in places:
            number = places[found[1], int(found[2])]
            yield row(found[1], number) + found[3], text


def rows_of(texts: Texts) -> dict[str, list[int]]:
    """The numbers of the rows there are, by the path of what they are rows of."""
    found: dict[str, set[int]] = {}
    for path in texts:
        if match := _ROW.fullmatch(path):
            found.setdefault(match[1], set()).add(int(match[2]))
    return {path: sorted(numbers) for path, numbers in found.items()}


def without_row(texts: Texts, path: str) -> dict[str, str]:
    """The fields without those of one row."""
    return tidy(
        (name, text)
        for name, text in texts.items()
        if name != path and not name.startswith(f"{path}.")
    )


@dataclass(frozen=True)
class Declared:
    """How a value is read, one of a row where there are rows, and what its field is called.

    `more` is what the button says that adds a row.
    """

    kind: FieldType
    label: str
    more: str = ""


def declared(table: Table, path: str = "") -> Iterator[tuple[str, Declared]]:
    """All that a table declares, each under its path without the numbers of rows."""
    for key in table.keys:
        own = at(path, key.name)
        kind = key.kind.one if isinstance(key.kind, Many) else key.kind
        yield own, Declared(kind, _(key.called), _(key.more))
        inner = kind.table if isinstance(kind, Either) else kind
        if isinstance(inner, Table):
            yield from declared(inner, own)
        elif isinstance(inner, Names):
            yield at(own, NAME), Declared(inner.name, _(inner.labels[0]))
            yield at(own, VALUE), Declared(inner.one, _(inner.labels[1]))


@cache
def places(kind: ItemKind) -> Mapping[str, Declared]:
    """All that the document of a kind may say."""
    return dict(declared(TYPES[kind].grammar))


@cache
def labels_of(kind: ItemKind) -> Mapping[str, str]:
    """What everything is called that is said of a thing of a kind."""
    return {**{path: one.label for path, one in places(kind).items()}, **TYPES[kind].labels}


def without_numbers(path: str) -> str:
    """The path of a key without the numbers of rows."""
    return _NUMBER.sub("", path)


def plain_path(path: str) -> str:
    """The path of a key: without the numbers of rows and the side of the foot."""
    return _ONE_FOOT.sub("foot.", without_numbers(path))


def label(kind: ItemKind, path: str) -> str:
    """What a field is called; KeyError for one that is not known."""
    return labels_of(kind)[plain_path(path)]


def full_label(kind: ItemKind, path: str) -> str:
    """What it is called where it does not stand beneath its heading: "Left foot: Foot length".

    A path that is not known is told as it is.
    """
    labels = labels_of(kind)
    own = labels.get(plain_path(path), path)
    side = _ONE_FOOT.search(path)
    number = _NUMBER.search(path)
    if side:
        return _("{of}: {what}", of=labels[f"foot.{side[1]}"], what=own)
    if number is None:
        return own
    of, place = labels.get(path[: number.start()], path), number[0].strip("[]")
    if number.end() == len(path):
        return _("{of} {n}", of=of, n=int(place))
    return _("{of} {n}: {what}", of=of, n=int(place), what=own)
