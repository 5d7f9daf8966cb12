"""The form of a kept thing: made from what is kept, read when it comes in, kept or shown again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from typing import Any

from sockwright.errors import Problem
from sockwright.grammar.declare import Place, Value
from sockwright.i18n.locale import Locale
from sockwright.i18n.messages import _, joined
from sockwright.store.items import ItemKind, State, Thing
from sockwright.web.forms.documents import written
from sockwright.web.forms.fields import form_items
from sockwright.web.forms.items import Field, Group, Item
from sockwright.web.forms.problems import Form, clashing, troubled
from sockwright.web.forms.texts import (
    Texts,
    clean,
    full_label,
    places,
    tidy,
    typed,
    without_numbers,
    without_row,
)
from sockwright.web.kept.kinds import PAGES, extra_fields, extra_items, extra_texts
from sockwright.workshop.answers import Problems
from sockwright.workshop.kinds import TYPES, check_document, check_fields
from sockwright.workshop.workshop import Workshop

MORE, LESS = "more", "less"
"""The buttons that add a row and take one away; their value is its path."""

FILL = "fill"
"""The button that puts an offer in a field; its value is the field's path, "=" and the offer."""

THEIRS = "theirs"
"""The button that takes what was kept meanwhile into a field; its value is the field's path."""


NO_CLASHES: Mapping[str, str] = {}


@dataclass(frozen=True)
class FormInput:
    """What a form says, as the workshop takes it; `problems` are those only the form can have."""

    texts: Texts
    document: dict[str, Any]
    fields: dict[str, Any]
    name: str
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class FormWithRows:
    """A form with a row more or less: its texts, and the path of either.

    `added` is the path of the rows that get a blank one, `removed` that of the row that is gone.
    """

    texts: Texts
    added: str = ""
    removed: str = ""


def texts_of(kind: ItemKind, state: State) -> dict[str, str]:
    """What stands in the form of a kept thing."""
    return {**extra_texts(kind, state), **dict(typed(TYPES[kind].grammar, state.document))}


def understood(
    kind: ItemKind, pairs: Iterable[tuple[str, str]], locale: Locale
) -> list[tuple[str, str]]:
    """The texts of a form, names that are known here as the order file has them."""
    return [(path, _name(text, _known(kind, path), locale)) for path, text in pairs]


def _known(kind: ItemKind, path: str) -> tuple[str, ...]:
    """The names that the field at a path knows."""
    found = places(kind).get(without_numbers(path))
    return found.kind.known if found and isinstance(found.kind, Value) else ()


def _name(text: str, known: tuple[str, ...], locale: Locale) -> str:
    told = {locale.render(name): name for name in reversed(known)}
    if text.strip() in told:
        return told[text.strip()]
    typed = text.strip().casefold()
    if typed in known:
        return text
    return next((name for name in known if locale.render(name).casefold() == typed), text)


def read_sent(kind: ItemKind, pairs: Iterable[tuple[str, str]], before: State | None) -> FormInput:
    """What a form says that was made from the state `before`, None for a new thing."""
    texts = tidy(pairs)
    own = {path: text for path, text in texts.items() if path not in TYPES[kind].left_out}
    found = written(TYPES[kind].grammar, own, before.document if before else {})
    fields, lacking = extra_fields(kind, texts)
    name = clean(texts.get("name", "")) if TYPES[kind].named_beside else ""
    return FormInput(texts, found.document, fields, name, (*lacking, *found.problems))


def rows_changed(pairs: Iterable[tuple[str, str]]) -> FormWithRows | None:
    """The form with a row more or less, if that is what its button asks for."""
    every = list(pairs)
    asked = dict(every)
    if MORE in asked:
        return FormWithRows(tidy(every), asked[MORE])
    if LESS in asked:
        return FormWithRows(without_row(dict(every), asked[LESS]), removed=asked[LESS])
    return None


def with_offer(texts: Texts, filled: str) -> dict[str, str]:
    """The texts of a form with an offer in its field."""
    path, _, offer = filled.partition("=")
    return {**texts, path: offer}


def same(sent: FormInput, state: State) -> bool:
    """Whether a form says nothing new."""
    name = sent.name or state.name
    own = (sent.document, sorted(sent.fields.items()), name)
    return repr(own) == repr((state.document, sorted(state.fields.items()), state.name))


def write(
    shop: Workshop, kind: ItemKind, sent: FormInput, id: str = "", seen: int = 0
) -> Thing | Problems:
    """Keep a new thing, or write over the version `seen` of the one with the id.

    Raises Stale and NotKept.
    """
    if sent.problems:
        return Problems(_all_problems(kind, sent))
    if not id:
        return shop.keep(kind, sent.document, sent.name, sent.fields)
    name = sent.name if TYPES[kind].named_beside else None
    return shop.change(kind, id, seen, sent.document, name, sent.fields)


