"""Two changes of one thing made apart: they meet field by field, and clash only in the same one.

All rows of a kind (cylinders, fibres) count as one field, for their numbers tell nothing of which
row was meant.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from sockwright.store.items import Kind, State
from sockwright.web.field_labels import full_label
from sockwright.web.keep_forms import texts_of
from sockwright.web.typed import Texts, clean
from sockwright.words.said import joined, said

NOT_KEPT = frozenset({"seen", "was", "more", "less", "fill", "theirs"})
"""What a form sends that is none of its fields."""

_Parts = Mapping[str, Mapping[str, str]]


@dataclass(frozen=True)
class Meeting:
    """What the form says with what was changed meanwhile taken in, and what of it.

    `taken` are the fields taken in. `clashes` tells what is kept in the fields that were changed
    here and meanwhile, and not to the same; there `texts` have what was typed.
    """

    texts: dict[str, str]
    taken: tuple[str, ...]
    clashes: Mapping[str, str]


def meet(kind: Kind, base: State, now: State, mine: Texts) -> Meeting:
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
    return Meeting(texts, tuple(taken), clashes)


def left_to_choose(kind: Kind, base: State, now: State, mine: Texts) -> dict[str, str]:
    """The fields that were changed from `base` meanwhile and in which a form says otherwise."""
    was, kept, typed = (
        _parts(texts) for texts in (texts_of(kind, base), texts_of(kind, now), mine)
    )
    return {
        key: _told(_said(kept, key))
        for key in dict.fromkeys((*was, *kept))
        if _said(kept, key) not in (_said(was, key), _said(typed, key))
    }


def with_theirs(kind: Kind, now: State, mine: Texts, key: str) -> dict[str, str]:
    """The texts of a form with what is kept in one field."""
    theirs = _parts(texts_of(kind, now)).get(key, {})
    return {**{name: text for name, text in mine.items() if _key(name) != key}, **theirs}


def fields_told(kind: Kind, keys: tuple[str, ...]) -> str:
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
    return joined(", ", theirs.values()) if theirs else said("nothing")
