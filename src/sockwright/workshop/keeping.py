"""Keeping, changing and going back, each checked before anything is written."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from sockwright.errors import Problem
from sockwright.grammar.declare import Place
from sockwright.i18n import _
from sockwright.store import kept
from sockwright.store.items import ItemKind, State, Thing, same
from sockwright.store.models import fields_of, kinds_referred, references
from sockwright.workshop.answers import Problems
from sockwright.workshop.kinds import (
    TYPES,
    check_document,
    check_fields,
    check_name,
    check_references,
    name_of,
    plain,
)

NOTHING: dict[str, Any] = {}
_ANY_MOMENT = datetime.min


def new_thing(
    session: Session,
    kind: ItemKind,
    id: str,
    document: Mapping[str, Any],
    now: datetime,
    name: str = "",
    fields: Mapping[str, Any] = NOTHING,
    example: bool = False,
) -> Thing | Problems:
    """Keep a new thing, or say all that is wrong with it."""
    state = _new_state(session, kind, document, name, fields, now)
    if isinstance(state, Problems):
        return state
    return kept.add(session, Thing(kind, id, 1, now, state, example))


def change_thing(
    session: Session,
    kind: ItemKind,
    id: str,
    seen: int,
    now: datetime,
    document: Mapping[str, Any] | None = None,
    name: str | None = None,
    fields: Mapping[str, Any] = NOTHING,
) -> Thing | Problems:
    """Write what is given over a thing; what is not given stays. Raises Stale and NotKept."""
    thing = kept.get_as_seen(session, kind, id, seen)
    state = _changed_state(session, thing, document, name, fields, now)
    if isinstance(state, Problems):
        return state
    return kept.change(session, kind, id, seen, replace(state, deleted=thing.deleted))


def wrong_with_new(
    session: Session,
    kind: ItemKind,
    document: Mapping[str, Any],
    name: str,
    fields: Mapping[str, Any],
) -> Problems | None:
    """What is wrong with a new thing, before a write is opened for it: others need not wait for
    the reading of a long document."""
    state = _new_state(session, kind, document, name, fields, _ANY_MOMENT)
    return state if isinstance(state, Problems) else None


def wrong_with_change(
    session: Session,
    kind: ItemKind,
    id: str,
    seen: int,
    document: Mapping[str, Any] | None,
    name: str | None,
    fields: Mapping[str, Any],
) -> Problems | None:
    """The same of a change. Raises Stale and NotKept."""
    thing = kept.get_as_seen(session, kind, id, seen)
    state = _changed_state(session, thing, document, name, fields, _ANY_MOMENT)
    return state if isinstance(state, Problems) else None


def _new_state(
    session: Session,
    kind: ItemKind,
    document: Mapping[str, Any],
    name: str,
    fields: Mapping[str, Any],
    now: datetime,
) -> State | Problems:
    return checked(session, kind, document, {**TYPES[kind].usual, **fields}, name, now)


def _changed_state(
    session: Session,
    thing: Thing,
    document: Mapping[str, Any] | None,
    name: str | None,
    fields: Mapping[str, Any],
    now: datetime,
) -> State | Problems:
    every = {**thing.fields, **TYPES[thing.kind].follows(document or {}), **fields}
    said = thing.document if document is None else document
    called = thing.name if name is None else name
    return checked(session, thing.kind, said, every, called, now, thing.fields)


def back_to(
    session: Session, kind: ItemKind, id: str, seen: int, version: int, now: datetime
) -> Thing | Problems:
    """Make a thing again what it was at an earlier version, as a new one.

    Whether it is deleted stays as it is: that has its own ways there and back. The thing as it is
    if it says the same already. Raises Stale and NotKept.
    """
    thing = kept.get_as_seen(session, kind, id, seen)
    was = {**kept.earlier(session, id), thing.version: thing.state}.get(version)
    state = _as_it_was(session, kind, was, version, now)
    if isinstance(state, Problems):
        return state
    again = replace(state, deleted=thing.deleted)
    if same(again, thing.state):
        return thing
    return kept.change(session, kind, id, seen, again)


def mend(
    session: Session, kind: ItemKind, id: str, version: int, now: datetime
) -> Thing | Problems:
    """Make a thing that does not read any more what it was at an earlier version that does.

    The thing as it is if it reads after all: somebody mended it meanwhile. Raises NotKept.
    """
    was = kept.earlier(session, id).get(version)
    state = _as_it_was(session, kind, was, version, now)
    if isinstance(state, Problems):
        return state
    return kept.mend(session, kind, id, state)


def _as_it_was(
    session: Session, kind: ItemKind, was: State | None, version: int, now: datetime
) -> State | Problems:
    """An earlier state as it may be kept again, deleted or not as it was; None is no version."""
    if was is None:
        wrong = _("there was no version {version}", version=version)
        return Problems((Problem("version", wrong, _("choose one of those listed")),))
    state = checked(session, kind, was.document, was.fields, was.name, now, was.fields)
    return state if isinstance(state, Problems) else replace(state, deleted=was.deleted)


def checked(
    session: Session,
    kind: ItemKind,
    document: Mapping[str, Any],
    fields: Mapping[str, Any],
    name: str,
    now: datetime,
    before: Mapping[str, Any] = NOTHING,
) -> State | Problems:
    """What is to be written, in JSON's types, or all that is wrong with it.

    `before` are the fields a thing has already: it may go on referring to what was deleted since.
    """
    found: list[Problem] = []
    place = Place("", found)
    check_name(kind, name, place)
    check_document(kind, document, place)
    fields = plain(fields)
    check_fields(kind, fields, place)
    if not found:
        check_references(session, kind, fields, before, place)
        TYPES[kind].check(document, fields, place)
    if found:
        return Problems(tuple(found))
    own = {field: fields[field] for field in fields_of(kind)}
    return State(name_of(kind, document, name), plain(document), own, now)


def used_by(session: Session, kind: ItemKind, id: str) -> tuple[Thing, ...]:
    """Everything not deleted that refers to a thing: swatches, socks and notes."""
    return tuple(
        thing
        for user in ItemKind
        if kinds_referred(user)
        for thing in kept.listed(session, user)
        if any(of == kind and to == id for _, of, to in references(user, thing.fields))
    )
