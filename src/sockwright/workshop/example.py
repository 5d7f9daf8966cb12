"""The example station: a mountain-rescue station's crew, bench and socks, marked as an example."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from functools import cache
from importlib.resources import files
from typing import Any
from uuid import UUID, uuid5

from sqlalchemy.orm import Session

from sockwright.i18n.locale import ENGLISH, Locale
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.store.kept import forget_entries
from sockwright.store.models import references
from sockwright.workshop.answers import Choice, Problems
from sockwright.workshop.compose import compose
from sockwright.workshop.fields import MADE
from sockwright.workshop.keeping import new_thing
from sockwright.workshop.pairs import keep_sock

_STATION = UUID("6f1d1f0e-7f0b-5a52-9c1e-5b1a3e3c7d21")
"""The example's ids come from this one and its keys, so that they are always the same."""


@dataclass(frozen=True)
class Removal:
    """What was removed of the example, and what stays because something of one's own needs it."""

    removed: tuple[Thing, ...]
    needed: tuple[Thing, ...]


def add_example(session: Session, now: datetime, locale: Locale = ENGLISH) -> tuple[Thing, ...]:
    """Put the example station in, its names and notes in a language; what is there of it already,
    changed or not, stays as it is."""
    added = (_add(session, kind, key, _told(row, locale), now) for kind, key, row in _rows())
    return tuple(thing for thing in added if thing is not None)


def remove_example(session: Session) -> Removal:
    """Take out for good all that is an example, but not what one's own things refer to."""
    everything = {
        thing.id: thing for kind in ItemKind for thing in kept.listed(session, kind, None)
    }
    needed: set[str] = set()
    waiting = [thing for thing in everything.values() if not thing.example]
    while waiting:
        thing = waiting.pop()
        for __, __, id in references(thing.kind, thing.fields):
            of = everything.get(id)
            if of is not None and of.example and id not in needed:
                needed.add(id)
                waiting.append(of)
    examples = tuple(thing for thing in everything.values() if thing.example)
    removed = tuple(thing for thing in examples if thing.id not in needed)
    forget_entries(session, (thing.id for thing in removed if thing.kind is ItemKind.SOCK))
    kept.remove(session, removed)
    return Removal(removed, tuple(thing for thing in examples if thing.id in needed))


def example_id(kind: ItemKind, key: str) -> str:
    """The id of the example's thing of this key."""
    return str(uuid5(_STATION, f"{kind}/{key}"))


@cache
def _station() -> dict[str, Any]:
    return tomllib.loads(files(__package__).joinpath("example.toml").read_text(encoding="utf-8"))


def example_texts(row: Any = None, name: str = "") -> Iterator[str]:
    """What the example station calls its things, and what is noted of them."""
    row = _station() if row is None else row
    if isinstance(row, dict):
        yield from row if name == "landmarks" else ()
        for key, value in row.items():
            yield from example_texts(value, "name" if name == "marks" else key)
    elif isinstance(row, list):
        for value in row:
            yield from example_texts(value)
    elif name in _NAMING and isinstance(row, str):
        yield row


_NAMING = frozenset(("name", "title", "text", "note", "deviation", "word", "worn"))
"""Keys of the example whose values are its own words; all others are words of the order."""


def _told(row: Any, locale: Locale, name: str = "") -> Any:
    """A row of the example in a language."""
    if isinstance(row, dict):
        render = locale.render if name == "landmarks" else str
        inner = "name" if name == "marks" else ""
        return {render(key): _told(value, locale, inner or key) for key, value in row.items()}
    if isinstance(row, list):
        return [_told(value, locale) for value in row]
    return locale.render(row) if name in _NAMING and isinstance(row, str) else row


def _rows() -> Iterator[tuple[ItemKind, str, Mapping[str, Any]]]:
    for kind in ItemKind:
        for key, row in _station().get(kind, {}).items():
            yield kind, key, row


def _add(
    session: Session, kind: ItemKind, key: str, row: Mapping[str, Any], now: datetime
) -> Thing | None:
    id = example_id(kind, key)
    if kept.find(session, kind, id) is not None:
        return None
    if kind is ItemKind.SOCK:
        return _add_sock(session, id, row, now)
    fields = {name: _meant(kind, name, said, row) for name, said in row.get("fields", {}).items()}
    name = row.get("name", "")
    thing = new_thing(session, kind, id, row["document"], now, name, fields, example=True)
    return _sound(thing)


def _meant(kind: ItemKind, name: str, said: Any, row: Mapping[str, Any]) -> Any:
    """A field of the file: a reference stands there by its key."""
    if name == "about_id":
        return example_id(ItemKind(row["fields"]["about_kind"]), said)
    return example_id(ItemKind(name.removesuffix("_id")), said) if name.endswith("_id") else said


def _add_sock(session: Session, id: str, row: Mapping[str, Any], now: datetime) -> Thing:
    """A pair that is made already: its yarns are kept as they lie on the shelf now."""
    choice = Choice(
        person=example_id(ItemKind.PERSON, row["person"]),
        machine=example_id(ItemKind.MACHINE, row["machine"]),
        yarns={role: example_id(ItemKind.YARN, key) for role, key in row["yarns"].items()},
        design=example_id(ItemKind.DESIGN, row["design"]),
        swatches=tuple(example_id(ItemKind.SWATCH, key) for key in row["swatches"]),
        needles=row["needles"],
        title=row["title"],
        units=row["units"],
    )
    composed = compose(session, choice)
    if isinstance(composed, Problems):
        raise AssertionError(str(composed))
    _sound(keep_sock(session, id, choice, composed, now, example=True, fields=_made(row)))
    return kept.get(session, ItemKind.SOCK, id)


def _made(row: Mapping[str, Any]) -> dict[str, Any]:
    return {"status": MADE, **{name: row[name] for name in ("log", "left", "measured")}}


def _sound(thing: Thing | Problems) -> Thing:
    if isinstance(thing, Problems):
        raise AssertionError(str(thing))
    return thing
