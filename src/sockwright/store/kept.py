"""The ways to read and write kept things and bench logs, within a session somebody else opened.

A write names the version its writer saw; what the thing was before is kept beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import islice
from typing import Any

from sqlalchemy import Select, func, select
from sqlalchemy import delete as delete_rows
from sqlalchemy import delete as sql_delete
from sqlalchemy.orm import Session

from sockwright.errors import Problem
from sockwright.i18n import _
from sockwright.store.damage import (
    Damage,
    Damaged,
    Reads,
    anything,
    is_count,
    is_id,
    is_text,
    readable,
    wrong_document,
    wrong_values,
)
from sockwright.store.items import (
    ItemKind,
    NotKept,
    Stale,
    State,
    StoreError,
    Thing,
    changes_between,
)
from sockwright.store.models import TABLES, BenchEntry, Earlier, Kept, Sock, SockYarn, fields_of

DAMAGED_MARK = "\N{WARNING SIGN}"
"""Stands before the name of what does not read."""

_ONCE = datetime(1970, 1, 1, tzinfo=UTC)


def get(session: Session, kind: ItemKind, id: str) -> Thing:
    """The thing, deleted or not; NotKept if there is none, Damaged if it does not read."""
    return _thing(session, kind, _row(session, kind, id))


def find(session: Session, kind: ItemKind, id: str) -> Thing | None:
    """The thing, deleted or not; None if there is none. Damaged if it does not read."""
    row = session.get(TABLES[kind], id)
    return None if row is None else _thing(session, kind, row)


def part(session: Session, kind: ItemKind, id: str) -> Thing:
    """The thing that another refers to, as of `get`; a stand-in where it does not read, or is gone:
    what refers to it must not be lost with it."""
    row = session.get(TABLES[kind], id)
    if row is None:
        return stand_in(kind, id)
    read = _read(session, kind, row)
    return stand_in(kind, id, read.name) if isinstance(read, Damage) else read


def listed(
    session: Session, kind: ItemKind, deleted: bool | None = False, **having: str
) -> tuple[Thing, ...]:
    """All things of a kind by name: those not deleted, only those deleted, or (None) both; and only
    those `having` such values in their fields.

    Those that do not read are not among them: `damages` tells of them.
    """
    table = TABLES[kind]
    query = select(table).filter_by(**having).order_by(table.name, table.id)
    if deleted is not None:
        query = query.where(table.deleted.is_not(None) if deleted else table.deleted.is_(None))
    read = (_read(session, kind, row) for row in session.scalars(query) if row is not None)
    return tuple(one for one in read if isinstance(one, Thing))


def pairs_of_yarns(session: Session, yarns: Iterable[str]) -> tuple[Thing, ...]:
    """All pairs that use one of the yarns, deleted ones too, by name."""
    found = {
        row.id: row
        for batch in _batched(yarns, AT_ONCE)
        for row in session.scalars(
            select(Sock).where(Sock.yarn_rows.any(SockYarn.yarn_id.in_(batch)))
        )
    }
    read = (_read(session, ItemKind.SOCK, row) for row in found.values())
    return tuple(one for one in read if isinstance(one, Thing))


def damages(session: Session, kinds: Iterable[ItemKind] = tuple(ItemKind)) -> tuple[Damage, ...]:
    """The things of these kinds that do not read, deleted or not."""
    rows = ((kind, row) for kind in kinds for row in session.scalars(select(TABLES[kind])))
    read = (_read(session, kind, row) for kind, row in rows if row is not None)
    return tuple(one for one in read if isinstance(one, Damage))


def earlier(session: Session, id: str) -> dict[int, State]:
    """What the thing was, by version, the first one first; without its newest, and without those
    that do not read any more."""
    query = select(Earlier).where(Earlier.id == id).order_by(Earlier.version)
    rows = (row for row in session.scalars(query) if row is not None)
    return {row.version: _earlier_state(row) for row in rows if not wrong_earlier(session, row)}


def wrong_earlier(session: Session, row: Earlier) -> tuple[Problem, ...]:
    """What does not read of an earlier version."""
    found = list(wrong_values(row, ("changed", "deleted")))
    if row.kind not in tuple(ItemKind):
        found.append(
            Problem("kind", _("is unknown"), _("should be one of the kinds of entries here"))
        )
    found += wrong_document("fields", row.fields)
    return tuple(found) or reads_of(session)(ItemKind(row.kind), row.document, row.fields)


def add(session: Session, thing: Thing, before: dict[int, State] | None = None) -> Thing:
    """Keep a new thing, with what it was `before` where it comes from elsewhere.

    StoreError if its id is taken.
    """
    taken = session.get(TABLES[thing.kind], thing.id)
    if taken is not None:
        _thing(session, thing.kind, taken)
        raise StoreError(
            _(
                "there is already a {kind} with the id {id!r}; use another id",
                kind=_(str(thing.kind)),
                id=thing.id,
            )
        )
    row = TABLES[thing.kind]()
    row.id, row.version, row.created = thing.id, thing.version, thing.created
    row.example = thing.example
    _write_state(row, thing.state)
    session.add(row)
    for version, state in (before or {}).items():
        session.add(_earlier_row(thing.kind, thing.id, version, state))
    session.flush()
    return _thing(session, thing.kind, row)


def change(
    session: Session, kind: ItemKind, id: str, seen: int, state: State, example: bool = False
) -> Thing:
    """Write a new state over the version `seen`; an example that is changed is one no longer.

    Stale if the thing is at another version, NotKept if it is not there.
    """
    row = _row_as_seen(session, kind, id, seen)
    session.add(_earlier_row(kind, id, row.version, _state(row)))
    _write_state(row, state)
    row.version += 1
    row.example = example
    session.flush()
    return _thing(session, kind, row)


def mend(session: Session, kind: ItemKind, id: str, state: State) -> Thing:
    """Write a state over a thing that does not read; of what it was nothing can be kept.

    One that reads is left as it is. NotKept if it is not there.
    """
    row = _row(session, kind, id)
    read = _read(session, kind, row)
    if isinstance(read, Thing):
        return read
    newest = session.scalars(select(func.max(Earlier.version)).where(Earlier.id == id)).one()
    versions = [one for one in (row.version, newest, 0) if is_count(one, least=0)]
    _write_state(row, state)
    row.version = max(versions) + 1
    row.example = bool(row.example)
    if not isinstance(row.created, datetime):
        row.created = state.changed
    session.flush()
    return _thing(session, kind, row)


def delete(session: Session, kind: ItemKind, id: str, seen: int, now: datetime) -> Thing:
    """Mark as deleted; what refers to it stays. Raises as `change`."""
    thing = get_as_seen(session, kind, id, seen)
    state = replace(thing.state, deleted=thing.deleted or now, changed=now)
    return change(session, kind, id, seen, state, thing.example)


def restore(session: Session, kind: ItemKind, id: str, seen: int, now: datetime) -> Thing:
    """Undo a deletion. Raises as `change`."""
    thing = get_as_seen(session, kind, id, seen)
    state = replace(thing.state, deleted=None, changed=now)
    return change(session, kind, id, seen, state, thing.example)


def remove(session: Session, things: Iterable[Thing]) -> None:
    """Take things out for good, with all they were before; what refers to others goes first."""
    order = list(ItemKind)
    for thing in sorted(things, key=lambda each: order.index(each.kind), reverse=True):
        session.delete(_row(session, thing.kind, thing.id))
        session.execute(delete_rows(Earlier).where(Earlier.id == thing.id))
        session.flush()


def get_as_seen(session: Session, kind: ItemKind, id: str, seen: int) -> Thing:
    """The thing if it is still at the version `seen`; raises as `change`."""
    return _thing(session, kind, _row_as_seen(session, kind, id, seen))


def _row(session: Session, kind: ItemKind, id: str) -> Kept:
    row = session.get(TABLES[kind], id)
    if row is None:
        raise NotKept(kind, id)
    return row


def _row_as_seen(session: Session, kind: ItemKind, id: str, seen: int) -> Kept:
    row = _row(session, kind, id)
    thing = _thing(session, kind, row)
    if row.version != seen:
        was = earlier(session, id).get(seen)
        raise Stale(seen, thing, changes_between(was, thing.state) if was else ())
    return row


def stand_in(kind: ItemKind, id: str, name: str = "") -> Thing:
    """In place of a thing that does not read: nothing is said of it but its name."""
    nothing = {field: False if field == "used_up" else None for field in fields_of(kind)}
    called = f"{DAMAGED_MARK} {name or id[:8]}"
    return Thing(kind, id, 0, _ONCE, State(called, {}, nothing, _ONCE), damaged=True)


def reads_of(session: Session) -> Reads:
    """How documents are read here, which the store itself does not know."""
    found: Reads = session.info.get("reads", anything)
    return found


def _thing(session: Session, kind: ItemKind, row: Kept) -> Thing:
    read = _read(session, kind, row)
    if isinstance(read, Damage):
        raise Damaged(read)
    return read


def _read(session: Session, kind: ItemKind, row: Kept) -> Thing | Damage:
    found = tuple(wrong_values(row, ("created", "changed", "deleted")))
    if not isinstance(row.example, bool):
        found += (Problem("example", _("is missing"), _("should be yes or no")),)
    if not found:
        state = _state(row)
        found = reads_of(session)(kind, state.document, state.fields)
        if not found:
            return Thing(kind, row.id, row.version, row.created, state, row.example)
    return Damage(
        kind,
        row.id if is_id(row.id) else "",
        readable(row.name) if is_text(row.name) else "",
        row.version if is_count(row.version) else 0,
        found,
    )


def _state(row: Kept) -> State:
    return State(row.name, row.document, row.fields, row.changed, row.deleted)


def _write_state(row: Kept, state: State) -> None:
    row.name, row.document = state.name, dict(state.document)
    row.changed, row.deleted = state.changed, state.deleted
    row.fields = state.fields


def _earlier_row(kind: ItemKind, id: str, version: int, state: State) -> Earlier:
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


AT_ONCE = 500
"""Ids asked for at once: databases take some thousands."""

MOST_COUNTED = 1_000_000
"""More than any entry counts at once."""

HIGHEST_CLOCK = 2_147_483_647
"""The highest clock that a column can hold."""

_WHICH = ("first", "second")


@dataclass(frozen=True)
class KeptEntry:
    """One entry of a sock's log; what it means is told in `bench.log`."""

    id: str
    sock_id: str
    which: str
    received: datetime
    clock: int
    device: str
    time: str
    deed: str
    by: int = 0
    of: str = ""
    at: int = 0
    text: str = ""


