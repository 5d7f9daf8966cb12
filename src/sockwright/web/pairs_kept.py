"""Kept pairs with all they are made of, for lists, pages and data."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Annotated

from fastapi import Path

from sockwright.i18n.messages import _
from sockwright.order.model import YARN_ROLES
from sockwright.store.items import ItemKind, NotKept, State, Thing
from sockwright.store.kept import stand_in
from sockwright.web.context import ID
from sockwright.web.plan.choices import query_of
from sockwright.workshop.fields import BEING_MADE, MADE, PLANNED, STATUS_WORDS
from sockwright.workshop.pairs import choice_of
from sockwright.workshop.workshop import Workshop

PairId = Annotated[str, Path(pattern=ID, description="The pair's id.")]
"""The id of a pair in an address of the data."""


@dataclass(frozen=True)
class Pair:
    """A kept pair and its parts, deleted or not; `yarns` by role."""

    sock: Thing
    person: Thing
    machine: Thing
    design: Thing | None
    yarns: Mapping[str, Thing]
    swatches: tuple[Thing, ...]

    @property
    def id(self) -> str:
        """The pair's id."""
        return self.sock.id

    @property
    def status(self) -> str:
        """One of STATUS_WORDS."""
        return str(self.sock.fields["status"])

    @property
    def own_yarns(self) -> dict[str, Thing]:
        """Each yarn once, under the first of its roles."""
        first: dict[str, str] = {}
        for role, yarn in self.yarns.items():
            first.setdefault(yarn.id, role)
        return {role: self.yarns[role] for role in first.values()}

    @property
    def query(self) -> str:
        """The query that plans such a pair anew."""
        return query_of(choice_of(self.sock))

    def query_in(self, units: str) -> str:
        """The same for a reader of given units."""
        return query_of(replace(choice_of(self.sock), units=units))


Everything = Mapping[ItemKind, tuple[Thing, ...]]
"""All things by kind, deleted or not, read at one moment."""


def pairs(shop: Workshop) -> tuple[Pair, ...]:
    """All pairs that are not deleted, the one changed last first."""
    return pairs_of(shop.everything(None))


def pairs_of(every: Everything) -> tuple[Pair, ...]:
    """The pairs among all that is kept, as of `pairs`."""
    parts = by_id(every)
    here = (sock for sock in every[ItemKind.SOCK] if not sock.deleted)
    socks = sorted(here, key=lambda sock: sock.state.changed, reverse=True)
    return tuple(_pair(sock, parts) for sock in socks)


def pair(shop: Workshop, id: str) -> Pair:
    """One pair, deleted or not; NotKept if there is none."""
    if not re.fullmatch(ID, id):
        raise NotKept(ItemKind.SOCK, id[:40])
    return _pair(*shop.with_parts(ItemKind.SOCK, id))


def by_status(every: Iterable[Pair]) -> dict[str, list[Pair]]:
    """The pairs in groups: those being made first, then the planned, then the made."""
    groups: dict[str, list[Pair]] = {BEING_MADE: [], PLANNED: [], MADE: []}
    for one in every:
        groups[one.status].append(one)
    return groups


def by_id(every: Everything) -> dict[str, Thing]:
    """The same things by id."""
    return {thing.id: thing for things in every.values() for thing in things}


def not_deleted(every: Everything) -> dict[ItemKind, tuple[Thing, ...]]:
    """Those of them that are not deleted."""
    return {
        kind: tuple(thing for thing in things if not thing.deleted)
        for kind, things in every.items()
    }


def part_of(parts: Mapping[str, Thing], kind: ItemKind, id: str) -> Thing:
    """One of the things by id; a stand-in for what does not read any more, or is gone."""
    return parts.get(id) or stand_in(kind, id)


def _pair(sock: Thing, parts: Mapping[str, Thing]) -> Pair:
    fields = sock.fields
    yarns = fields["yarns"]
    return Pair(
        sock=sock,
        person=part_of(parts, ItemKind.PERSON, fields["person_id"]),
        machine=part_of(parts, ItemKind.MACHINE, fields["machine_id"]),
        design=part_of(parts, ItemKind.DESIGN, fields["design_id"])
        if fields["design_id"]
        else None,
        yarns={
            role: part_of(parts, ItemKind.YARN, yarns[role]) for role in YARN_ROLES if role in yarns
        },
        swatches=tuple(part_of(parts, ItemKind.SWATCH, id) for id in fields["swatches"]),
    )


_PAIR_DEEDS = {
    "status": "",
    "measured": _("measured"),
    "left": _("its yarns weighed"),
    "log": _("note added"),
}
"""What each field of a pair tells was done, the weightiest first."""


def pair_deed(was: State, now: State) -> str:
    """What was done to a pair; what was written of it stands on its page."""
    for field, words in _PAIR_DEEDS.items():
        if now.fields[field] != was.fields[field]:
            return STATUS_WORDS[now.fields[field]] if field == "status" else words
    return _("planned again")
