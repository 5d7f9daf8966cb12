"""Problems in the words of a form: fields by their labels, and choices as they read there.

The order's reader speaks of keys, tables and quotes, to people who write files. What it says is
known by its template; what is not told otherwise here reads well in both.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from sockwright.errors import Problem
from sockwright.order.swatches import READINGS
from sockwright.store.items import Kind
from sockwright.web.field_labels import full_label
from sockwright.web.form_items import Field, Item, Rows
from sockwright.words.said import Said, listed, said

_MISSING, _UNKNOWN, _GIVE = "is missing", "{given} is not known here", "give {expects}"
_NO_READING = "holds no reading"


def placed(kind: Kind, problem: Problem) -> Problem:
    """The problem at a field of its form, where the reader tells of the whole document."""
    if kind is Kind.SWATCH and _template(problem.wrong) == _NO_READING:
        labels = [full_label(kind, name) for name in READINGS]
        right = said("one of these is enough to begin with: {readings}", readings=labels)
        return Problem(READINGS[0], said("no reading is filled in"), right)
    return problem


def in_form_words(kind: Kind, problem: Problem, item: Item | None) -> Problem:
    """The problem of an item of the form, in the form's words."""
    if isinstance(item, Rows) and _template(problem.wrong) == _MISSING:
        return replace(problem, right=said("fill in one at least"))
    if isinstance(item, Field) and _asks_for_choice(problem, item):
        words = [one.words for one in item.options if one.value != item.text]
        return replace(problem, right=said("choose {words}", words=listed(words, "or")))
    return plainly(kind, problem)


def plainly(kind: Kind | None, problem: Problem) -> Problem:
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
    return text.template if isinstance(text, Said) else text


def _reworded(kind: Kind, path: str, text: str) -> str:
    words = _WORDS.get(_template(text))
    values = text.values if isinstance(text, Said) else {}
    return text if words is None else words(kind, path, values)


_Words = Callable[[Kind, str, Mapping[str, object]], str]


def _always(text: str) -> _Words:
    return lambda kind, path, values: text


def _sibling(path: str, name: str) -> str:
    """The path of another key of the same table."""
    table = path.rpartition(".")[0]
    return f"{table}.{name}" if table else name


def _same_as(kind: Kind, path: str, values: Mapping[str, object]) -> str:
    other = full_label(kind, _sibling(path, str(values["found"])))
    return said("says the same thing as “{field}”", field=other)


def _shares(kind: Kind, path: str, values: Mapping[str, object]) -> str:
    what, value = values["what"], values["value"]
    if isinstance(value, float) and _template(str_of(what)) == "the sum of the shares":
        return said("the shares make {percent:.4g} % together", percent=100 * value)
    return said("{what} is {value:.4g}", what=what, value=value)


def _child(kind: Kind, path: str, values: Mapping[str, object]) -> str:
    return said("{right} For a child fill in the age", right=values["right"])


def _deep(kind: Kind, path: str, values: Mapping[str, object]) -> str:
    kept = full_label(kind, _sibling(path, "kept"))
    return said("is {deep}, no wider than “{field}”", deep=values["deep"], field=kept)


def str_of(value: object) -> str:
    """A value of a template as a text, said or not."""
    return value if isinstance(value, str) else str(value)


_LEFT_EMPTY = said("leave it empty")
_WORDS: Mapping[str, _Words] = {
    "says the same thing as {found}": _same_as,
    "give one of the two": _always(said("fill in one of the two")),
    "give rounds (whole ones) or loops": _always(
        said("fill in the rounds (whole ones) or the loops")
    ),
    "leave it out": _always(_LEFT_EMPTY),
    'leave it out, or say kind = "true rib"': _always(
        said("leave it empty, or choose “{kind}” as the kind of cuff", kind=said("true rib"))
    ),
    'leave it out, or say kind = "mock-rib hem"': _always(
        said("leave it empty, or choose “{kind}” as the kind of cuff", kind=said("mock-rib hem"))
    ),
    "stands without deep_kept": _always(said("stands without a first cup")),
    "give deep_kept as well": _always(said("fill in “Kept by a first cup” as well")),
    "is {deep}, no wider than kept": _deep,
    "{what} is {value:.4g}": _shares,
    "{right} For a child give wearer.age": _child,
    "give the foot's length, or in [wearer] a shoe_size, a stature or a child's age": _always(
        said("fill in the foot's length, or else a shoe size, the height or a child's age")
    ),
}
"""What is said instead of what the reader says, by its template."""
