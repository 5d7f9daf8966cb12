"""Every problem of a document at the field of its form, and all of them in a summary."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from sockwright.errors import Problem
from sockwright.grammar.declare import Either, Many, Names, Place, Table
from sockwright.grammar.declare import FieldType as Grammar
from sockwright.i18n.messages import Message, _, listed
from sockwright.order.swatches import READINGS
from sockwright.store.items import ItemKind
from sockwright.web.forms.items import Field, FieldProblem, Group, Item, Rows, every
from sockwright.web.forms.offers import offer, offered
from sockwright.web.forms.texts import NAME, VALUE, Texts, at, full_label, row, rows_of, short_key
from sockwright.workshop.kinds import TYPES

_MISSING, _UNKNOWN, _GIVE = "is missing", "{given} is unknown", "give {expects}"
_NO_READING = "holds no reading"


def placed(kind: ItemKind, problem: Problem) -> Problem:
    """The problem at a field of its form, where the reader tells of the whole document."""
    if _template(problem.wrong) == _NO_READING:
        labels = [full_label(kind, name) for name in READINGS]
        right = _("one of these is enough to begin with: {readings}", readings=labels)
        return Problem(READINGS[0], _("no reading is filled in"), right)
    return problem


def in_form_words(kind: ItemKind, problem: Problem, item: Item | None) -> Problem:
    """The problem of an item of the form, in the form's words."""
    if isinstance(item, Rows) and _template(problem.wrong) == _MISSING:
        return replace(problem, right=_("fill in one at least"))
    if isinstance(item, Field) and _asks_for_choice(problem, item):
        words = [one.words for one in item.options if one.value != item.text]
        return replace(problem, right=_("choose {words}", words=listed(words, "or")))
    return plainly(kind, problem)


def plainly(kind: ItemKind | None, problem: Problem) -> Problem:
    """The problem of a thing of a kind without words of the file, wherever it is told."""
    if kind is None:
        return problem
    return replace(
        problem,
        wrong=_reworded(kind, problem.path, problem.wrong),
        right=_reworded(kind, problem.path, problem.right),
    )


def _asks_for_choice(problem: Problem, item: Field) -> bool:
    own = item.shape == "choice" and not any(one.group for one in item.options)
    wrong, right = _template(problem.wrong), _template(problem.right)
    return own and bool(item.options) and (wrong == _UNKNOWN or (wrong, right) == (_MISSING, _GIVE))


def _template(text: str) -> str:
    return text.template if isinstance(text, Message) else text


def _reworded(kind: ItemKind, path: str, text: str) -> str:
    words = _WORDS.get(_template(text))
    values = text.values if isinstance(text, Message) else {}
    return text if words is None else words(kind, path, values)


_Words = Callable[[ItemKind, str, Mapping[str, object]], str]


def _always(text: str) -> _Words:
    return lambda kind, path, values: text


def _sibling(path: str, name: str) -> str:
    """The path of another key of the same table."""
    table = path.rpartition(".")[0]
    return f"{table}.{name}" if table else name


def _same_as(kind: ItemKind, path: str, values: Mapping[str, object]) -> str:
    other = full_label(kind, _sibling(path, str(values["found"])))
    return _("means the same as “{field}”", field=other)


def _shares(kind: ItemKind, path: str, values: Mapping[str, object]) -> str:
    what, value = values["what"], values["value"]
    if isinstance(value, float) and _template(str_of(what)) == "the sum of the shares":
        return _("the shares add up to {percent:.4g} %", percent=100 * value)
    return _("{what} is {value:.4g}", what=what, value=value)


def _child(kind: ItemKind, path: str, values: Mapping[str, object]) -> str:
    return _("{right} For a child fill in the age", right=values["right"])


def _deep(kind: ItemKind, path: str, values: Mapping[str, object]) -> str:
    kept = full_label(kind, _sibling(path, "kept"))
    return _("is {deep}, no wider than “{field}”", deep=values["deep"], field=kept)


def str_of(value: object) -> str:
    """A value of a template as a text, said or not."""
    return value if isinstance(value, str) else str(value)