def _all_problems(kind: ItemKind, sent: FormInput) -> tuple[Problem, ...]:
    """Those of the form, and those of its document and fields that are elsewhere."""
    found: list[Problem] = []
    check_document(kind, sent.document, Place("", found))
    check_fields(kind, sent.fields, Place("", found))
    own = {problem.path for problem in sent.problems}
    return (*sent.problems, *(one for one in found if _at_field(one).path not in own))


def form_of(
    shop: Workshop,
    kind: ItemKind,
    texts: Texts,
    problems: Iterable[Problem] = (),
    added: str = "",
    removed: str = "",
    clashes: Mapping[str, str] = NO_CLASHES,
    units: str = "cm",
) -> Form:
    """The form with what stands in it, and each problem at its field.

    `clashes` tells what was kept meanwhile in fields that say something else; offers of a unit are
    in `units`.
    """
    pages, extra = PAGES[kind], extra_items(shop, kind, texts)
    own = form_items(kind, texts, added, removed)
    items = (*own[: pages.extras_after], *extra, *own[pages.extras_after :])
    items = tuple(_numbered(one, pages.numbers) for one in items)
    form = troubled(kind, items, texts, map(_at_field, problems), units)
    return clashing(kind, form, clashes) if clashes else form


def _at_field(problem: Problem) -> Problem:
    """A note's problem with what it is about stands at the one field for it."""
    return replace(problem, path="about") if problem.path.startswith("about_") else problem


def _numbered(item: Item, numbers: Mapping[str, int]) -> Item:
    """The item with the numbers of its fields in the drawings beside it."""
    if isinstance(item, Group):
        return replace(item, items=tuple(_numbered(one, numbers) for one in item.items))
    if isinstance(item, Field):
        return replace(item, number=numbers.get(item.path, 0))
    return item


NOT_KEPT = frozenset({"seen", "was", "more", "less", "fill", "theirs"})
"""What a form sends that is none of its fields."""

_Parts = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True)
class ThreeWayMerge:
    """What the form says with what was changed meanwhile taken in, and what of it.

    `taken` are the fields taken in. `clashes` tells what is kept in the fields that were changed
    here and meanwhile, and not to the same; there `texts` have what was typed.
    """

    texts: dict[str, str]
    taken: tuple[str, ...]
    clashes: Mapping[str, str]


def three_way_merge(kind: ItemKind, base: State, now: State, mine: Texts) -> ThreeWayMerge:
    """A form made from `base` and what was kept `now` meanwhile, joined by their fields."""
    was, kept, typed = (
        _parts(texts) for texts in (texts_of(kind, base), texts_of(kind, now), mine)
    )
    texts: dict[str, str] = {name: mine[name] for name in NOT_KEPT & mine.keys()}
    taken: list[str] = []
    clashes: dict[str, str] = {}
    for key in dict.fromkeys((*was, *kept, *typed)):
        before, theirs, own = (_said(parts, key) for parts in (was, kept, typed))
        if own == before:
            texts.update(kept.get(key, {}))
            taken += [key] if theirs != before else []
            continue
        texts.update(typed.get(key, {}))
        if theirs not in (before, own):
            clashes[key] = _told(theirs)
    return ThreeWayMerge(texts, tuple(taken), clashes)


def left_to_choose(kind: ItemKind, base: State, now: State, mine: Texts) -> dict[str, str]:
    """The fields that were changed from `base` meanwhile and in which a form says otherwise."""
    was, kept, typed = (
        _parts(texts) for texts in (texts_of(kind, base), texts_of(kind, now), mine)
    )
    return {
        key: _told(_said(kept, key))
        for key in dict.fromkeys((*was, *kept))
        if _said(kept, key) not in (_said(was, key), _said(typed, key))
    }


def with_theirs(kind: ItemKind, now: State, mine: Texts, key: str) -> dict[str, str]:
    """The texts of a form with what is kept in one field."""
    theirs = _parts(texts_of(kind, now)).get(key, {})
    return {**{name: text for name, text in mine.items() if _key(name) != key}, **theirs}


def fields_told(kind: ItemKind, keys: tuple[str, ...]) -> str:
    """Fields by their labels, in a line."""
    return joined(", ", (full_label(kind, key) for key in keys))


def _key(path: str) -> str:
    return path.partition("[")[0]


def _parts(texts: Texts) -> dict[str, dict[str, str]]:
    """The texts by the fields that they belong to."""
    found: dict[str, dict[str, str]] = {}
    for path, text in texts.items():
        if path not in NOT_KEPT:
            found.setdefault(_key(path), {})[path] = text
    return found


def _said(parts: _Parts, key: str) -> dict[str, str]:
    """What a field says, without outer blanks; nothing where all of it is empty."""
    every = ((path, clean(text)) for path, text in parts.get(key, {}).items())
    return {path: text for path, text in every if text}


def _told(theirs: Mapping[str, str]) -> str:
    return joined(", ", theirs.values()) if theirs else _("nothing")
