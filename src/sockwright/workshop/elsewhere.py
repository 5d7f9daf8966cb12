"""Where a choice makes no sock: what else of the workshop does, one part of the choice changed.

Orders are written where the workshop is read; whether a sock can be made of them is tried with the
plans at hand, wherever that is done.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import chain, islice, zip_longest

from sqlalchemy.orm import Session

from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.answers import Choice, Planned, Problems, Written
from sockwright.workshop.compose import write_order
from sockwright.workshop.gauge_memory import fitting
from sockwright.workshop.planning import Plans

MOST_TRIED = 12
MOST_OFFERED = 4


@dataclass(frozen=True)
class Elsewhere:
    """A thing of the workshop instead of the one chosen, or what to begin with where nothing is,
    and the choice and the order with it."""

    kind: ItemKind
    name: str
    choice: Choice
    written: Written


@dataclass(frozen=True)
class Found:
    """A thing of the workshop with which the sock can be made, and the plan of it."""

    elsewhere: Elsewhere
    planned: Planned


def choices_elsewhere(session: Session, choice: Choice) -> tuple[Elsewhere, ...]:
    """At most a dozen choices with one part changed, of each kind in turn; nothing is planned."""
    kinds = (
        _yarns(session, choice),
        _machines(session, choice),
        _designs(session, choice),
        _people(session, choice),
    )
    in_turn = chain.from_iterable(zip_longest(*kinds))
    written = (
        _written(session, kind, thing.name, changed)
        for kind, thing, changed in (one for one in in_turn if one is not None)
    )
    return tuple(islice((one for one in written if one is not None), MOST_TRIED))


def first_choices(session: Session, units: str) -> tuple[Elsewhere, ...]:
    """At most a dozen choices to begin with where nothing is chosen: a person, and yarn and machine
    of a swatch of plain fabric, each once; nothing is planned."""
    of_swatches = dict.fromkeys(
        (swatch.fields["yarn_id"], swatch.fields["machine_id"])
        for swatch in kept.listed(session, ItemKind.SWATCH)
        if swatch.document.get("fabric", "plain") == "plain"
    )
    people = kept.listed(session, ItemKind.PERSON)
    written = (
        _begun(session, person, yarn, machine, units)
        for person in people
        for yarn, machine in of_swatches
    )
    return tuple(islice((one for one in written if one is not None), MOST_TRIED))


def _begun(
    session: Session, person: Thing, yarn: str, machine: str, units: str
) -> Elsewhere | None:
    parts = [kept.find(session, ItemKind.YARN, yarn), kept.find(session, ItemKind.MACHINE, machine)]
    if any(part is None or part.deleted for part in parts):
        return None
    choice = Choice(person.id, machine, {"main": yarn}, units=units)
    name = ", ".join((person.name, *(part.name for part in parts if part)))
    return _written(session, ItemKind.PERSON, name, choice)


def good_choice(plans: Plans, tried: Sequence[Elsewhere]) -> tuple[Found, ...]:
    """The first that is good: its size is, and nothing is to be looked at first; none, else."""
    from sockwright.plan.notes import look_again
    from sockwright.plan.trust import Trust, size_verdict

    good = (
        one
        for one in _found(plans, tried)
        if all(
            size_verdict(sock).trust is Trust.GOOD and not look_again(sock)
            for sock in one.planned.pair.socks
        )
    )
    return tuple(islice(good, 1))


def found_elsewhere(plans: Plans, tried: Sequence[Elsewhere]) -> tuple[Found, ...]:
    """Those of which a sock can be made, the first few."""
    return tuple(islice(_found(plans, tried), MOST_OFFERED))


def _found(plans: Plans, tried: Sequence[Elsewhere]) -> Iterator[Found]:
    for one in tried:
        outcome = plans.of(one.written)
        if isinstance(outcome, Planned) and outcome.pair.ok:
            yield Found(one, outcome)


Changed = tuple[ItemKind, Thing, Choice]


def _written(session: Session, kind: ItemKind, name: str, choice: Choice) -> Elsewhere | None:
    swatches = fitting(session, choice.machine, frozenset(choice.yarns.values()))
    choice = replace(choice, swatches=swatches, needles=None)
    order = write_order(session, choice)
    return None if isinstance(order, Problems) else Elsewhere(kind, name, choice, order)


def _yarns(session: Session, choice: Choice) -> Iterator[Changed]:
    for yarn in kept.listed(session, ItemKind.YARN):
        if yarn.id != choice.yarns.get("main") and not yarn.fields["used_up"]:
            yield ItemKind.YARN, yarn, replace(choice, yarns={**choice.yarns, "main": yarn.id})


def _machines(session: Session, choice: Choice) -> Iterator[Changed]:
    for machine in kept.listed(session, ItemKind.MACHINE):
        if machine.id != choice.machine:
            yield ItemKind.MACHINE, machine, replace(choice, machine=machine.id)


def _designs(session: Session, choice: Choice) -> Iterator[Changed]:
    for design in kept.listed(session, ItemKind.DESIGN):
        if design.id != choice.design:
            yield ItemKind.DESIGN, design, replace(choice, design=design.id, what_if={})


def _people(session: Session, choice: Choice) -> Iterator[Changed]:
    for person in kept.listed(session, ItemKind.PERSON):
        if person.id != choice.person:
            yield ItemKind.PERSON, person, replace(choice, person=person.id, title="")
