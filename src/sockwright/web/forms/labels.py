"""What is declared at each path of a kept thing's document, and what its field is called.

The other foot has the labels of both feet.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache

from sockwright.grammar.declare import Either, Many, Names, Table
from sockwright.grammar.declare import Kind as Grammar
from sockwright.store.items import ItemKind
from sockwright.web.forms.texts import NAME, VALUE, at
from sockwright.words.said import said
from sockwright.workshop.kinds import TYPES

_NUMBER = re.compile(r"\[[0-9]+\]")
_ONE_FOOT = re.compile(r"\bfoot\.(left|right)\.")


@dataclass(frozen=True)
class Declared:
    """How a value is read, one of a row where there are rows, and what its field is called.

    `more` is what the button says that adds a row.
    """

    kind: Grammar
    label: str
    more: str = ""


def declared(table: Table, path: str = "") -> Iterator[tuple[str, Declared]]:
    """All that a table declares, each under its path without the numbers of rows."""
    for key in table.keys:
        own = at(path, key.name)
        kind = key.kind.one if isinstance(key.kind, Many) else key.kind
        yield own, Declared(kind, said(key.called), said(key.more))
        inner = kind.table if isinstance(kind, Either) else kind
        if isinstance(inner, Table):
            yield from declared(inner, own)
        elif isinstance(inner, Names):
            yield at(own, NAME), Declared(inner.name, said(inner.labels[0]))
            yield at(own, VALUE), Declared(inner.one, said(inner.labels[1]))


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
        return said("{of}: {what}", of=labels[f"foot.{side[1]}"], what=own)
    if number is None:
        return own
    of, place = labels.get(path[: number.start()], path), number[0].strip("[]")
    if number.end() == len(path):
        return said("{of} {n}", of=of, n=int(place))
    return said("{of} {n}: {what}", of=of, n=int(place), what=own)
