"""A small reader of tables: keys are declared, problems are collected, nothing is guessed.

A part of the order file is declared as a `Table` of `Key`s. Reading it walks the declaration over
the parsed TOML and gives a frozen value, or WRONG after noting at least one `Problem`. The same
declarations make the reference of keys, so the two cannot drift apart.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, time
from difflib import get_close_matches
from enum import Enum
from functools import lru_cache
from typing import Any, Final, Protocol

from sockwright.errors import Problem, QuantityError
from sockwright.grammar.bounds import AT_MOST, TOO_MANY, most
from sockwright.i18n import Message, _
from sockwright.i18n.printable import alike, shown_safely

WRONG: Final = object()
"""What reading gives for something with a problem; the problem is noted already."""

_PROBLEMS_TOLD = most("problems_told")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]{1,60}")
_LONGEST_SHOWN = 60


@dataclass(frozen=True)
class Place:
    """Where in the file we are, and the one list that collects all problems of the file."""

    path: str
    problems: list[Problem]

    def at(self, key: str) -> Place:
        """The place of a key of this table."""
        name = _step(key) if len(key) <= _LONGEST_SHOWN else shown(key)
        return Place(f"{self.path}.{name}" if self.path else name, self.problems)

    def item(self, number: int) -> Place:
        """The place of an item of this array, counted from 1."""
        return Place(f"{self.path}[{number}]", self.problems)

    @property
    def full(self) -> bool:
        """Whether so many problems are noted that the rest is not looked for."""
        return len(self.problems) > _PROBLEMS_TOLD

    def say(self, wrong: str, right: str) -> None:
        """Note a problem here; after the last that is told, that there may be more."""
        if len(self.problems) < _PROBLEMS_TOLD:
            self.problems.append(Problem(self.path or _("the order"), wrong, right))
        elif not self.full:
            self.problems.append(
                Problem(
                    _("the order"),
                    _("has more problems than these"),
                    _("correct these first"),
                )
            )

    def holds_too_many(self, count: int, limit: str) -> bool:
        """Whether `count` is beyond `limit` of the table of sizes; notes the problem."""
        if count <= most(limit):
            return False
        self.say(_(TOO_MANY, count=count), _(AT_MOST, most=most(limit)))
        return True


class FieldType(Protocol):
    """How one value of the file is read; `expects` says in words what to write."""

    @property
    def expects(self) -> str:
        """What to write, in words that follow "give"."""
        ...

    def read(self, given: object, place: Place) -> Any:
        """The value, or WRONG after noting a problem."""
        ...


class WrittenAs(Enum):
    """How a value is written down."""

    TEXT = "text"
    LINES = "lines"
    NUMBER = "number"
    NUMBER_OR_TEXT = "number or text"
    YES_OR_NO = "yes or no"
    DAY = "day"


@dataclass(frozen=True)
class Value:
    """A single value; `convert` raises QuantityError for what it refuses.

    `words` are those there are to choose from, if it is one of a few; `known` are names it takes
    that a form may show in another language.
    """

    expects: str
    convert: Callable[[object], Any]
    written: WrittenAs = WrittenAs.TEXT
    words: tuple[str, ...] = ()
    known: tuple[str, ...] = ()

    def read(self, given: object, place: Place) -> Any:
        """The converted value, or WRONG."""
        try:
            return self.convert(given)
        except QuantityError as error:
            place.say(error.wrong, error.right)
            return WRONG


@dataclass(frozen=True)
class Key:
    """A key of a table: its name, how it is read, what it means.

    `default` says in words what holds without it; `field` is the name under which its value is
    handed to the table's `build` where that is not the key itself. `label` is what a form calls it
    where its name does not say so; `more` what the button says that adds a row, if there are rows.
    """

    name: str
    kind: FieldType
    meaning: str
    default: str = ""
    needed: bool = False
    field: str = ""
    label: str = ""
    more: str = ""

    @property
    def called(self) -> str:
        """What a form calls it."""
        return self.label or self.name.replace("_", " ").capitalize()


@dataclass(frozen=True)
class Fields:
    """What was read of a table: sound values by field, all that was given by key, the place."""

    values: dict[str, Any]
    said: Mapping[str, object]
    place: Place

    @property
    def given(self) -> frozenset[str]:
        """The names of all keys given, right or wrong."""
        return frozenset(self.said)

    def get(self, name: str, default: Any = None) -> Any:
        """The value of a field, or `default` where it was not given or was wrong."""
        return self.values.get(name, default)

    def say(self, key: str, wrong: str, right: str) -> None:
        """Note a problem of a key of this table."""
        self.place.at(key).say(wrong, right)

    def refuse(self, keys: tuple[str, ...], wrong: str, right: str) -> None:
        """Note the same problem of each of `keys` that was given."""
        for key in keys:
            if key in self.given:
                self.say(key, wrong, right)

    def at_most_one(self, *keys: str) -> None:
        """Refuse two of `keys` together: they say the same thing twice."""
        found = [key for key in keys if key in self.given]
        if len(found) > 1:
            self.say(
                found[1],
                _("means the same as {found}", found=found[0]),
                _("give one of the two"),
            )


@dataclass(frozen=True)
class Table:
    """A table of declared keys.

    `check` notes what the fields say against each other, and runs even where a needed key is
    missing; `build` makes the value, and may count on all needed fields.
    """

    expects: str
    keys: tuple[Key, ...]
    build: Callable[[Fields], Any]
    check: Callable[[Fields], None] = lambda fields: None

    def read(self, given: object, place: Place) -> Any:
        """The built value, or WRONG if it is no table or lacks a needed key."""
        if not isinstance(given, Mapping):
            place.say(
                it_is(given),
                give(self.expects),
            )
            return WRONG
        if place.full:
            return WRONG
        self._refuse_unknown(given, place)
        values: dict[str, Any] = {}
        complete = True
        for key in self.keys:
            value = self._read_key(key, given, place)
            if value is not WRONG:
                values[key.field or key.name] = value
            elif key.needed:
                complete = False
        fields = Fields(values, given, place)
        self.check(fields)
        return self.build(fields) if complete else WRONG

    def _read_key(self, key: Key, given: Mapping[str, object], place: Place) -> Any:
        if key.name in given:
            return key.kind.read(given[key.name], place.at(key.name))
        if key.needed and isinstance(key.kind, Table):
            # Reading an empty table names the keys that are really missing.
            return key.kind.read({}, place.at(key.name))
        if key.needed:
            place.at(key.name).say(_("is missing"), give(key.kind.expects))
        return WRONG

    def _refuse_unknown(self, given: Mapping[str, object], place: Place) -> None:
        names = [key.name for key in self.keys]
        if given.keys() <= set(names):
            return
        for name in given:
            if place.full:
                return
            if name not in names:
                place.at(name).say(_("is not a key of this table"), _did_you_mean(name, names))


@dataclass(frozen=True)
class Many:
    """One value or an array of values, all of one kind; read as a tuple.

    `limit` names the most there may be in `facts/order_sizes.toml`.
    """

    one: FieldType
    limit: str

    @property
    def expects(self) -> str:
        """What to write."""
        return _(
            "{one}, or up to {most} in an array", one=_(self.one.expects), most=most(self.limit)
        )

    def read(self, given: object, place: Place) -> Any:
        """The tuple, or WRONG if any item is."""
        if not isinstance(given, list):
            value = self.one.read(given, place)
            return WRONG if value is WRONG else (value,)
        if place.holds_too_many(len(given), self.limit):
            return WRONG
        values = tuple(self.one.read(item, place.item(i)) for i, item in enumerate(given, 1))
        return WRONG if any(value is WRONG for value in values) else values


@dataclass(frozen=True)
class Either:
    """A plain value, or a table that says more."""

    plain: FieldType
    table: Table

    @property
    def expects(self) -> str:
        """What to write."""
        return _(
            "{plain}, or {table}",
            plain=_(self.plain.expects),
            table=_(self.table.expects),
        )

    def read(self, given: object, place: Place) -> Any:
        """The value of whichever was given, or WRONG."""
        if isinstance(given, Mapping):
            return self.table.read(given, place)
        if isinstance(given, list):
            place.say(_("is an array"), give(self.expects))
            return WRONG
        return self.plain.read(given, place)


@dataclass(frozen=True)
class Names:
    """A table whose keys are names of the maker's own; read as a tuple of (name, value).

    `limit` names the most there may be in `facts/order_sizes.toml`, `labels` what a form calls the
    name and its value.
    """

    what: str
    name: Value
    one: FieldType
    limit: str
    labels: tuple[str, str] = ("", "")

    @property
    def expects(self) -> str:
        """What to write."""
        return _("{what}, up to {most}", what=_(self.what), most=most(self.limit))

    def read(self, given: object, place: Place) -> Any:
        """The pairs in the file's order, or WRONG if any is wrong."""
        if not isinstance(given, Mapping):
            place.say(
                it_is(given),
                give(self.expects),
            )
            return WRONG
        if place.holds_too_many(len(given), self.limit):
            return WRONG
        pairs = tuple(
            (self.name.read(name, place.at(name)), self.one.read(value, place.at(name)))
            for name, value in given.items()
        )
        names = [alike(name) if isinstance(name, str) else name for name, _ in pairs]
        if len(set(names)) < len(names):
            place.say(_("gives a name twice"), _("give each name once"))
        return WRONG if any(WRONG in pair for pair in pairs) else pairs


