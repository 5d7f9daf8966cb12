"""Stored values that are not what their column holds: read as such, so that others still read."""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sockwright.errors import Problem
from sockwright.i18n import _, joined
from sockwright.store.items import ItemKind, StoreError

LONGEST_SHOWN = 400
"""Characters shown of a value that does not read: enough to type it again from."""

MOST_VERSIONS = 1_000_000_000

_ID = re.compile(r"[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}")

Reads = Callable[[ItemKind, Mapping[str, Any], Mapping[str, Any]], tuple[Problem, ...]]
"""Tells what is wrong with the shape of a document and of the fields beside it."""


@dataclass(frozen=True)
class Unreadable:
    """What stands in place of a value that does not read; `raw` is what is stored."""

    raw: object


def loads(text: Any) -> Any:
    """A stored JSON text; Unreadable where it is none."""
    try:
        return json.loads(text)
    except (ValueError, TypeError, RecursionError):
        return Unreadable(text)


def text_from(stored: bytes) -> str:
    """A stored text; bytes that are no UTF-8 become halves of characters, which no text has."""
    return stored.decode("utf-8", "surrogateescape")


def anything(
    kind: ItemKind, document: Mapping[str, Any], fields: Mapping[str, Any]
) -> tuple[Problem, ...]:
    """Finds nothing wrong: for whoever does not know what documents mean."""
    return ()


@dataclass(frozen=True)
class Damage:
    """A thing that does not read: `wrong` says what of it, each at its place.

    `id` is "" where not even that reads; `version` 0 where it does not. `name` is as far as it
    reads.
    """

    kind: ItemKind
    id: str
    name: str
    version: int
    wrong: tuple[Problem, ...]

    @property
    def called(self) -> str:
        """Its name, or its id where it has none that reads."""
        return self.name or self.id or _("without a name")


class Damaged(StoreError):
    """What was asked needs a thing that does not read; nothing was written."""

    def __init__(self, damage: Damage) -> None:
        super().__init__(
            _(
                "{kind} “{name}” ({id}) is damaged: {wrong}",
                kind=_(str(damage.kind)),
                name=damage.called,
                id=damage.id,
                wrong=joined(
                    "; ",
                    (_("{path}: {wrong}", path=one.path, wrong=one.wrong) for one in damage.wrong),
                ),
            )
        )
        self.damage = damage


def readable(raw: object) -> str:
    """A stored value as a short text that can be shown anywhere."""
    text = raw.decode("utf-8", "replace") if isinstance(raw, bytes) else str(raw)
    kept = text if len(text) <= LONGEST_SHOWN else text[: LONGEST_SHOWN - 1] + "…"
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in kept)


def is_text(value: object) -> bool:
    """Whether it is a text of whole characters that every page and database can hold."""
    if not isinstance(value, str) or "\0" in value:
        return False
    try:
        value.encode()
    except UnicodeEncodeError:
        return False
    return True


def is_id(value: object) -> bool:
    """Whether it is an id as things have them."""
    return isinstance(value, str) and _ID.fullmatch(value) is not None


def is_count(value: object, least: int = 1, most: int = MOST_VERSIONS) -> bool:
    """Whether it is a whole number within bounds."""
    return type(value) is int and least <= value <= most


def wrong_values(row: Any, moments: tuple[str, ...]) -> Iterator[Problem]:
    """What is wrong with the columns that every thing has, and every earlier version."""
    if not is_id(row.id):
        yield _not("id", row.id, _("an id"))
    if not is_count(row.version):
        yield _not("version", row.version, _("a number of a version"))
    if not is_text(row.name) or not row.name.strip():
        yield _not("name", row.name, _("a name"))
    for name in moments:
        value = getattr(row, name)
        if not isinstance(value, datetime) and not (name == "deleted" and value is None):
            yield _not(name, value, _("a moment"))
    yield from wrong_document("document", row.document)


def wrong_document(path: str, document: object) -> Iterator[Problem]:
    """What is wrong with a table of JSON, whatever it says."""
    if not isinstance(document, dict):
        yield _not(path, document, _("a table"))
        return
    try:
        text = json.dumps(document, ensure_ascii=False, allow_nan=False)
        sound = is_text(text) and "\\u0000" not in text
    except (ValueError, TypeError, RecursionError):
        sound = False
    if not sound:
        yield _not(path, str(document), _("a table of texts and numbers"))


def _not(path: str, value: object, right: str) -> Problem:
    raw = value.raw if isinstance(value, Unreadable) else value
    wrong = _("is missing")
    if raw is not None:
        wrong = _("cannot be read: {value}", value=readable(raw))
    return Problem(path, wrong, _("should be {what}", what=right))
