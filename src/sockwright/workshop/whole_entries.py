"""How an entry of a sock's log stands in the file of a whole workshop."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from sockwright.bench.log import WHICH
from sockwright.order.reader import WRONG, Fields, Key, Place, Table
from sockwright.order.values import choice
from sockwright.store.kept import KeptEntry
from sockwright.store.moments import moment_text
from sockwright.workshop.bench_entries import KEPT_KEYS
from sockwright.workshop.kept_fields import thing_id
from sockwright.workshop.plain_entries import plain_entry
from sockwright.workshop.whole_grammar import moment_kept

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
