"""A kept thing as a value, and what the store refuses."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Any

from sockwright.errors import SockwrightError
from sockwright.i18n import Message, _, joined


class ItemKind(StrEnum):
    """The kinds of things kept, each after those it may refer to."""

    PERSON = "person"
    YARN = "yarn"
    MACHINE = "machine"
    DESIGN = "design"
    SWATCH = "swatch"
    SOCK = "sock"
    NOTE = "note"


@dataclass(frozen=True)
class State:
    """What is said of a thing at one version.

    `document` is in the grammar of the order file, as it was typed; `fields` has exactly those that
    the kind's table tells, of JSON's types; `changed` and `deleted` know their time zone.
    """

    name: str
    document: Mapping[str, Any]
    fields: Mapping[str, Any]
    changed: datetime
    deleted: datetime | None = None


@dataclass(frozen=True)
class Thing:
    """A kept thing: its state at its newest `version`; `example` marks one we put there.

    `damaged` marks a stand-in for one that does not read any more: only kind, id and name tell.
    """

    kind: ItemKind
    id: str
    version: int
    created: datetime
    state: State
    example: bool = False
    damaged: bool = False

    @property
    def name(self) -> str:
        """What it is called."""
        return self.state.name

    @property
    def document(self) -> Mapping[str, Any]:
        """What was typed of it, in the grammar of the order file."""
        return self.state.document

    @property
    def fields(self) -> Mapping[str, Any]:
        """What it has besides its document: references, status and the like."""
        return self.state.fields

    @property
    def deleted(self) -> datetime | None:
        """When it was deleted, None while it is not."""
        return self.state.deleted


@dataclass(frozen=True)
class Change:
    """One place that differs between two states; None stands for "not given"."""

    path: str
    was: Any
    now: Any

    @property
    def words(self) -> Message:
        """What was changed, in words."""
        return _(
            "{path} from {was} to {now}",
            path=self.path,
            was=_shown(self.was),
            now=_shown(self.now),
        )

    def __str__(self) -> str:
        return str(self.words)


def changes_between(was: State, now: State) -> tuple[Change, ...]:
    """Every place that differs, in the order of the paths."""
    before, after = dict(_flat(was)), dict(_flat(now))
    return tuple(
        Change(path, before.get(path), after.get(path))
        for path in sorted(before.keys() | after.keys())
        if before.get(path) != after.get(path)
    )


def same(one: State, other: State) -> bool:
    """Whether both say the same, apart from when it was said.

    The order of a table's keys counts, for that of fibres and landmarks does.
    """
    return repr(_said(one)) == repr(_said(other))


def _said(state: State) -> tuple[Any, ...]:
    return state.name, state.document, sorted(state.fields.items()), state.deleted


def _flat(state: State) -> Iterator[tuple[str, Any]]:
    yield "name", state.name
    yield "deleted", state.deleted
    yield from _leaves("", state.document)
    yield from _leaves("", state.fields)


def _leaves(path: str, value: Any) -> Iterator[tuple[str, Any]]:
    if isinstance(value, Mapping):
        for key, item in value.items():
            yield from _leaves(f"{path}.{key}" if path else key, item)
    elif isinstance(value, list) and any(isinstance(item, dict) for item in value):
        for i, item in enumerate(value, 1):
            yield from _leaves(f"{path}[{i}]", item)
    else:
        yield path, value


def _shown(value: Any) -> str:
    return _("nothing") if value is None else str(value)


class StoreError(SockwrightError):
    """The store cannot do what was asked; nothing was written."""


class CannotOpen(StoreError):
    """The database cannot be opened as a workshop: not there, not ours, or too new."""


class FileDamaged(StoreError):
    """What is stored is torn: nothing more is read of it or written to it.

    `reason` is what the database said.
    """

    def __init__(self, reason: str) -> None:
        super().__init__(
            _(
                "the database is damaged ({reason}); nothing was saved. Stop the workshop, then "
                "restore a copy: sockwright restore-workshop",
                reason=reason,
            )
        )
        self.reason = reason


class CannotCopy(StoreError):
    """No copy could be made, or put back; all that is there stays as it is."""


class Busy(StoreError):
    """Somebody else was writing all the while; the same write may be tried again."""


class NotKept(StoreError):
    """There is no such thing here."""

    def __init__(self, kind: ItemKind, id: str) -> None:
        super().__init__(
            _(
                "there is no {kind} {id!r} here; it may have been removed",
                kind=_(str(kind)),
                id=id,
            )
        )
        self.kind = kind
        self.id = id


class Stale(StoreError):
    """A write that had not seen the thing as it is now.

    `seen` is the version the writer saw, `now` the thing as it is, `changes` what was changed in
    between (empty where the version seen is not known here).
    """

    def __init__(self, seen: int, now: Thing, changes: tuple[Change, ...]) -> None:
        told = joined("; ", (change.words for change in changes)) or _("nothing that shows")
        super().__init__(
            _(
                "{name}: you saw version {seen}, but it is now at version {version}; changed "
                "since: {told}; check it again, then save",
                name=now.name,
                seen=seen,
                version=now.version,
                told=told,
            )
        )
        self.seen = seen
        self.now = now
        self.changes = changes