COLUMNS = tuple(KeptEntry.__annotations__)
"""What every entry has, in its order."""


def add_entries(session: Session, entries: Iterable[KeptEntry]) -> int:
    """Keep those entries whose ids are not kept yet; tells how many were new."""
    new = {entry.id: entry for entry in entries}
    known: set[str] = set()
    for batch in _batched(new, AT_ONCE):
        known |= set(session.scalars(select(BenchEntry.id).where(BenchEntry.id.in_(batch))))
    rows = [
        BenchEntry(**{name: getattr(entry, name) for name in COLUMNS})
        for id, entry in new.items()
        if id not in known
    ]
    session.add_all(rows)
    return len(rows)


def clocks_of(session: Session, sock_id: str, which: str) -> dict[str, int]:
    """The clock of each entry of one sock's log, by id."""
    query = select(BenchEntry.id, BenchEntry.clock)
    here = query.where(BenchEntry.sock_id == sock_id, BenchEntry.which == which)
    return {one.id: one.clock for one in session.execute(here)}


def entries_of(session: Session, sock_id: str, which: str) -> tuple[KeptEntry, ...]:
    """The log of one sock of a pair, in the order of its clock."""
    query = select(BenchEntry).where(BenchEntry.sock_id == sock_id, BenchEntry.which == which)
    return _read_entries(
        session, query.order_by(BenchEntry.clock, BenchEntry.device, BenchEntry.id)
    )


