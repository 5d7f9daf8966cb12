"""Every problem of a document at the field of its form, and all of them in a summary."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from sockwright.errors import Problem
from sockwright.order.reader import Either, Many, Names, Place, Table
from sockwright.order.reader import Kind as Grammar
from sockwright.store.things import Kind
from sockwright.web.field_labels import full_label
from sockwright.web.form_items import Field, Group, Item, Rows, every
from sockwright.web.typed import NAME, VALUE, Texts, at, row, rows_of, short_key
from sockwright.workshop.grammar import document_kind

_LAST_PART = re.compile(r"(?:\.[^.\[\]]*|\[[0-9]+\]|^[^.\[\]]*)$")


@dataclass(frozen=True)
class Trouble:
    """A problem in the summary: the name of its field, and the id of its element or ""."""

    problem: Problem
    label: str
    id: str


@dataclass(frozen=True)
class Form:
    """A whole form, each problem at its place."""

    items: tuple[Item, ...]
    troubles: tuple[Trouble, ...] = ()


def troubled(
    kind: Kind, items: tuple[Item, ...], texts: Texts, problems: Iterable[Problem]
) -> Form:
    """The form with the problems of what was typed; `texts` are those of its items."""
    known = {one.path: one for one in every(items)}
    own = dict(_own_places(document_kind(kind), "", texts, rows_of(texts)))
    found: dict[str, list[Problem]] = {}
    troubles = []
    for problem in problems:
        place = _nearest(own.get(problem.path, problem.path), known)
        if place in found and isinstance(known.get(place), Field):
            continue  # One thing is wrong with a field at a time: what its form says comes first.
        found.setdefault(place, []).append(problem)
        name = full_label(kind, place) if place else ""
        troubles.append(Trouble(problem, name, _first_field(known[place]).id if place else ""))
    return Form(tuple(_with(one, found) for one in items), tuple(troubles))


def _nearest(path: str, known: Mapping[str, Item]) -> str:
    """The path of the item that a problem belongs to, "" if there is none."""
    while path and path not in known:
        shorter = _LAST_PART.sub("", path)
        path = shorter if shorter != path else ""
    return path


def _first_field(item: Item) -> Field:
    """Where the focus goes for a problem of an item."""
    return next(one for one in every([item]) if isinstance(one, Field))


def _with(item: Item, found: Mapping[str, list[Problem]]) -> Item:
    own = tuple(found.get(item.path, ()))
    if isinstance(item, Group):
        return _group_with(item, found)
    if isinstance(item, Rows):
        rows = tuple(_group_with(one, found) for one in item.rows)
        return replace(item, rows=rows, problems=own)
    return replace(item, problems=own)


def _group_with(group: Group, found: Mapping[str, list[Problem]]) -> Group:
    items = tuple(_with(one, found) for one in group.items)
    return replace(group, items=items, problems=tuple(found.get(group.path, ())))


def _own_places(
    kind: Grammar, path: str, texts: Texts, rows: Mapping[str, list[int]]
) -> Iterator[tuple[str, str]]:
    """Paths that a problem may have and no item has, each with its field.

    These are names of the user's own, and what is written in short.
    """
    if isinstance(kind, Table):
        for key in kind.keys:
            yield from _own_places(key.kind, at(path, key.name), texts, rows)
    elif isinstance(kind, Many):
        for number in rows.get(path, ()):
            yield from _own_places(kind.one, row(path, number), texts, rows)
    elif isinstance(kind, Either):
        yield path, at(path, short_key(kind).name)
    elif isinstance(kind, Names):
        for number in rows.get(path, ()):
            name = texts.get(at(row(path, number), NAME), "").strip()
            part = VALUE if name else NAME
            yield Place(path, []).at(name).path, at(row(path, number), part)
