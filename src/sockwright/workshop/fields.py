"""What a kept thing has besides its document, as it may be written: references, status, log."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any
from unicodedata import category

from sqlalchemy.orm import Session

from sockwright.errors import Problem, QuantityError
from sockwright.machine.model import FEWEST_NEEDLES, MOST_NEEDLES
from sockwright.order.document import MOST_BYTES
from sockwright.order.model import YARN_ROLES
from sockwright.order.reader import Key, Kind, Place, Table, Value, give, it_is, shown
from sockwright.order.values import choice, day, yes_or_no
from sockwright.store import kept
from sockwright.store.items import FIELDS, ItemKind, references
from sockwright.words import either, said
from sockwright.workshop.kinds import LEFT, LOG_ENTRY, MEASURED

PLANNED, BEING_MADE, MADE = "planned", "being made", "made"
STATUSES = (PLANNED, BEING_MADE, MADE)

USUAL: dict[ItemKind, dict[str, Any]] = {
    ItemKind.YARN: {"used_up": False},
    ItemKind.MACHINE: {"serviced": None},
    ItemKind.SOCK: {
        "design_id": None,
        "swatches": [],
        "needles": None,
        "status": PLANNED,
        "log": [],
        "measured": None,
        "left": None,
    },
}
"""What holds where nothing is said."""

_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")


@dataclass(frozen=True)
class Maybe:
    """A value, or None for nothing."""

    one: Kind

    @property
    def expects(self) -> str:
        """What to write."""
        return said("{what}, or nothing", what=said(self.one.expects))

    def read(self, given: object, place: Place) -> Any:
        """The value, None, or WRONG."""
        return None if given is None else self.one.read(given, place)


@dataclass(frozen=True)
class Each:
    """An array, each item of one kind; `limit` names the most in `facts/order_sizes.toml`."""

    one: Kind
    limit: str = ""

    @property
    def expects(self) -> str:
        """What to write."""
        return said("an array, each {what}", what=said(self.one.expects))

    def read(self, given: object, place: Place) -> Any:
        """The items, those with problems too, for the problems are noted."""
        if not isinstance(given, list):
            place.say(it_is(given), give(self.expects))
            return ()
        if self.limit and place.holds_too_many(len(given), self.limit):
            return ()
        return tuple(self.one.read(item, place.item(i)) for i, item in enumerate(given, 1))


def thing_id() -> Value:
    """The id of a thing, a UUID in small letters."""
    return _checked(said("an id"), lambda given: isinstance(given, str) and _ID.fullmatch(given))


def _checked(expects: str, holds: Callable[[object], object]) -> Value:
    def convert(given: object) -> object:
        if not holds(given):
            raise QuantityError(it_is(given), give(expects))
        return given

    return Value(expects, convert)


def _is_needles(given: object) -> bool:
    return type(given) is int and FEWEST_NEEDLES <= given <= MOST_NEEDLES


def _is_text(given: object) -> bool:
    """Whether it is a text of whole characters that a file, and every database, can hold."""
    if not isinstance(given, str) or len(given) > MOST_BYTES or "\0" in given:
        return False
    return not any(category(sign) == "Cs" for sign in given)


_YARNS = Table(
    "a yarn for each role",
    tuple(Key(role, thing_id(), "its yarn", needed=role == "main") for role in YARN_ROLES),
    lambda fields: dict(fields.values),
)
_KINDS: dict[str, Kind] = {
    "used_up": yes_or_no(),
    "serviced": Maybe(_checked(said("a day in quotes"), lambda given: isinstance(given, str))),
    "yarn_id": thing_id(),
    "machine_id": thing_id(),
    "person_id": thing_id(),
    "design_id": Maybe(thing_id()),
    "yarns": _YARNS,
    "swatches": Each(thing_id(), "swatches"),
    "needles": Maybe(
        _checked(
            said("needles, {fewest} to {most}", fewest=FEWEST_NEEDLES, most=MOST_NEEDLES),
            _is_needles,
        )
    ),
    "status": _checked(either(STATUSES), lambda given: given in STATUSES),
    "order_toml": _checked(said("the order as TOML"), _is_text),
    "log": Each(LOG_ENTRY, "log_entries"),
    "measured": Maybe(MEASURED),
    "left": Maybe(LEFT),
    "about_kind": choice(tuple(kind.value for kind in ItemKind if kind is not ItemKind.NOTE)),
    "about_id": thing_id(),
}


def fields_table(kind: ItemKind) -> Table:
    """The declaration of a kind's fields."""
    keys = tuple(Key(name, _KINDS[name], name, needed=True) for name in FIELDS[kind])
    return Table("a table of fields", keys, lambda fields: dict(fields.values), _check_serviced)


def check_fields(kind: ItemKind, fields: Mapping[str, Any], place: Place) -> None:
    """Note all problems of the fields, missing and unknown ones too."""
    fields_table(kind).read(fields, place)


def check_references(
    session: Session,
    kind: ItemKind,
    fields: Mapping[str, Any],
    before: Mapping[str, Any],
    place: Place,
) -> None:
    """Note references to what is not kept here, and new ones to what is deleted."""
    known = {id for _, _, id in references(kind, before)} if before else set()
    for path, of_kind, id in references(kind, fields):
        thing = kept.find(session, of_kind, id)
        if thing is None:
            wrong, right = (
                said("no such {kind} is kept here", kind=said(str(of_kind))),
                said("choose another"),
            )
        elif thing.deleted and id not in known:
            wrong, right = (
                said("{thing} was deleted", thing=shown(thing.name)),
                said("undo that, or choose another"),
            )
        else:
            continue
        place.problems.append(Problem(path, wrong, right))


def _check_serviced(fields: Any) -> None:
    if fields.get("serviced") is not None:
        day().read(fields.values["serviced"], fields.place.at("serviced"))
