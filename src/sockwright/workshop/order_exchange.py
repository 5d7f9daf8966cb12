"""An order file taken apart into things to keep: person, yarns, machine, swatches, design, pair."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy.orm import Session

from sockwright.errors import OrderError
from sockwright.i18n import _
from sockwright.order import machine_part, wearer
from sockwright.order.document import parse_document, read_document
from sockwright.order.file import in_english, parse_order, toml_text
from sockwright.order.model import YARN_ROLES, Order
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.store.models import references
from sockwright.workshop.answers import Choice, Composed, Problems
from sockwright.workshop.keeping import new_thing
from sockwright.workshop.kinds import WORKED_OUT, plain
from sockwright.workshop.pairs import keep_sock

NewId = Callable[[], str]


@dataclass(frozen=True)
class Taken:
    """What became of an order: the pair, what was kept new, and what was found kept already."""

    sock: Thing
    new: tuple[Thing, ...] = ()
    found: tuple[Thing, ...] = ()


@dataclass
class _Keeper:
    """Keeps the parts of one order, each once; no kept thing stands for two parts."""

    session: Session
    new_id: NewId
    now: datetime
    new: list[Thing] = field(default_factory=list)
    found: list[Thing] = field(default_factory=list)

    def keep(self, kind: ItemKind, document: Any, name: str = "", **fields: Any) -> str:
        """The id of the part."""
        taken = {thing.id for thing in (*self.new, *self.found)}
        for thing in kept.listed(self.session, kind):
            alike = (
                repr(thing.document) == repr(document) and fields.items() <= thing.fields.items()
            )
            if alike and thing.id not in taken and not thing.fields.get("used_up"):
                self.found.append(thing)
                return thing.id
        thing_or = new_thing(self.session, kind, self.new_id(), document, self.now, name, fields)
        return self._noted(thing_or).id

    def _noted(self, thing: Thing | Problems) -> Thing:
        if isinstance(thing, Problems):
            # The order was read as a whole; its parts read as well.
            raise AssertionError(str(thing))
        self.new.append(thing)
        return thing


@dataclass(frozen=True)
class ReadOrder:
    """An order that was read: what it says, its parts by their tables, and these as TOML."""

    order: Order
    parts: Mapping[str, Any]
    toml: str


def read_order(text: str, folder: Path | None) -> ReadOrder | Problems:
    """The order in `text`, or all that is wrong with it; no write need be open for that.

    A machine file is looked for in `folder`, and refused if that is None.
    """
    try:
        order = parse_order(text, folder)
        parts = in_english(_parts(parse_document(text, _("the order")), folder))
    except OrderError as error:
        return Problems(error.problems)
    return ReadOrder(order, parts, toml_text(parts))


def take_order(session: Session, read: ReadOrder, new_id: NewId, now: datetime) -> Taken | Problems:
    """Keep the parts of an order, and the pair it plans; the same order only once."""
    order, parts, toml = read.order, read.parts, read.toml
    for sock in kept.listed(session, ItemKind.SOCK):
        if sock.fields["order_toml"] == toml:
            return Taken(sock, found=_parts_of(session, sock))
    keeper = _Keeper(session, new_id, now)
    choice = _keep_parts(keeper, parts, order)
    sock_or = keep_sock(session, new_id(), choice, Composed(order, toml), now)
    if isinstance(sock_or, Problems):
        return sock_or
    return Taken(sock_or, tuple(keeper.new), tuple(keeper.found))


def _keep_parts(keeper: _Keeper, parts: Mapping[str, Any], order: Order) -> Choice:
    person = {key: parts[key] for key in ("wearer", "foot") if key in parts}
    person_id = keeper.keep(ItemKind.PERSON, person)
    yarns = {role: keeper.keep(ItemKind.YARN, yarn) for role, yarn in parts["yarn"].items()}
    of_machine = dict(parts["machine"])
    serviced = {key: of_machine.pop(key) for key in ("serviced",) if key in of_machine}
    # These follow from swatches and the logs of pairs, and stay in the pair's order.
    for worked_out in WORKED_OUT:
        of_machine.pop(worked_out, None)
    machine = keeper.keep(ItemKind.MACHINE, of_machine, **serviced)
    swatches = []
    for swatch in parts.get("swatch", ()):
        document = {key: value for key, value in swatch.items() if key != "yarn"}
        yarn = yarns[swatch["yarn"]]
        swatches.append(keeper.keep(ItemKind.SWATCH, document, yarn_id=yarn, machine_id=machine))
    design = keeper.keep(ItemKind.DESIGN, parts.get("sock", {}), str(order.title)[:200])
    title = parts.get("title", "")
    return Choice(person_id, machine, yarns, design, tuple(swatches), None, title, parts["units"])


def _parts(document: Mapping[str, Any], folder: Path | None) -> dict[str, Any]:
    """The order's tables as they are composed of kept things: every part has its name."""
    given = plain(document)
    foot, sock = given.get("foot"), given.get("sock")
    swatches = given.get("swatch", [])
    if not isinstance(swatches, list):
        swatches = [swatches]
    return {
        **({"title": given["title"]} if "title" in given else {}),
        "units": _units(given),
        "wearer": _named(given.get("wearer", {}), wearer.NAMELESS),
        **({"foot": foot} if foot else {}),
        "yarn": {
            role: _named(given["yarn"][role], role) for role in YARN_ROLES if role in given["yarn"]
        },
        "machine": _named(_machine(given["machine"], folder), machine_part.NAMELESS),
        **({"swatch": [_swatch(one, i) for i, one in enumerate(swatches, 1)]} if swatches else {}),
        **({"finished": given["finished"]} if given.get("finished") else {}),
        **({"sock": sock} if sock else {}),
    }


def _units(given: Mapping[str, Any]) -> str:
    return str(given.get("units", "cm"))


def _named(table: Mapping[str, Any], name: str) -> dict[str, Any]:
    return dict(table) if "name" in table else {"name": name, **table}


def _swatch(table: Mapping[str, Any], number: int) -> dict[str, Any]:
    named = _named(table, f"swatch {number}")
    role = named.pop("yarn", "main")
    return {**named, "yarn": " ".join(role.casefold().replace("_", " ").split())}


def _machine(table: Mapping[str, Any], folder: Path | None) -> Mapping[str, Any]:
    if "file" not in table or folder is None:
        return table
    machine: Mapping[str, Any] = plain(read_document(folder / table["file"].strip(), "machine"))
    return machine


def _parts_of(session: Session, sock: Thing) -> tuple[Thing, ...]:
    return tuple(
        kept.get(session, kind, id) for _, kind, id in references(ItemKind.SOCK, sock.fields)
    )
