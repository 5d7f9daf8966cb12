"""The ways to read and write kept things, all within a session somebody else opened.

A write names the version its writer saw; what the thing was before is kept beside it.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import delete as delete_rows
from sqlalchemy import select
from sqlalchemy.orm import Session

from sockwright.store.models import TABLES, Earlier, Kept, Note
from sockwright.store.refusals import NotKept, Stale, StoreError
from sockwright.store.things import FIELDS, Kind, State, Thing, changes_between
from sockwright.words import said


def get(session: Session, kind: Kind, id: str) -> Thing:
    """The thing, deleted or not; NotKept if there is none."""
    return _thing(kind, _row(session, kind, id))


def find(session: Session, kind: Kind, id: str) -> Thing | None:
    """The thing, deleted or not; None if there is none."""
    row = session.get(TABLES[kind], id)
    return None if row is None else _thing(kind, row)


def listed(session: Session, kind: Kind, deleted: bool | None = False) -> tuple[Thing, ...]:
    """All things of a kind by name: those not deleted, only those deleted, or (None) both."""
    table = TABLES[kind]
    query = select(table).order_by(table.name, table.id)
    if deleted is not None:
        query = query.where(table.deleted.is_not(None) if deleted else table.deleted.is_(None))
    return tuple(_thing(kind, row) for row in session.scalars(query))


def earlier(session: Session, id: str) -> dict[int, State]:
    """What the thing was, by version, the first one first; without its newest."""
    query = select(Earlier).where(Earlier.id == id).order_by(Earlier.version)
    return {row.version: _earlier_state(row) for row in session.scalars(query)}


def add(session: Session, thing: Thing, before: dict[int, State] | None = None) -> Thing:
    """Keep a new thing, with what it was `before` where it comes from elsewhere.

    StoreError if its id is taken.
    """
    if session.get(TABLES[thing.kind], thing.id) is not None:
        raise StoreError(
            said(
                "a {kind} {id!r} is kept here already; give another id",
                kind=said(str(thing.kind)),
                id=thing.id,
            )
        )
    row = TABLES[thing.kind]()
    row.id, row.version, row.created = thing.id, thing.version, thing.created
    row.example = thing.example
    _write_state(thing.kind, row, thing.state)
    session.add(row)
    for version, state in (before or {}).items():
        session.add(_earlier_row(thing.kind, thing.id, version, state))
    session.flush()
    return _thing(thing.kind, row)


def change(
    session: Session, kind: Kind, id: str, seen: int, state: State, example: bool = False
) -> Thing:
    """Write a new state over the version `seen`; an example that is changed is one no longer.

    Stale if the thing is at another version, NotKept if it is not there.
    """
    row = _row_as_seen(session, kind, id, seen)
    session.add(_earlier_row(kind, id, row.version, _state(kind, row)))
    _write_state(kind, row, state)
    row.version += 1
    row.example = example
    session.flush()
    return _thing(kind, row)


def delete(session: Session, kind: Kind, id: str, seen: int, now: datetime) -> Thing:
    """Mark as deleted; what refers to it stays. Raises as `change`."""
    thing = get_as_seen(session, kind, id, seen)
    state = replace(thing.state, deleted=thing.deleted or now, changed=now)
    return change(session, kind, id, seen, state, thing.example)


def restore(session: Session, kind: Kind, id: str, seen: int, now: datetime) -> Thing:
    """Undo a deletion. Raises as `change`."""
    thing = get_as_seen(session, kind, id, seen)
    state = replace(thing.state, deleted=None, changed=now)
    return change(session, kind, id, seen, state, thing.example)


def remove(session: Session, things: Iterable[Thing]) -> None:
    """Take things out for good, with all they were before; what refers to others goes first."""
    order = list(Kind)
    for thing in sorted(things, key=lambda each: order.index(each.kind), reverse=True):
        session.delete(_row(session, thing.kind, thing.id))
        session.execute(delete_rows(Earlier).where(Earlier.id == thing.id))
        session.flush()


def get_as_seen(session: Session, kind: Kind, id: str, seen: int) -> Thing:
    """The thing if it is still at the version `seen`; raises as `change`."""
    return _thing(kind, _row_as_seen(session, kind, id, seen))


def _row(session: Session, kind: Kind, id: str) -> Kept:
    row = session.get(TABLES[kind], id)
    if row is None:
        raise NotKept(kind, id)
    return row


def _row_as_seen(session: Session, kind: Kind, id: str, seen: int) -> Kept:
    row = _row(session, kind, id)
    if row.version != seen:
        thing = _thing(kind, row)
        was = earlier(session, id).get(seen)
        raise Stale(seen, thing, changes_between(was, thing.state) if was else ())
    return row


def _thing(kind: Kind, row: Kept) -> Thing:
    return Thing(kind, row.id, row.version, row.created, _state(kind, row), row.example)


def _state(kind: Kind, row: Kept) -> State:
    return State(row.name, row.document, _fields(kind, row), row.changed, row.deleted)


def _fields(kind: Kind, row: Kept) -> dict[str, Any]:
    if isinstance(row, Note):
        return dict(zip(FIELDS[kind], row.about, strict=True))
    return {name: getattr(row, name) for name in FIELDS[kind]}


def _write_state(kind: Kind, row: Kept, state: State) -> None:
    row.name, row.document = state.name, dict(state.document)
    row.changed, row.deleted = state.changed, state.deleted
    if isinstance(row, Note):
        row.about = (state.fields["about_kind"], state.fields["about_id"])
        return
    for name in FIELDS[kind]:
        setattr(row, name, state.fields[name])


def _earlier_row(kind: Kind, id: str, version: int, state: State) -> Earlier:
    return Earlier(
        id=id,
        version=version,
        kind=str(kind),
        name=state.name,
        document=dict(state.document),
        fields=dict(state.fields),
        changed=state.changed,
        deleted=state.deleted,
    )


def _earlier_state(row: Earlier) -> State:
    return State(row.name, row.document, row.fields, row.changed, row.deleted)
