"""The entries of socks' logs as they are kept: added once each, and never changed."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from typing import Any

from sqlalchemy import Select, delete, select
from sqlalchemy.orm import Session

from sockwright.store.damage import is_count, is_id, is_text, readable
from sockwright.store.models import BenchEntry

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
    return _read(session, query.order_by(BenchEntry.clock, BenchEntry.device, BenchEntry.id))


def every_entry(session: Session) -> tuple[KeptEntry, ...]:
    """All entries of all socks by their ids, those that read."""
    return _read(session, select(BenchEntry).order_by(BenchEntry.id))


def damaged_entries(session: Session, sock_id: str | None = None) -> tuple[str, ...]:
    """The ids, as far as they read, of the entries that do not: of one pair, or of all."""
    query = select(BenchEntry).order_by(BenchEntry.id)
    if sock_id is not None:
        query = query.where(BenchEntry.sock_id == sock_id)
    rows = session.scalars(query)
    return tuple(readable(row.id) for row in rows if row is not None and not _is_sound(row))


def forget_entries(session: Session, sock_ids: Iterable[str]) -> None:
    """Take the logs of these pairs out."""
    session.execute(delete(BenchEntry).where(BenchEntry.sock_id.in_(tuple(sock_ids))))


def _batched(ids: Iterable[str], size: int) -> Iterator[list[str]]:
    """The ids, at most so many at a time."""
    waiting = iter(ids)
    while batch := list(islice(waiting, size)):
        yield batch


def _read(session: Session, query: Select[Any]) -> tuple[KeptEntry, ...]:
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
