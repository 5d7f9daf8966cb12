"""How a kept thing and an entry of a log stand in the file of a whole workshop."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import fields
from datetime import datetime
from functools import cache
from typing import Any

from sockwright.bench.log import WHICH, Action
from sockwright.errors import OrderError, QuantityError
from sockwright.grammar.declare import WRONG, Fields, Key, Place, Table, Value, give, it_is
from sockwright.grammar.values import choice, text, yes_or_no
from sockwright.i18n import _
from sockwright.order.document import parse_document
from sockwright.store.items import ItemKind, State, Thing
from sockwright.store.kept import KeptEntry
from sockwright.store.models import moment_from, moment_text
from sockwright.workshop.bench import KEPT_KEYS
from sockwright.workshop.fields import ArrayOf, Nullable, thing_id, whole
from sockwright.workshop.kinds import TYPES, check_document, check_name, name_of

_ID = "[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"
_WORDS = re.compile(
    rf"{_ID} {_ID} {_ID} (?:{'|'.join(WHICH)}) (?:{'|'.join(Action)}) (?:{_ID})?"
    r" \d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d{3})?Z"
)
_NEEDED = frozenset(("id", "sock_id", "which", "received", "clock", "device", "time", "deed"))
_NUMBERS = {"by": 0, "of": "", "at": 0, "text": ""}
_ALL = _NEEDED | _NUMBERS.keys()
_MOST = 10_000

MOST_VERSIONS = 1_000_000


def plain_entry(given: object) -> KeptEntry | None:
    """The entry, if it is a sound one without a note; None for any other, sound or not.

    A workshop of years has a hundred thousand of the usual kind in its file: these are taken
    without asking the declaration about each key. All others are left to it; it says what is wrong.
    """
    if not isinstance(given, dict) or not _NEEDED <= given.keys() <= _ALL:
        return None
    entry: dict[str, Any] = {**_NUMBERS, **given}
    clock, by, at = entry["clock"], entry["by"], entry["at"]
    if entry["text"] != "" or not type(clock) is type(by) is type(at) is int:
        return None
    if not (0 < clock < _MOST and 0 <= by < _MOST and 0 <= at < _MOST):
        return None
    try:
        words = ("id", "sock_id", "device", "which", "deed", "of", "time")
        if not _WORDS.fullmatch(" ".join([entry[word] for word in words])):
            return None
        datetime.fromisoformat(entry["time"])
        return KeptEntry(**{**entry, "received": moment_from(entry["received"])})
    except (TypeError, ValueError):
        return None


def moment_kept() -> Value:
    """A moment as it stands in the file."""
    expects = _('a moment such as "2025-11-03T07:15:00.000000Z"')

    def convert(given: object) -> datetime:
        try:
            return moment_from(given if isinstance(given, str) else "")
        except ValueError as error:
            raise QuantityError(it_is(given), give(expects)) from error

    return Value(expects, convert)


def _any_table() -> Value:
    """A table of whatever a document had at some time, in characters that can be kept."""
    expects = _("a table of what was typed")

    def convert(given: object) -> dict[str, Any]:
        if not isinstance(given, dict):
            raise QuantityError(it_is(given), give(expects))
        try:
            told = json.dumps(given, ensure_ascii=False).encode()
        except UnicodeEncodeError as error:
            raise QuantityError(_("holds half a character"), give(expects)) from error
        if b"\\u0000" in told:
            raise QuantityError(_("holds a control character"), give(expects))
        return given

    return Value(expects, convert)


def _state_table(kind: ItemKind) -> Table:
    return Table(
        "a table of what is said of a thing",
        (
            Key("name", text("a name"), "what it is called", needed=True),
            Key("document", _any_table(), "what was typed", needed=True),
            Key("fields", TYPES[kind].fields_table, "what it has besides", needed=True),
            Key("changed", moment_kept(), "when it was written", needed=True),
            Key("deleted", Nullable(moment_kept()), "when it was deleted", needed=True),
        ),
        # Kept as they stand: reading them only proved them.
        lambda fields: State(
            fields.values["name"],
            fields.values["document"],
            _as_given(fields.said.get("fields", {})),
            fields.values["changed"],
            fields.values["deleted"],
        ),
    )


@cache
def _thing_table(kind: ItemKind) -> Table:
    state = _state_table(kind)
    was = Table(
        "a table of what a thing was",
        (
            Key("version", whole(1, MOST_VERSIONS), "which version it was", needed=True),
            Key("state", state, "what was said of it", needed=True),
        ),
        lambda fields: (fields.values["version"], fields.values["state"]),
    )
    return Table(
        "a table of a thing",
        (
            Key("id", thing_id(), "its id", needed=True),
            Key("version", whole(1, MOST_VERSIONS), "its newest version", needed=True),
            Key("created", moment_kept(), "when it was first kept", needed=True),
            Key("example", yes_or_no(), "whether it is an example", needed=True),
            Key("state", state, "what is said of it", needed=True),
            Key("earlier", ArrayOf(was), "what it was before", needed=True),
        ),
        lambda fields: (_thing(kind, fields), fields.values["earlier"]),
        _check_versions,
    )


def read_thing(
    kind: ItemKind, given: object, place: Place
) -> tuple[Thing, dict[int, State]] | None:
    """The thing and what it was before, by version; None after noting problems."""
    own = Place(place.path, [])
    read = _thing_table(kind).read(given, own)
    if not own.problems:
        thing, earlier = read
        _check_state(kind, thing.state, own.at("state"))
        if not own.problems:
            return thing, dict(earlier)
    place.problems.extend(own.problems)
    return None


def _thing(kind: ItemKind, fields: Fields) -> Thing:
    names = ("id", "version", "created", "state", "example")
    return Thing(kind, *(fields.get(name) for name in names))


def _check_versions(fields: Fields) -> None:
    """Every earlier version is one, and before the newest."""
    newest, earlier = fields.get("version"), fields.said.get("earlier")
    if newest is None or not isinstance(earlier, list):
        return
    versions = [was.get("version") for was in earlier if isinstance(was, Mapping)]
    sound = [version for version in versions if isinstance(version, int)]
    if sorted(set(sound)) != sound or any(version >= newest for version in sound):
        fields.say("earlier", _("is not in the order of the versions"), _("export it again"))


def _check_state(kind: ItemKind, state: State, place: Place) -> None:
    """What is said now must read like anything that is written."""
    check_name(kind, state.name, place)
    check_document(kind, state.document, place.at("document"))
    if place.problems:
        return
    if kind is ItemKind.SOCK:
        # A pair whose order an older program took is told on its own page, where it can be mended:
        # it must not hold back a whole workshop.
        try:
            parse_document(state.fields["order_toml"], _("the order"))
        except OrderError:
            place.at("fields").at("order_toml").say(_("is not an order"), _("export it again"))
    elif name_of(kind, state.document, state.name) != state.name:
        place.at("name").say(_("is not the name in the document"), _("export it again"))


def _as_given(table: object) -> dict[str, Any]:
    assert isinstance(table, dict)
    return table


KEPT_ENTRY = Table(
    "a table of an entry",
    (
        *KEPT_KEYS,
        Key("sock_id", thing_id(), "the pair", needed=True),
        Key("which", choice(WHICH), "which of the pair", needed=True),
        Key("received", moment_kept(), "when it came to the workshop", needed=True),
    ),
    lambda fields: _kept(fields),
)


def entry_shown(entry: KeptEntry) -> dict[str, Any]:
    """The entry in JSON's types, without what holds where nothing is said."""
    shown = {
        field.name: getattr(entry, field.name)
        for field in fields(entry)
        if getattr(entry, field.name) != field.default
    }
    return {**shown, "received": moment_text(entry.received)}


def read_entry(given: object, place: Place) -> KeptEntry | None:
    """The entry; None after noting problems."""
    plain = plain_entry(given)
    if plain is not None:
        return plain
    read = KEPT_ENTRY.read(given, place)
    return None if read is WRONG else read


def _kept(fields: Fields) -> KeptEntry:
    given = dict(fields.values)
    return KeptEntry(**{**given, "deed": str(given["deed"])})
