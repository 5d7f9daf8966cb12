"""Names known here, such as fibres and colours: typed in the reader's language, kept in English."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from sockwright.order.reader import Either, Many, Names, Table, Value
from sockwright.order.reader import Kind as Grammar
from sockwright.store.items import Kind
from sockwright.web.field_labels import plain_path
from sockwright.web.typed import NAME, at
from sockwright.words.tongue import Tongue
from sockwright.workshop.kinds import document_kind


def understood(
    kind: Kind, pairs: Iterable[tuple[str, str]], tongue: Tongue
) -> list[tuple[str, str]]:
    """The texts of a form, names that are known here as the order file has them."""
    known = dict(_known(document_kind(kind), ""))
    return [(path, _name(text, known.get(plain_path(path), ()), tongue)) for path, text in pairs]


def _name(text: str, known: tuple[str, ...], tongue: Tongue) -> str:
    told = {tongue.tell(name): name for name in reversed(known)}
    if text.strip() in told:
        return told[text.strip()]
    typed = text.strip().casefold()
    if typed in known:
        return text
    return next((name for name in known if tongue.tell(name).casefold() == typed), text)


def _known(kind: Grammar, path: str) -> Iterator[tuple[str, tuple[str, ...]]]:
    """The names that the fields of a declaration know, by their paths without numbers."""
    if isinstance(kind, Table):
        for key in kind.keys:
            yield from _known(key.kind, at(path, key.name))
    elif isinstance(kind, Many):
        yield from _known(kind.one, path)
    elif isinstance(kind, Either):
        yield from _known(kind.table, path)
    elif isinstance(kind, Names):
        yield from _known(kind.name, at(path, NAME))
    elif isinstance(kind, Value) and kind.known:
        yield path, kind.known
