"""A pair of socks from its plan to the finished measures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from sockwright.errors import Problem
from sockwright.grammar.bounds import limits
from sockwright.grammar.declare import Place
from sockwright.i18n import _
from sockwright.quantities import parse_mass_g
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.workshop.answers import Choice, Composed, Problems
from sockwright.workshop.fields import (
    BEING_MADE,
    LEFT,
    LOG_ENTRY,
    MADE,
    PLANNED,
    STATUS_WORDS,
)
from sockwright.workshop.keeping import NOTHING, change_thing, new_thing
from sockwright.workshop.measured import MEASURED


def keep_sock(
    session: Session,
    id: str,
    choice: Choice,
    composed: Composed,
    now: datetime,
    fields: Mapping[str, Any] = NOTHING,
    example: bool = False,
) -> Thing | Problems:
    """Keep the sock of a choice that was composed; `fields` where it is more than planned."""
    every = {**_fields(choice, composed), **fields}
    title = composed.order.title
    return new_thing(session, ItemKind.SOCK, id, _document(choice), now, title, every, example)


def refuse_replanning(session: Session, id: str, seen: int) -> Problems | None:
    """Why a sock cannot be chosen anew for: it is begun. Raises Stale and NotKept."""
    thing = kept.get_as_seen(session, ItemKind.SOCK, id, seen)
    return None if thing.fields["status"] == PLANNED else _not_in_status(thing, "plan another pair")


def replan_sock(
    session: Session, id: str, seen: int, choice: Choice, composed: Composed, now: datetime
) -> Thing | Problems:
    """Another choice, composed, for a sock that is not begun. Raises Stale and NotKept."""
    refusal = refuse_replanning(session, id, seen)
    if refusal is not None:
        return refusal
    return change_thing(
        session,
        ItemKind.SOCK,
        id,
        seen,
        now,
        _document(choice),
        composed.order.title,
        _fields(choice, composed),
    )


def start_sock(session: Session, id: str, seen: int, now: datetime) -> Thing | Problems:
    """Begin a planned sock. Raises Stale and NotKept."""
    thing = kept.get_as_seen(session, ItemKind.SOCK, id, seen)
    if thing.fields["status"] != PLANNED:
        return _not_in_status(thing, "go on with it")
    return change_thing(session, ItemKind.SOCK, id, seen, now, fields={"status": BEING_MADE})


def wrong_with_entry(
    session: Session, id: str, seen: int, entry: Mapping[str, Any]
) -> Problems | None:
    """What is wrong with an entry for `log_sock`, which takes sound ones: it is read before a write
    is opened for it. Raises Stale and NotKept."""
    kept.get_as_seen(session, ItemKind.SOCK, id, seen)
    found: list[Problem] = []
    LOG_ENTRY.read(entry, Place("", found))
    return Problems(tuple(found)) if found else None


def log_sock(
    session: Session, id: str, seen: int, entry: Mapping[str, Any], now: datetime
) -> Thing | Problems:
    """Add to what really happened; the first entry begins the sock. Raises Stale and NotKept."""
    thing = kept.get_as_seen(session, ItemKind.SOCK, id, seen)
    status = thing.fields["status"]
    fields = {
        "log": [*thing.fields["log"], dict(entry)],
        "status": BEING_MADE if status == PLANNED else status,
    }
    return change_thing(session, ItemKind.SOCK, id, seen, now, fields=fields)


def wrong_with_finish(
    session: Session,
    id: str,
    seen: int,
    left: Mapping[str, Any],
    measured: Mapping[str, Any] | None,
) -> Problems | None:
    """What is wrong with the end of a pair, before a write is opened for `finish_sock`.

    Raises Stale and NotKept.
    """
    thing = kept.get_as_seen(session, ItemKind.SOCK, id, seen)
    if thing.fields["status"] == MADE:
        return _not_in_status(thing, "measure it again instead")
    found = _check_finish(thing, left, measured)
    return Problems(found) if found else None


def finish_sock(
    session: Session,
    id: str,
    seen: int,
    left: Mapping[str, Any],
    measured: Mapping[str, Any] | None,
    now: datetime,
) -> Thing | Problems:
    """The pair is made: `left` says by role what each yarn weighs now, and the yarns keep it.

    For what `wrong_with_finish` found sound at this version. Raises Stale and NotKept.
    """
    thing = kept.get_as_seen(session, ItemKind.SOCK, id, seen)
    for yarn_id, mass in {thing.fields["yarns"][role]: left[role] for role in left}.items():
        _weigh(session, yarn_id, mass, now)
    fields = {"status": MADE, "left": dict(left), "measured": _or_none(measured)}
    return change_thing(session, ItemKind.SOCK, id, seen, now, fields=fields)


def wrong_with_measures(
    session: Session, id: str, seen: int, measured: Mapping[str, Any]
) -> Problems | None:
    """What is wrong with measures, before a write is opened for `measure_sock`.

    Raises Stale and NotKept.
    """
    thing = kept.get_as_seen(session, ItemKind.SOCK, id, seen)
    if thing.fields["status"] != MADE:
        return _not_in_status(thing, "finish it first")
    found: list[Problem] = []
    place = Place("", found).at("measured")
    MEASURED.read(measured, place)
    if not measured:
        place.at("state").say(_("is missing"), _("measure the sock, or say how it fits"))
    return Problems(tuple(found)) if found else None


def measure_sock(
    session: Session, id: str, seen: int, measured: Mapping[str, Any], now: datetime
) -> Thing | Problems:
    """Write down what the finished pair measures, or how it wears.

    For what `wrong_with_measures` found sound at this version. Raises Stale and NotKept.
    """
    return change_thing(session, ItemKind.SOCK, id, seen, now, fields={"measured": dict(measured)})


def choice_of(sock: Thing) -> Choice:
    """What was chosen for a kept sock."""
    document, fields = sock.document, sock.fields
    return Choice(
        person=fields["person_id"],
        machine=fields["machine_id"],
        yarns=dict(fields["yarns"]),
        design=fields["design_id"],
        swatches=tuple(fields["swatches"]),
        needles=fields["needles"],
        title=document.get("title", ""),
        units=document.get("units", "cm"),
        what_if=document.get("sock", {}),
    )


def _document(choice: Choice) -> dict[str, Any]:
    return {
        **({"title": choice.title} if choice.title else {}),
        "units": choice.units,
        **({"sock": dict(choice.what_if)} if choice.what_if else {}),
    }


def _fields(choice: Choice, composed: Composed) -> dict[str, Any]:
    return {
        "person_id": choice.person,
        "machine_id": choice.machine,
        "design_id": choice.design,
        "yarns": dict(choice.yarns),
        "swatches": list(choice.swatches),
        "needles": choice.needles,
        "order_toml": composed.toml,
    }


def _not_in_status(sock: Thing, right: str) -> Problems:
    return Problems(
        (
            Problem(
                "status",
                _("this pair is {status}", status=STATUS_WORDS[sock.fields["status"]]),
                right,
            ),
        )
    )


def _check_finish(
    sock: Thing, left: Mapping[str, Any], measured: Mapping[str, Any] | None
) -> tuple[Problem, ...]:
    found: list[Problem] = []
    place = Place("", found)
    masses = LEFT.read(left, place.at("left"))
    if measured is not None:
        MEASURED.read(measured, place.at("measured"))
    if found:
        return tuple(found)
    weighed: dict[str, float] = {}
    for role, mass_g in masses.items():
        yarn = sock.fields["yarns"].get(role)
        if yarn is None:
            place.at("left").at(role).say(
                _("this pair has no yarn of its own there"), _("leave it out")
            )
        elif weighed.setdefault(yarn, mass_g) != mass_g:
            place.at("left").at(role).say(
                _("is the same yarn with another weight"), _("give one mass")
            )
    return tuple(found)


def _weigh(session: Session, yarn_id: str, mass: str, now: datetime) -> None:
    """Keep what a yarn weighs now; less than any leftover is nothing."""
    yarn = kept.get(session, ItemKind.YARN, yarn_id)
    document = {key: value for key, value in yarn.document.items() if key != "on_hand"}
    used_up = parse_mass_g(mass) < limits("on_hand").least
    if not used_up:
        document["on_hand"] = mass
    state = replace(yarn.state, document=document, fields={"used_up": used_up}, changed=now)
    kept.change(session, ItemKind.YARN, yarn_id, yarn.version, state)


def _or_none(table: Mapping[str, Any] | None) -> dict[str, Any] | None:
    return None if table is None else dict(table)
