"""Every problem of a document at the field of its form, and all of them in a summary."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from sockwright.errors import Problem
from sockwright.order.reader import Either, Many, Names, Place, Table
from sockwright.order.reader import Kind as Grammar
from sockwright.store.items import Kind
from sockwright.web.field_labels import full_label
from sockwright.web.form_items import Field, Group, Item, Rows, Wrong, every
from sockwright.web.form_words import in_form_words, placed
from sockwright.web.offers import offer, offered
from sockwright.web.typed import NAME, VALUE, Texts, at, row, rows_of, short_key
from sockwright.workshop.kinds import document_kind

_LAST_PART = re.compile(r"(?:\.[^.\[\]]*|\[[0-9]+\]|^[^.\[\]]*)$")


@dataclass(frozen=True)
class Trouble:
    """A problem in the summary: the name of its field, and the id of its element or ""."""

    problem: Wrong
    label: str
    id: str


@dataclass(frozen=True)
class Form:
    """A whole form, each problem at its place."""

    items: tuple[Item, ...]
    troubles: tuple[Trouble, ...] = ()
    clashes: tuple[Trouble, ...] = ()
    """The fields in which something else was kept meanwhile, which is told as what is wrong."""


def troubled(
    kind: Kind,
    items: tuple[Item, ...],
    texts: Texts,
    problems: Iterable[Problem],
    units: str = "cm",
) -> Form:
    """The form with the problems of what was typed; `texts` are those of its items.

    Offers of a unit are in `units`, "cm" or "in".
    """
    known = {one.path: one for one in every(items)}
    own = dict(_own_places(document_kind(kind), "", texts, rows_of(texts)))
    found: dict[str, list[Wrong]] = {}
    troubles = []
    for problem in (placed(kind, one) for one in problems):
        place = _nearest(own.get(problem.path, problem.path), known)
        if place in found and isinstance(known.get(place), Field):
            continue  # One thing is wrong with a field at a time: what its form says comes first.
        wrong = _wrong(kind, problem, known.get(place), texts, units)
        found.setdefault(place, []).append(wrong)
        name = full_label(kind, place) if place else ""
        troubles.append(Trouble(wrong, name, _first_field(known[place]).id if place else ""))
    order = [one.id for one in every(items)]
    troubles.sort(key=lambda one: order.index(one.id) if one.id else -1)
    return Form(tuple(_with(one, found) for one in items), tuple(troubles))


def clashing(kind: Kind, form: Form, clashes: Mapping[str, str]) -> Form:
    """The form with what was kept meanwhile at each field that says something else."""
    known = {one.path: one for one in every(form.items)}
    told = tuple(
        Trouble(Wrong(theirs, ""), full_label(kind, path), _first_field(known[path]).id)
        for path, theirs in clashes.items()
        if path in known
    )
    items = tuple(_with_theirs(one, clashes) for one in form.items)
    return replace(form, items=items, clashes=told)


def _wrong(kind: Kind, problem: Problem, item: Item | None, texts: Texts, units: str) -> Wrong:
    """The problem in the form's words, with what may be put in its field instead."""
    path = item.path if isinstance(item, Field) else ""
    instead = offer(kind, problem, path, texts, units) if path else ""
    worded = in_form_words(kind, offered(problem, instead) if instead else problem, item)
    return Wrong(worded.wrong, worded.right, instead)


def _with_theirs(item: Item, clashes: Mapping[str, str]) -> Item:
    if isinstance(item, Group):
        return replace(item, items=tuple(_with_theirs(one, clashes) for one in item.items))
    return replace(item, theirs=clashes.get(item.path, ""))


def _nearest(path: str, known: Mapping[str, Item]) -> str:
    """The path of the item that a problem belongs to, "" if there is none."""
    while path and path not in known:
        shorter = _LAST_PART.sub("", path)
        path = shorter if shorter != path else ""
    return path


def _first_field(item: Item) -> Field:
    """Where the focus goes for a problem of an item."""
    return next(one for one in every([item]) if isinstance(one, Field))


def _with(item: Item, found: Mapping[str, list[Wrong]]) -> Item:
    own = tuple(found.get(item.path, ()))
    if isinstance(item, Group):
        return _group_with(item, found)
    if isinstance(item, Rows):
        rows = tuple(_group_with(one, found) for one in item.rows)
        return replace(item, rows=rows, problems=own)
    return replace(item, problems=own)


def _group_with(group: Group, found: Mapping[str, list[Wrong]]) -> Group:
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
