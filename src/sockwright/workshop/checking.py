"""Whether what is kept still reads: the shape of each thing, what it refers to, versions and logs.

A value that is merely refused nowadays (a length beyond all feet) has its shape: it is shown in its
form, with what is wrong about it. What has its shape no more would break every reader.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import lru_cache
from math import isfinite
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from sockwright.errors import OrderError, Problem
from sockwright.grammar.declare import Either, Many, Names, Place, Table, give, it_is
from sockwright.grammar.declare import FieldType as Declared
from sockwright.i18n import _
from sockwright.order.file import parse_order
from sockwright.store import kept
from sockwright.store.damage import Damage, readable
from sockwright.store.items import ItemKind, Thing
from sockwright.store.kept import damaged_entries, every_entry
from sockwright.store.models import Earlier, references
from sockwright.workshop.bench import is_readable
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
        return (Problem("fields", _("cannot be read"), _("should be texts and numbers")),)
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
            place.at(key.name).say(_("is missing"), give(key.kind.expects))


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
    return _("is missing") if given is None else it_is(given)


@dataclass(frozen=True)
class Checked:
    """How many things, earlier versions and entries of logs read; and what does not.

    `damages` are things, `versions` and `entries` tell of what they were and of their logs.
    """

    things: int
    earlier: int
    entries: int
    damages: tuple[Damage, ...]
    versions: tuple[str, ...]
    damaged_entries: tuple[str, ...]

    @property
    def sound(self) -> bool:
        """Whether all of it reads."""
        return not (self.damages or self.versions or self.damaged_entries)


def check(session: Session) -> Checked:
    """Read all that is kept."""
    things = {
        (kind, thing.id): thing for kind in ItemKind for thing in kept.listed(session, kind, None)
    }
    doubts = (_doubts(thing, things) for thing in things.values())
    damages = (*kept.damages(session), *(one for one in doubts if one is not None))
    earlier, versions = 0, []
    for row in session.scalars(select(Earlier).order_by(Earlier.id, Earlier.version)):
        wrong = () if row is None else kept.wrong_earlier(session, row)
        earlier += not wrong
        versions += [f"{readable(row.id)} version {readable(row.version)}"] if wrong else []
    entries = every_entry(session)
    odd = (one.id for one in entries if not is_readable(one) or not _pair_of(one.sock_id, things))
    bad = (*damaged_entries(session), *odd)
    return Checked(len(things), earlier, len(entries), damages, tuple(versions), bad)


def _pair_of(id: str, things: dict[tuple[ItemKind, str], Thing]) -> Thing | None:
    return things.get((ItemKind.SOCK, id))


def _doubts(thing: Thing, things: dict[tuple[ItemKind, str], Thing]) -> Damage | None:
    """What is wrong with a thing that reads: what it refers to is not there, or its order."""
    found = tuple(_lacking(thing, things))
    return Damage(thing.kind, thing.id, thing.name, thing.version, found) if found else None


def _lacking(thing: Thing, things: dict[tuple[ItemKind, str], Thing]) -> Iterator[Problem]:
    for path, kind, id in references(thing.kind, thing.fields):
        if (kind, id) not in things:
            wrong = _("refers to a {kind} that is missing or damaged", kind=_(str(kind)))
            yield Problem(path, wrong, _("restore that first"))
    if thing.kind is ItemKind.SOCK:
        try:
            parse_order(thing.fields["order_toml"])
        except OrderError as error:
            yield Problem("order_toml", error.problems[0].wrong, error.problems[0].right)