_LEFT_EMPTY = _("leave it empty")
_WORDS: Mapping[str, _Words] = {
    "means the same as {found}": _same_as,
    "give one of the two": _always(_("fill in one of the two")),
    "give rounds (whole ones) or loops": _always(_("fill in the rounds (whole ones) or the loops")),
    "leave it out": _always(_LEFT_EMPTY),
    'leave it out, or write kind = "true rib"': _always(
        _("leave it empty, or choose “{kind}” as the kind of cuff", kind=_("true rib"))
    ),
    'leave it out, or write kind = "mock-rib hem"': _always(
        _("leave it empty, or choose “{kind}” as the kind of cuff", kind=_("mock-rib hem"))
    ),
    "needs deep_kept": _always(_("needs a first cup")),
    "give deep_kept as well": _always(_("fill in “First cup: needles left in work” as well")),
    "is {deep}, no wider than kept": _deep,
    "{what} is {value:.4g}": _shares,
    "{right} For a child give wearer.age": _child,
    "give the foot's length, or in [wearer] a shoe_size, a stature or a child's age": _always(
        _("fill in the foot's length, or else a shoe size, the height or a child's age")
    ),
}
"""What is said instead of what the reader says, by its template."""


_LAST_PART = re.compile(r"(?:\.[^.\[\]]*|\[[0-9]+\]|^[^.\[\]]*)$")


@dataclass(frozen=True)
class SummaryProblem:
    """A problem in the summary: the name of its field, and the id of its element or ""."""

    problem: FieldProblem
    label: str
    id: str


@dataclass(frozen=True)
class Form:
    """A whole form, each problem at its place."""

    items: tuple[Item, ...]
    troubles: tuple[SummaryProblem, ...] = ()
    clashes: tuple[SummaryProblem, ...] = ()
    """The fields in which something else was kept meanwhile, which is told as what is wrong."""


def troubled(
    kind: ItemKind,
    items: tuple[Item, ...],
    texts: Texts,
    problems: Iterable[Problem],
    units: str = "cm",
) -> Form:
    """The form with the problems of what was typed; `texts` are those of its items.

    Offers of a unit are in `units`, "cm" or "in".
    """
    known = {one.path: one for one in every(items)}
    own = dict(_own_places(TYPES[kind].grammar, "", texts, rows_of(texts)))
    found: dict[str, list[FieldProblem]] = {}
    troubles = []
    for problem in (placed(kind, one) for one in problems):
        place = _nearest(own.get(problem.path, problem.path), known)
        if place in found and isinstance(known.get(place), Field):
            continue  # One thing is wrong with a field at a time: what its form says comes first.
        wrong = _wrong(kind, problem, known.get(place), texts, units)
        found.setdefault(place, []).append(wrong)
        name = full_label(kind, place) if place else ""
        troubles.append(SummaryProblem(wrong, name, _first_field(known[place]).id if place else ""))
    order = [one.id for one in every(items)]
    troubles.sort(key=lambda one: order.index(one.id) if one.id else -1)
    return Form(tuple(_with(one, found) for one in items), tuple(troubles))


def clashing(kind: ItemKind, form: Form, clashes: Mapping[str, str]) -> Form:
    """The form with what was kept meanwhile at each field that says something else."""
    known = {one.path: one for one in every(form.items)}
    told = tuple(
        SummaryProblem(
            FieldProblem(theirs, ""), full_label(kind, path), _first_field(known[path]).id
        )
        for path, theirs in clashes.items()
        if path in known
    )
    items = tuple(_with_theirs(one, clashes) for one in form.items)
    return replace(form, items=items, clashes=told)


def _wrong(
    kind: ItemKind, problem: Problem, item: Item | None, texts: Texts, units: str
) -> FieldProblem:
    """The problem in the form's words, with what may be put in its field instead."""
    path = item.path if isinstance(item, Field) else ""
    instead = offer(kind, problem, path, texts, units) if path else ""
    worded = in_form_words(kind, offered(problem, instead) if instead else problem, item)
    return FieldProblem(worded.wrong, worded.right, instead)


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


def _with(item: Item, found: Mapping[str, list[FieldProblem]]) -> Item:
    own = tuple(found.get(item.path, ()))
    if isinstance(item, Group):
        return _group_with(item, found)
    if isinstance(item, Rows):
        rows = tuple(_group_with(one, found) for one in item.rows)
        return replace(item, rows=rows, problems=own)
    return replace(item, problems=own)


def _group_with(group: Group, found: Mapping[str, list[FieldProblem]]) -> Group:
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