@lru_cache(maxsize=1024)
def _step(key: str) -> str:
    """A key as it stands in a path."""
    return key if _BARE_KEY.fullmatch(key) else shown(key)


def what_is(given: object) -> str:
    """A TOML value in plain words, short enough for a message."""
    if isinstance(given, bool):
        return "true" if given else "false"
    if isinstance(given, str):
        return _("the text {given}", given=shown(given))
    if isinstance(given, int | float):
        if abs(given) < 1e15:
            return _("the number {given}", given=str(given))
        return _("a number beyond all measure")
    if isinstance(given, date | time):
        return _("a date or a time")
    return _("an array") if isinstance(given, list) else _("a table")


def it_is(given: object) -> Message:
    """What is wrong with a value of another kind than was wanted."""
    return _("is {given}", given=what_is(given))


def give(expects: str) -> Message:
    """What would be right, from the words that say what to write."""
    return _("give {expects}", expects=_(expects))


def shown(text: str) -> str:
    """A text in quotes, cut short, without anything that could upset a terminal."""
    kept = text if len(text) <= _LONGEST_SHOWN else text[: _LONGEST_SHOWN - 3] + "..."
    return f'"{shown_safely(kept)}"'


def _did_you_mean(name: str, names: list[str]) -> str:
    close = get_close_matches(name[:_LONGEST_SHOWN].lower(), names, n=1, cutoff=0.6)
    if close:
        return _('did you mean "{close}"?', close=close[0])
    return _("its keys are {names}", names=names)
