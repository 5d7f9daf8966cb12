"""Plans of what is kept: by the text of an order, the last ones at hand; before a write begins."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, Final

from sqlalchemy.orm import Session

from sockwright.errors import CannotMake, OrderError
from sockwright.grammar.declare import Place
from sockwright.machine import Machine
from sockwright.once import Memory
from sockwright.order.document import parse_document
from sockwright.order.file import parse_order
from sockwright.order.machine_part import MACHINE
from sockwright.order.model import Order, WearerGiven, YarnGiven
from sockwright.store import kept
from sockwright.store.database import Database
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.answers import Choice, Composed, Planned, Problems, Refused, Written
from sockwright.workshop.compose import Chosen, order_document, write_order
from sockwright.workshop.kinds import TYPES, WORKED_OUT, plain, read_swatch
from sockwright.workshop.pairs import choice_of

AT_HAND: Final = 32
"""Plans kept at hand: a plan for 60 needles takes 0.4 MB, one for 200 needles 2 MB."""

Keep = Callable[[Session, Composed], Thing | Problems]
"""Keeps what was composed."""


class Plans:
    """Makes plans of written orders, and remembers the last `most` of them."""

    def __init__(self, most: int = AT_HAND) -> None:
        self._made: Memory[Planned | Problems | Refused] = Memory(most)

    def of(self, written: Written) -> Planned | Problems | Refused:
        """The plan of an order, or why there is none."""
        found = self._made.of(written.toml, lambda: _planned(written.toml))
        if isinstance(found, Problems):
            return found
        return replace(found, composed=replace(found.composed, notes=written.notes))


def _planned(toml: str) -> Planned | Problems | Refused:
    from sockwright.plan.make import make_plan

    try:
        composed = Composed(parse_order(toml), toml)
        try:
            return Planned(composed, make_plan(composed.order))
        except CannotMake as refusal:
            return Refused(composed, refusal)
    except OrderError as error:
        return Problems(error.problems)


def keep_planned(
    database: Database, plans: Plans, choice: Choice, keep: Keep
) -> Thing | Problems | Refused:
    """Keep the order of a choice as it is now, if a plan can be made of it.

    What was chosen may be changed between the plan and the write: then it is planned again.
    """
    while True:
        with database.reading() as session:
            order = write_order(session, choice)
        if isinstance(order, Problems):
            return order
        planned = plans.of(order)
        if not isinstance(planned, Planned):
            return planned
        with database.writing() as session:
            if _is_still(write_order(session, choice), order):
                return keep(session, planned.composed)


def _is_still(now: Written | Problems, order: Written) -> bool:
    return isinstance(now, Written) and now.toml == order.toml


def swatch_order(session: Session, id: str, units: str) -> Order | None:
    """The order of a swatch, in `units` ("cm" or "in"); None where it cannot be read any more.

    NotKept if there is no such swatch.
    """
    swatch = kept.get(session, ItemKind.SWATCH, id)
    given = read_swatch(swatch.document)
    yarn = kept.get(session, ItemKind.YARN, swatch.fields["yarn_id"])
    machine = kept.get(session, ItemKind.MACHINE, swatch.fields["machine_id"])
    of_yarn = TYPES[ItemKind.YARN].grammar.read(yarn.document, Place("", []))
    of_machine = MACHINE.read(machine.document, Place("", []))
    if given is None or not isinstance(of_yarn, YarnGiven) or not isinstance(of_machine, Machine):
        return None
    return Order(swatch.name, WearerGiven(""), of_machine, (of_yarn,), (given,), units=units)


def plan_of(sock: Thing, plans: Plans) -> Planned | Problems | Refused:
    """The plan of a kept pair by the order it was planned by, whatever its parts are now; `plans`
    may have it at hand."""
    return plans.of(Written(sock.fields["order_toml"]))


def changed_parts(session: Session, sock: Thing) -> tuple[Thing, ...]:
    """The parts of a kept pair that say something else now than when it was planned.

    What there is of a yarn does not count, for it is used up by knitting, nor does the maker's
    pace. None are told where its order or one of them does not read any more.
    """
    choice = choice_of(sock)
    chosen = _chosen(session, choice)
    if chosen is None:
        return ()
    try:
        then = plain(parse_document(sock.fields["order_toml"], "the order"))
    except OrderError:
        return ()
    now = plain(order_document(chosen, choice))
    parts: list[tuple[Thing | None, Any, Any]] = [
        (chosen.person, _person(then), _person(now)),
        (chosen.machine, _of_machine_alone(then), _of_machine_alone(now)),
        (chosen.design, then.get("sock", {}), now.get("sock", {})),
        *(
            (yarn, _without_mass(then, role), _without_mass(now, role))
            for role, yarn in chosen.yarns.items()
        ),
        *zip(chosen.swatches, then.get("swatch", []), now.get("swatch", []), strict=False),
    ]
    differing = [part for part, was, is_now in parts if part is not None and was != is_now]
    return tuple({part.id: part for part in differing}.values())


def _chosen(session: Session, choice: Choice) -> Chosen | None:
    """The things of a choice, deleted or not; None where one of them does not read any more."""
    chosen = Chosen(
        person=kept.part(session, ItemKind.PERSON, choice.person),
        machine=kept.part(session, ItemKind.MACHINE, choice.machine),
        yarns={role: kept.part(session, ItemKind.YARN, id) for role, id in choice.yarns.items()},
        design=kept.part(session, ItemKind.DESIGN, choice.design) if choice.design else None,
        swatches=tuple(kept.part(session, ItemKind.SWATCH, id) for id in choice.swatches),
    )
    designs = () if chosen.design is None else (chosen.design,)
    every = (chosen.person, chosen.machine, *chosen.yarns.values(), *designs, *chosen.swatches)
    return None if any(one.damaged for one in every) else chosen


def _person(document: Mapping[str, Any]) -> tuple[Any, Any]:
    return document.get("wearer"), document.get("foot")


def _of_machine_alone(document: Mapping[str, Any]) -> dict[str, Any]:
    """The machine without the maker's pace on it, which every counted sock changes, and without
    what its swatches tell of its cam."""
    machine = document.get("machine", {})
    return {key: machine[key] for key in machine if key not in WORKED_OUT}


def _without_mass(document: Mapping[str, Any], role: str) -> dict[str, Any]:
    yarn = document.get("yarn", {}).get(role, {})
    return {key: value for key, value in yarn.items() if key != "on_hand"}
