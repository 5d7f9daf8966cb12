"""From what is chosen among kept things to an order, through the order's own reader."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sqlalchemy.orm import Session

from sockwright.errors import OrderError, Problem
from sockwright.grammar.declare import shown
from sockwright.i18n import _
from sockwright.order.changes import merged
from sockwright.order.file import parse_order, toml_text
from sockwright.order.model import YARN_ROLES
from sockwright.store import kept
from sockwright.store.damage import Damaged
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.answers import Choice, Composed, Problems, Written
from sockwright.workshop.cam_curves import slope_by_others
from sockwright.workshop.finished import finished_tables
from sockwright.workshop.gauge_memory import staleness
from sockwright.workshop.own_pace import pace_on


@dataclass(frozen=True)
class Chosen:
    """The things of a choice."""

    person: Thing
    machine: Thing
    yarns: Mapping[str, Thing]
    design: Thing | None
    swatches: tuple[Thing, ...]


def write_order(session: Session, choice: Choice) -> Written | Problems:
    """The order of a choice as TOML, unread; what is wrong with the choice itself."""
    chosen = choose(session, choice)
    if isinstance(chosen, Problems):
        return chosen
    roles = _roles(choice.yarns)
    finished = finished_tables(session, choice.machine, choice.person, roles)
    document = order_document(chosen, choice, finished)
    machine, main = chosen.machine, chosen.yarns["main"]
    if slope := slope_by_others(session, machine, main, chosen.swatches):
        document["machine"]["cam_slope"] = slope
    if pace := pace_on(session, chosen.machine.id):
        document["machine"]["pace"] = pace
    return Written(toml_text(document), _notes(chosen))


def compose(session: Session, choice: Choice) -> Composed | Problems:
    """The order of a choice, or all its problems."""
    order = write_order(session, choice)
    if isinstance(order, Problems):
        return order
    try:
        return Composed(parse_order(order.toml), order.toml, order.notes)
    except OrderError as error:
        return Problems(error.problems)


def choose(session: Session, choice: Choice) -> Chosen | Problems:
    """The things of a choice, none of them deleted; else what is wrong with each."""
    found: list[Problem] = []

    def pick(path: str, kind: ItemKind, id: str) -> Thing | None:
        try:
            thing = kept.find(session, kind, id)
        except Damaged as damaged:
            wrong = _("{thing} is damaged", thing=shown(damaged.damage.called))
            found.append(Problem(path, wrong, _("restore it on its page, or choose another")))
            return None
        if thing is None:
            found.append(
                Problem(
                    path,
                    _("there is no such {kind} here", kind=_(str(kind))),
                    _("choose another"),
                )
            )
        elif thing.deleted:
            right = _("undo the deletion, or choose another")
            found.append(Problem(path, _("{thing} was deleted", thing=shown(thing.name)), right))
        return thing

    person = pick("person", ItemKind.PERSON, choice.person)
    machine = pick("machine", ItemKind.MACHINE, choice.machine)
    design = pick("design", ItemKind.DESIGN, choice.design) if choice.design else None
    yarns = {role: pick(f"yarn.{role}", ItemKind.YARN, id) for role, id in choice.yarns.items()}
    swatches = [
        pick(f"swatch[{i}]", ItemKind.SWATCH, id) for i, id in enumerate(choice.swatches, start=1)
    ]
    by_role = {role: yarn for role, yarn in yarns.items() if yarn}
    picked = tuple(swatch for swatch in swatches if swatch)
    found += _check_yarns(by_role, choice.yarns)
    found += _check_swatches(picked, choice.yarns)
    if found or not person or not machine:
        return Problems(tuple(found))
    return Chosen(person, machine, by_role, design, picked)


def order_document(
    chosen: Chosen, choice: Choice, finished: Sequence[Mapping[str, Any]] = ()
) -> dict[str, Any]:
    """The order file's tables: each thing's document in its place, and the `finished` socks."""
    sock = merged(chosen.design.document if chosen.design else {}, choice.what_if)
    if choice.needles is not None:
        sock["needles"] = choice.needles
    roles = _roles(choice.yarns)
    swatches = [
        {**swatch.document, "yarn": roles[swatch.fields["yarn_id"]]} for swatch in chosen.swatches
    ]
    return {
        **({"title": choice.title} if choice.title else {}),
        "units": choice.units,
        **chosen.person.document,
        "yarn": {role: chosen.yarns[role].document for role in _own_roles(choice.yarns)},
        "machine": {**chosen.machine.document, **_serviced(chosen.machine)},
        **({"swatch": swatches} if swatches else {}),
        **({"finished": list(finished)} if finished else {}),
        **({"sock": sock} if sock else {}),
    }


def _serviced(machine: Thing) -> dict[str, str]:
    """The day of its last service, as an order has it."""
    day = machine.fields["serviced"]
    return {"serviced": day} if day else {}


def _roles(yarns: Mapping[str, str]) -> dict[str, str]:
    """The role of each yarn, the first of YARN_ROLES where it has several."""
    return {yarns[role]: role for role in reversed(YARN_ROLES) if role in yarns}


def _own_roles(yarns: Mapping[str, str]) -> list[str]:
    """The roles to write: a part knitted of the main yarn has none of its own, or what is on
    hand would count twice."""
    main = yarns.get("main")
    return [
        role for role in YARN_ROLES if role in yarns and (role == "main" or yarns[role] != main)
    ]


def _check_yarns(yarns: Mapping[str, Thing], chosen: Mapping[str, str]) -> list[Problem]:
    found = [
        Problem(
            f"yarn.{role}",
            _("is not a part of a sock"),
            _("choose for {roles}", roles=YARN_ROLES),
        )
        for role in chosen
        if role not in YARN_ROLES
    ]
    if "main" not in chosen:
        found.append(Problem("yarn.main", _("is missing"), _("choose the yarn of the sock")))
    used_up = _("choose another, or enter how much there is of it")
    found += [
        Problem(f"yarn.{role}", _("{yarn} is used up", yarn=shown(yarn.name)), used_up)
        for role, yarn in yarns.items()
        if yarn.fields["used_up"] and not yarn.deleted
    ]
    return found


def _check_swatches(swatches: tuple[Thing, ...], yarns: Mapping[str, str]) -> list[Problem]:
    return [
        Problem(
            f"swatch[{i}]",
            _("{swatch} was knitted of a yarn that is not chosen", swatch=shown(swatch.name)),
            _("choose its yarn too, or leave the swatch out"),
        )
        for i, swatch in enumerate(swatches, 1)
        if swatch.fields["yarn_id"] not in yarns.values()
    ]


def _notes(chosen: Chosen) -> tuple[str, ...]:
    notes: list[str] = []
    for swatch in chosen.swatches:
        if swatch.fields["machine_id"] != chosen.machine.id:
            notes.append(_("{swatch} was knitted on another machine.", swatch=swatch.name))
        elif stale := staleness(swatch, chosen.machine):
            notes.append(_("{swatch}: {stale}.", swatch=swatch.name, stale=stale))
    ids = [yarn.id for role, yarn in chosen.yarns.items() if yarn.id != chosen.yarns["main"].id]
    if len(set(ids)) < len(ids):
        notes.append(_("Two parts use the same yarn: its stock is counted for each of them."))
    return tuple(notes)
