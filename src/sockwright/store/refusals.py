"""What the store refuses, each with what a caller needs to say it well."""

from __future__ import annotations

from sockwright.errors import SockwrightError
from sockwright.store.things import Change, Kind, Thing
from sockwright.words import joined, said


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
            said(
                "the database is damaged ({reason}); nothing was written. Close the workshop, then "
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

    def __init__(self, kind: Kind, id: str) -> None:
        super().__init__(
            said(
                "no {kind} {id!r} is kept here; it was removed or never was",
                kind=said(str(kind)),
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
        told = joined("; ", (change.words for change in changes)) or said("nothing that shows")
        super().__init__(
            said(
                "{name}: you saw version {seen}, and it is at version {version} now; "
                "in between was changed: {told}; look at it again, then write",
                name=now.name,
                seen=seen,
                version=now.version,
                told=told,
            )
        )
        self.seen = seen
        self.now = now
        self.changes = changes
