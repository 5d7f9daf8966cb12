"""Everything that is kept, read once: what is there, and what of it does not read any more."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from sockwright.errors import OrderError, Problem
from sockwright.order.file import parse_order
from sockwright.store import kept
from sockwright.store.damage import Damage, readable
from sockwright.store.items import ItemKind, Thing
from sockwright.store.kept import damaged_entries, every_entry
from sockwright.store.models import Earlier, references
from sockwright.words import said
from sockwright.workshop.bench import is_readable


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
            wrong = said("refers to a {kind} that is missing or damaged", kind=said(str(kind)))
            yield Problem(path, wrong, said("restore that first"))
    if thing.kind is ItemKind.SOCK:
        try:
            parse_order(thing.fields["order_toml"])
        except OrderError as error:
            yield Problem("order_toml", error.problems[0].wrong, error.problems[0].right)
