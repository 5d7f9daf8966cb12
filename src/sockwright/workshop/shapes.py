"""Whether what is kept has still the shape of what it is: what has not would break every reader.

A value that is merely refused nowadays (a length beyond all feet) has its shape: it is shown in its
form, with what is wrong about it.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import lru_cache
from math import isfinite
from typing import Any

from sockwright.errors import Problem
from sockwright.order.reader import Either, Many, Names, Place, Table, give, it_is
from sockwright.order.reader import Kind as Declared
from sockwright.store.items import ItemKind
from sockwright.words import said
from sockwright.workshop.kinds import TYPES, check_fields

REMEMBERED = 4096
"""Things whose shape is known, so that a list is not examined anew each time it is read."""

BEYOND_MEASURE = 1e15


def misshapen(
    kind: ItemKind, document: Mapping[str, Any], fields: Mapping[str, Any]
) -> tuple[Problem, ...]:
    """What of a thing has not its shape any more, each at its place; () where all has."""
    try:
        said_of_it = json.dumps([document, fields], allow_nan=False)
    except (ValueError, TypeError, RecursionError):
        return (Problem("fields", said("cannot be read"), said("should be texts and numbers")),)
    return _found(kind, said_of_it)


@lru_cache(REMEMBERED)
def _found(kind: ItemKind, said_of_it: str) -> tuple[Problem, ...]:
    document, fields = json.loads(said_of_it)
    problems: list[Problem] = []
    examine(kind, document, Place("", problems))
    check_fields(kind, fields, Place("", problems))
    return tuple(problems)


def examine(kind: ItemKind, document: Any, place: Place) -> None:
    """Note what of a document that came as JSON has not its shape."""
    _examine(TYPES[kind].grammar, document, place)


def _examine(kind: Declared, given: Any, place: Place) -> None:
    if isinstance(kind, Table):
        _examine_table(kind, given, place)
    elif isinstance(kind, Many):
        for place_of, one in _items(given, place):
            _examine(kind.one, one, place_of)
    elif isinstance(kind, Either):
        table = isinstance(given, Mapping)
        _examine(kind.table if table else kind.plain, given, place)
    elif isinstance(kind, Names):
        if not isinstance(given, Mapping):
            place.say(_it_is(given), give(kind.expects))
            return
        for name, value in given.items():
            _examine(kind.one, value, place.at(name))
    elif not _is_plain(given):
        place.say(_it_is(given), give(kind.expects))


def _examine_table(table: Table, given: Any, place: Place) -> None:
    if not isinstance(given, Mapping):
        place.say(_it_is(given), give(table.expects))
        return
    for key in table.keys:
        if key.name in given:
            _examine(key.kind, given[key.name], place.at(key.name))
        elif key.needed:
            place.at(key.name).say(said("is missing"), give(key.kind.expects))


def _items(given: Any, place: Place) -> Iterator[tuple[Place, Any]]:
    if not isinstance(given, list):
        yield place, given
        return
    for number, one in enumerate(given, 1):
        yield place.item(number), one


def _is_plain(given: object) -> bool:
    """A text, a yes or no, or a number that can be reckoned with."""
    if isinstance(given, int | float) and not isinstance(given, bool):
        return isfinite(given) and abs(given) < BEYOND_MEASURE
    return isinstance(given, str | bool)


def _it_is(given: object) -> str:
    return said("is missing") if given is None else it_is(given)
