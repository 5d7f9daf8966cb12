"""The fields of a form, made from the declarations by which a document is read."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from sockwright.grammar.declare import Either, Key, Many, Names, Table, Value, WrittenAs
from sockwright.grammar.declare import FieldType as Grammar
from sockwright.i18n.messages import _
from sockwright.store.items import ItemKind
from sockwright.web.forms.items import Field, Group, Item, Option, Rows
from sockwright.web.forms.texts import NAME, VALUE, Texts, at, row, rows_of
from sockwright.workshop.kinds import TYPES, ItemType

TRUTHS = (("true", _("yes")), ("false", _("no")))
AS_ABOVE = _("as for both feet")
TRIVIAL = frozenset({"a name", "a text", "a word", "a colour", "a fibre"})
"""What need not be told of what to write."""


def form_items(
    kind: ItemKind, texts: Texts, added: str = "", removed: str = ""
) -> tuple[Item, ...]:
    """The items of a kind's form with what stands in them.

    `texts` are tidy; `added` is the path of rows that get a blank one, `removed` that of a row that
    was taken away. Rows without any have a blank one.
    """
    maker = _Maker(TYPES[kind], texts, rows_of(texts), added, removed)
    return tuple(maker.items(TYPES[kind].grammar, ""))


@dataclass
class _Maker:
    item: ItemType
    texts: Texts
    rows: Mapping[str, list[int]]
    added: str
    removed: str

    def items(self, table: Table, path: str) -> Iterator[Item]:
        """The items of a table's keys."""
        for key in table.keys:
            place = at(path, key.name)
            if isinstance(key.kind, Table):
                # A table that may say again what the one around it says is closed at first.
                yield self._group(key.kind, place, key, folded=_names(key.kind) <= _names(table))
            elif place not in self.item.left_out:
                yield from self._of_key(key, place)

    def _of_key(self, key: Key, path: str) -> Iterator[Item]:
        kind = key.kind
        if isinstance(kind, Either):
            first, *others = self.items(kind.table, path)
            assert isinstance(first, Field)
            yield replace(first, hint=key.meaning, without=key.default)
            yield from others
        elif isinstance(kind, Many | Names):
            yield self._rows(key, path)
        else:
            assert isinstance(kind, Value)
            yield self._keyed(key, self._field(kind, path, key.called))

    def _group(self, table: Table, path: str, key: Key, folded: bool) -> Group:
        items = tuple(self.items(table, path))
        if folded:
            # Its fields are those of the table it stands in, which tell what to write.
            items = tuple(_untold(replace(one, without=AS_ABOVE)) for one in _fields(items))
        return Group(path, _(key.called), items, key.meaning, folded)

    def _rows(self, key: Key, path: str) -> Rows:
        count = len(self.rows.get(path, ()))
        blank = path == self.added or count == 0
        rows = tuple(self._row(key, path, n) for n in range(1, count + 1 + blank))
        return Rows(
            path,
            _(key.called),
            rows,
            _(key.more),
            key.meaning,
            "" if isinstance(key.kind, Names) else _told(_row_kind(key.kind)),
            key.needed,
            self._fresh(path, len(rows)),
        )

    def _fresh(self, path: str, count: int) -> int:
        """The row that work goes on in: the new one, or that in the place of the one removed."""
        if path == self.added:
            return count
        of, _, number = self.removed.rstrip("]").partition("[")
        return min(int(number), count) if of == path and number.isdecimal() else 0

    def _row(self, key: Key, path: str, number: int) -> Group:
        place = row(path, number)
        numbered = _("{of} {n}", of=_(key.called), n=number)
        # Whether there must be a row, the heading tells.
        fields = tuple(
            replace(one, needed=False) for one in self._in_row(key.kind, place, numbered)
        )
        # What to write is told once, in the first row.
        shown = fields if number == 1 else tuple(map(_untold, fields))
        own = f"{place} row" if shown[0].path == place else place
        return Group(own, numbered, shown)

    def _in_row(self, kind: Grammar, place: str, numbered: str) -> Iterator[Field]:
        if isinstance(kind, Names):
            assert isinstance(kind.one, Value)
            yield self._field(kind.name, at(place, NAME), kind.labels[0])
            yield self._field(kind.one, at(place, VALUE), kind.labels[1])
            return
        one = _row_kind(kind)
        if isinstance(one, Value):
            yield replace(self._bare(one, place), label=numbered)
        else:
            table = one.table if isinstance(one, Either) else one
            assert isinstance(table, Table)
            yield from _fields(self.items(table, place))

    def _field(self, value: Value, path: str, label: str) -> Field:
        return replace(self._bare(value, path), label=_(label), expects=_told(value))

    def _keyed(self, key: Key, field: Field) -> Field:
        if field.path == ".".join(self.item.named_in):
            # An order can do without the name, and a kept thing cannot.
            return replace(field, needed=True)
        truths = dict(TRUTHS) if field.shape == "choice" else {}
        without = truths.get(key.default, key.default)
        return replace(field, hint=key.meaning, without=without, needed=key.needed)

    def _bare(self, value: Value, path: str) -> Field:
        text = self.texts.get(path, "")
        return Field(path, "", _shape(value), text, options=options(value, text), known=value.known)


def _names(table: Table) -> set[str]:
    return {key.name for key in table.keys}


def _untold(one: Field) -> Field:
    """A field that says nothing of what to write; a choice goes on saying what holds without."""
    return replace(one, hint="", expects="", without=one.without if one.shape == "choice" else "")


def _fields(items: Iterable[Item]) -> Iterator[Field]:
    return (one for one in items if isinstance(one, Field))


def _row_kind(kind: Grammar) -> Grammar:
    return kind.one if isinstance(kind, Many) else kind


def _shape(value: Value) -> str:
    if value.words or value.written is WrittenAs.YES_OR_NO:
        return "choice"
    shapes = {
        WrittenAs.LINES: "lines",
        WrittenAs.NUMBER: "number",
        WrittenAs.DAY: "day",
    }
    return shapes.get(value.written, "text")


def _told(kind: Grammar) -> str:
    """What to write, where that needs to be told."""
    if not isinstance(kind, Value) or _shape(kind) in ("choice", "lines", "day"):
        return ""
    return "" if kind.expects in TRIVIAL else kind.expects


def options(value: Value, text: str) -> tuple[Option, ...]:
    """What there is to choose from; what stands there wrongly, too, that it is not lost."""
    if value.written is WrittenAs.YES_OR_NO:
        found = [Option(word, words) for word, words in TRUTHS]
    else:
        found = [Option(word, _(word)) for word in value.words]
    if found and text and text not in [one.value for one in found]:
        found.append(Option(text, text))
    return tuple(found)
