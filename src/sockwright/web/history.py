"""What a kept thing was before: every version with what changed from the one before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sockwright.store.things import REFERENCES, Change, Kind, State, Thing, changes_between
from sockwright.web.field_labels import LABELS, full_label
from sockwright.words.said import dated, joined, said
from sockwright.workshop.workshop import Workshop

Names = Mapping[str, str]
"""The names of things by id."""


@dataclass(frozen=True)
class Told:
    """One place that changed: its label, what it was and what it became, "" for nothing."""

    label: str
    was: str
    now: str


@dataclass(frozen=True)
class Version:
    """A version: its number, when it was written, what was done, and what it changed."""

    number: int
    moment: datetime
    deed: str
    changes: tuple[Told, ...]


def history(shop: Workshop, thing: Thing) -> tuple[Version, ...]:
    """Every version of a thing, the newest first."""
    states = {**shop.earlier(thing.id), thing.version: thing.state}
    names = reference_names(shop, thing.kind)
    found, was = [], None
    for number, state in states.items():
        found.append(_version(thing.kind, number, was, state, names))
        was = state
    return tuple(reversed(found))


def told(kind: Kind, changes: tuple[Change, ...], names: Names) -> tuple[Told, ...]:
    """Changes as a reader calls them; a name that the document has is told once."""
    return tuple(
        Told(
            _label(kind, one.path), *(_value(each, names, one.path) for each in (one.was, one.now))
        )
        for one in changes
        if one.path not in _NOT_TOLD.get(kind, ("deleted",))
    )


def reference_names(shop: Workshop, kind: Kind) -> Names:
    """The names of all that things of a kind may refer to."""
    kinds = set(REFERENCES.get(kind, {}).values()) if kind is not Kind.NOTE else set(Kind)
    return {one.id: one.name for of in kinds for one in shop.things(of, None)}


_NOT_TOLD = {
    Kind.PERSON: ("deleted", "name"),
    Kind.NOTE: ("deleted", "name", "about_kind"),
}


def _version(kind: Kind, number: int, was: State | None, now: State, names: Names) -> Version:
    if was is None:
        return Version(number, now.changed, said("kept"), ())
    changes = told(kind, changes_between(was, now), names)
    return Version(number, now.changed, _deed(was, now), changes)


def _deed(was: State, now: State) -> str:
    if now.deleted and not was.deleted:
        return said("deleted")
    return said("put back") if was.deleted and not now.deleted else said("changed")


def _label(kind: Kind, path: str) -> str:
    """What a place is called, that of a name of the user's own too."""
    first, _, rest = path.partition(".")
    labels = LABELS[kind]
    if rest and path not in labels and f"{first}.value" in labels:
        what = said(rest) if first == "fibres" else rest
        return said("{of}: {what}", of=labels[first], what=what)
    return full_label(kind, path)


DAYS = ("date", "serviced")
"""Places that hold a day."""


def _value(value: Any, names: Names, path: str = "") -> str:
    if value is None:
        return ""
    if path in DAYS:
        return dated(str(value))
    if isinstance(value, bool):
        return said("yes") if value else said("no")
    if isinstance(value, list):
        return joined(", ", [_value(one, names) for one in value])
    return names.get(value, value) if isinstance(value, str) else str(value)