def counted_socks(session: Session) -> frozenset[str]:
    """The ids of the pairs that have a log at the machine."""
    return frozenset(session.scalars(select(BenchEntry.sock_id).distinct()))


def stamp_of_log(session: Session, sock_id: str) -> tuple[Any, ...]:
    """What is another as soon as an entry of a pair came or went: entries are never changed."""
    of_log = (func.count(BenchEntry.id), func.max(BenchEntry.id), func.sum(BenchEntry.clock))
    return tuple(session.execute(select(*of_log).where(BenchEntry.sock_id == sock_id)).one())


def every_entry(session: Session) -> tuple[KeptEntry, ...]:
    """All entries of all socks by their ids, those that read."""
    return _read_entries(session, select(BenchEntry).order_by(BenchEntry.id))


def damaged_entries(session: Session, sock_id: str | None = None) -> tuple[str, ...]:
    """The ids, as far as they read, of the entries that do not: of one pair, or of all."""
    query = select(BenchEntry).order_by(BenchEntry.id)
    if sock_id is not None:
        query = query.where(BenchEntry.sock_id == sock_id)
    rows = session.scalars(query)
    return tuple(readable(row.id) for row in rows if row is not None and not _is_sound(row))


def forget_entries(session: Session, sock_ids: Iterable[str]) -> None:
    """Take the logs of these pairs out."""
    session.execute(sql_delete(BenchEntry).where(BenchEntry.sock_id.in_(tuple(sock_ids))))


def _batched(ids: Iterable[str], size: int) -> Iterator[list[str]]:
    """The ids, at most so many at a time."""
    waiting = iter(ids)
    while batch := list(islice(waiting, size)):
        yield batch


def _read_entries(session: Session, query: Select[Any]) -> tuple[KeptEntry, ...]:
    return tuple(
        KeptEntry(**{name: getattr(row, name) for name in COLUMNS})
        for row in session.scalars(query)
        if row is not None and _is_sound(row)
    )


def _is_sound(row: BenchEntry) -> bool:
    """Whether every value of an entry is one that was ever taken."""
    ids = (row.id, row.sock_id, row.device, *((row.of,) if row.of != "" else ()))
    return (
        all(map(is_id, ids))
        and row.which in _WHICH
        and isinstance(row.received, datetime)
        and is_count(row.clock, most=HIGHEST_CLOCK)
        and is_count(row.by, -MOST_COUNTED, MOST_COUNTED)
        and is_count(row.at, 0, MOST_COUNTED)
        and all(map(is_text, (row.time, row.deed, row.text)))
    )
