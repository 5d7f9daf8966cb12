"""What a form is made of: plain fields, groups of them (tables), and rows, more or fewer."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from itertools import groupby

from sockwright.grammar.values import LONGEST_NOTE, LONGEST_TEXT

_DAY = re.compile(r"(?:[0-9]{4}-[0-9]{2}-[0-9]{2})?")


@dataclass(frozen=True)
class FieldProblem:
    """A problem at its place; `offer` may be put in its field instead, if it is not empty."""

    wrong: str
    right: str
    offer: str = ""


@dataclass(frozen=True)
class Option:
    """One of the choices of a field, under a heading if it has a `group`."""

    value: str
    words: str
    group: str = ""


@dataclass(frozen=True)
class Field:
    """A single field; `shape` is "text", "number", "day", "lines", "choice" or "tick".

    `hint` says what it means, `expects` what to write, `without` what holds if it is empty.
    """

    path: str
    label: str
    shape: str = "text"
    text: str = ""
    hint: str = ""
    expects: str = ""
    without: str = ""
    needed: bool = False
    options: tuple[Option, ...] = ()
    known: tuple[str, ...] = ()
    """Names that it takes, which are shown in the reader's language."""
    problems: tuple[FieldProblem, ...] = ()
    number: int = 0
    """Its number in a drawing beside the form, 0 if it has none."""
    theirs: str = ""
    """What was kept meanwhile where something else was typed, "" where that is not so."""

    tag = "field"

    @property
    def id(self) -> str:
        """The id of its element."""
        return element_id(self.path)

    @property
    def most(self) -> int:
        """The most characters that can be kept of it."""
        return LONGEST_NOTE if self.shape == "lines" else LONGEST_TEXT

    @property
    def is_day(self) -> bool:
        """Whether what stands in it is a day that a field for days can show."""
        return self.shape == "day" and _DAY.fullmatch(self.text) is not None

    @property
    def says(self) -> bool:
        """Whether anything stands in it."""
        return bool(self.text.strip())

    def shown(self, render: Callable[[str], str]) -> str:
        """What stands in it, in the reader's language where it is a name known here."""
        name = self.text.strip().casefold()
        told = render(name) if name in self.known else name
        return self.text if told == name else told


@dataclass(frozen=True)
class Group:
    """Fields that belong together; a `folded` one is closed while it says nothing."""

    path: str
    label: str
    items: tuple[Item, ...]
    hint: str = ""
    folded: bool = False
    problems: tuple[FieldProblem, ...] = ()

    tag = "group"

    @property
    def id(self) -> str:
        """The id of its element."""
        return element_id(self.path)

    @property
    def says(self) -> bool:
        """Whether anything stands in it."""
        return any(one.says for one in self.items)

    @property
    def troubled(self) -> bool:
        """Whether anything in it is wrong."""
        return any(one.problems for one in (self, *every(self.items)))


@dataclass(frozen=True)
class Rows:
    """Rows of fields; `more` is what the button says that adds one.

    `fresh` is the number of the row that work goes on in, 0 if none was added or taken away.
    """

    path: str
    label: str
    rows: tuple[Group, ...]
    more: str
    hint: str = ""
    expects: str = ""
    needed: bool = False
    fresh: int = 0
    problems: tuple[FieldProblem, ...] = ()
    theirs: str = ""

    tag = "rows"

    @property
    def id(self) -> str:
        """The id of its element."""
        return element_id(self.path)

    @property
    def says(self) -> bool:
        """Whether any row says anything."""
        return any(one.says for one in self.rows)


Item = Field | Group | Rows


def element_id(path: str) -> str:
    """The id of the element of a field or a group."""
    return "field-" + re.sub(r"[^a-z0-9]+", "-", path).strip("-")


def every(items: Iterable[Item]) -> Iterator[Item]:
    """All items with those in them."""
    for one in items:
        yield one
        if isinstance(one, Group):
            yield from every(one.items)
        elif isinstance(one, Rows):
            yield from every(one.rows)


def runs(items: Iterable[Item]) -> list[tuple[str, list[Item]]]:
    """Items in runs of one tag, so that fields that follow each other stand side by side."""
    return [(tag, list(run)) for tag, run in groupby(items, key=lambda one: one.tag)]
