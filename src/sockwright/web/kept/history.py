"""What a kept thing was before: every version with what changed from the one before it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime
from typing import Any

from sockwright.i18n.messages import _, dated, joined
from sockwright.store.items import Change, ItemKind, State, Thing, changes_between, same
from sockwright.store.models import fields_of, kinds_referred
from sockwright.web.context import RequestContext
from sockwright.web.forms.texts import full_label, labels_of
from sockwright.web.kept.kinds import PAGES
from sockwright.workshop.workshop import Workshop

Names = Mapping[str, str]
"""The names of things by id."""


@dataclass(frozen=True)
class FieldChange:
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
    changes: tuple[FieldChange, ...]
    leads_back: bool = False
    """Whether the thing can be made again what it was then: it is something else now."""


def history(shop: Workshop, thing: Thing) -> tuple[Version, ...]:
    """Every version of a thing, the newest first."""
    states = {**shop.earlier(thing.id), thing.version: thing.state}
    names = reference_names(shop, thing.kind)
    found: list[Version] = []
    was = None
    for number, state in states.items():
        changes = told(thing.kind, changes_between(was, state), names) if was else ()
        deed = _deed(thing.kind, was, state)
        other = not same(replace(state, deleted=thing.deleted), thing.state)
        leads_back = other and not thing.deleted
        found.append(Version(number, state.changed, deed, changes, leads_back))
        was = state
    return tuple(reversed(found))


def went_back(context: RequestContext, thing: Thing, version: int) -> str:
    """What is told where a thing was made again what it was."""
    was = context.shop.earlier(thing.id).get(version, thing.state)
    return _("Restored to the version of {day}.", day=context.formats.day(was.changed))


def told(kind: ItemKind, changes: tuple[Change, ...], names: Names) -> tuple[FieldChange, ...]:
    """Changes as a reader calls them; a name that the document has is told once.

    Of a pair none: its page shows all that is said of it.
    """
    if not PAGES[kind].tells_changes:
        return ()
    labels = labels_of(kind)
    untold = {"deleted", *({"name", *fields_of(kind)} - labels.keys())}
    return tuple(
        FieldChange(
            _label(kind, one.path), *(_value(each, names, one.path) for each in (one.was, one.now))
        )
        for one in changes
        if one.path not in untold
    )


def reference_names(shop: Workshop, kind: ItemKind) -> Names:
    """The names of all that things of a kind may refer to."""
    every = shop.everything(None, kinds_referred(kind)).values()
    return {one.id: one.name for things in every for one in things}


def _deed(kind: ItemKind, was: State | None, now: State) -> str:
    if was is None:
        return PAGES[kind].first
    if now.deleted and not was.deleted:
        return _("deleted")
    if was.deleted and not now.deleted:
        return _("restored")
    return PAGES[kind].changed(was, now)


def _label(kind: ItemKind, path: str) -> str:
    """What a place is called, that of a name of the user's own too."""
    first, __, rest = path.partition(".")
    labels = labels_of(kind)
    if rest and path not in labels and f"{first}.value" in labels:
        what = _(rest) if first == "fibres" else rest
        return _("{of}: {what}", of=labels[first], what=what)
    return full_label(kind, path)


DAYS = ("date", "serviced")
"""Places that hold a day."""


def _value(value: Any, names: Names, path: str = "") -> str:
    if value is None:
        return ""
    if path in DAYS:
        return dated(str(value))
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, list):
        return joined(", ", [_value(one, names) for one in value])
    return names.get(value, value) if isinstance(value, str) else str(value)
