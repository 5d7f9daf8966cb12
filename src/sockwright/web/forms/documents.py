"""The texts of a form as a document, as typed: numbers as numbers, what is empty left out.

What was not touched stays to the letter what it was in the document the form was made from: in
short or at length, one value or an array of one, "10 %" or 0.1.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any, Final

from sockwright.errors import Problem
from sockwright.grammar.declare import (
    Either,
    FieldType,
    Many,
    Names,
    Table,
    Value,
    WrittenAs,
    give,
    shown,
)
from sockwright.i18n.messages import _
from sockwright.web.forms.offers import accepts, as_read
from sockwright.web.forms.texts import (
    NAME,
    VALUE,
    Texts,
    at,
    clean,
    row,
    rows_of,
    short_key,
    text_of,
)
from sockwright.web.forms.texts import typed as typed_texts

ABSENT: Final = object()
"""What is not given."""

_NUMBER = re.compile(r"[+-]?[0-9]{1,25}(?:[.,][0-9]{1,25})?(?:[eE][+-]?[0-9]{1,3})?")
_THOUSANDS = re.compile(r"[+-]?[0-9]{1,3}(?:,[0-9]{3})+")
_TRUTHS = {"true": True, "false": False}


@dataclass(frozen=True)
class FormDocument:
    """A document, and what only its form can say is wrong with it."""

    document: dict[str, Any]
    problems: tuple[Problem, ...] = ()


def written(table: FieldType, texts: Texts, before: Mapping[str, Any]) -> FormDocument:
    """The document of a tidy form that was made from the document `before` ({} for a new one)."""
    writer = _Writer(texts, rows_of(texts))
    document = writer.read(table, "", before)
    return FormDocument({} if document is ABSENT else document, tuple(writer.problems))


def number_of(text: str) -> int | float | None:
    """The number that a text is, with a decimal point or comma; None if it is none.

    "1,250" is none: whoever writes it may mean one or a thousand.
    """
    if not _NUMBER.fullmatch(text) or _THOUSANDS.fullmatch(text):
        return None
    plain = text.replace(",", ".")
    return int(plain) if plain.lstrip("+-").isdecimal() else float(plain)


def as_meant(kind: Value, text: str, number: float) -> int | float | str:
    """The number, or "75 %" for a 75 that can only be a share in per cent."""
    percent = f"{text} %"
    if abs(number) > 1 and not accepts(kind, number) and accepts(kind, percent):
        return percent
    return number


@dataclass
class _Writer:
    """Walks a declaration over the texts of a form."""

    texts: Texts
    rows: Mapping[str, list[int]]
    problems: list[Problem] = field(default_factory=list)

    def read(self, kind: FieldType, path: str, before: Any) -> Any:
        """What the form says of `path`, or ABSENT; `before` is what it was made from."""
        if isinstance(kind, Table):
            return self._table(kind, path, before)
        if isinstance(kind, Many):
            return self._many(kind, path, before)
        if isinstance(kind, Either):
            return self._either(kind, path, before)
        if isinstance(kind, Names):
            return self._names(kind, path, before)
        assert isinstance(kind, Value)
        return self._value(kind, path, before)

    def _value(self, kind: Value, path: str, before: Any) -> Any:
        text = clean(self.texts.get(path, ""))
        if before is not ABSENT and text == clean(text_of(kind, before)):
            return before
        return self._as_typed(kind, path, text) if text else ABSENT

    def _as_typed(self, kind: Value, path: str, text: str) -> Any:
        if kind.written is WrittenAs.YES_OR_NO:
            return _TRUTHS.get(text, text)
        if kind.written not in (WrittenAs.NUMBER, WrittenAs.NUMBER_OR_TEXT):
            return as_read(kind, path, text)
        number = number_of(text)
        if number is None and kind.written is WrittenAs.NUMBER:
            self._say(path, _("{given} is not a number", given=shown(text)), give(kind.expects))
        return as_read(kind, path, text) if number is None else as_meant(kind, text, number)

    def _table(self, table: Table, path: str, before: Any) -> Any:
        was = before if isinstance(before, Mapping) else {}
        keys = {key.name: key for key in table.keys}
        names = [*(name for name in was if name in keys), *(n for n in keys if n not in was)]
        read = {
            name: self.read(keys[name].kind, at(path, name), was.get(name, ABSENT))
            for name in names
        }
        found = {name: value for name, value in read.items() if value is not ABSENT}
        return found if found or before == {} else ABSENT

    def _either(self, kind: Either, path: str, before: Any) -> Any:
        short, was_table = short_key(kind).name, isinstance(before, Mapping)
        was = before if was_table or before is ABSENT else {short: before}
        table = self._table(kind.table, path, was)
        if table is ABSENT or was_table or table.keys() != {short}:
            return table
        return table[short]

    def _many(self, kind: Many, path: str, before: Any) -> Any:
        was = [] if before is ABSENT else before if isinstance(before, list) else [before]
        left = dict(enumerate(was, 1))
        values = []
        for number in self.rows.get(path, ()):
            place = row(path, number)
            values.append(self.read(kind.one, place, self._row_before(kind.one, place, left)))
        values = [value for value in values if value is not ABSENT]
        if values == was and before is not ABSENT:
            return before
        return values or ABSENT

    def _row_before(self, kind: FieldType, place: str, left: dict[int, Any]) -> Any:
        """What a row was: the one that says the same, else the one of its number."""
        texts = {
            path: clean(text)
            for path, text in self.texts.items()
            if clean(text) and (path == place or path.startswith(f"{place}."))
        }
        for number, value in left.items():
            if dict(_said(kind, value, place)) == texts:
                return left.pop(number)
        number = int(place.rpartition("[")[2].rstrip("]"))
        return left.pop(number, ABSENT)

    def _names(self, kind: Names, path: str, before: Any) -> Any:
        was = before if isinstance(before, Mapping) else {}
        known = {clean(name): name for name in was}
        found: dict[str, Any] = {}
        for number in self.rows.get(path, ()):
            place = row(path, number)
            typed = clean(self.texts.get(at(place, NAME), ""))
            name = known.get(typed, typed)
            value = self.read(kind.one, at(place, VALUE), was.get(name, ABSENT))
            if name in found:
                self._say(at(place, NAME), _("gives a name twice"), _("give each name once"))
            elif value is ABSENT:
                self._say(at(place, VALUE), _("is missing"), give(kind.one.expects))
                found[name] = ""
            else:
                found[name] = value
        return found if found or before == {} else ABSENT

    def _say(self, path: str, wrong: str, right: str) -> None:
        self.problems.append(Problem(path, wrong, right))


def _said(kind: FieldType, value: Any, place: str) -> list[tuple[str, str]]:
    """The texts of a row that say something."""
    pairs = ((path, clean(text)) for path, text in typed_texts(kind, value, place))
    return [(path, text) for path, text in pairs if text]
