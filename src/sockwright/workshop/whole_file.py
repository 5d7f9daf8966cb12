"""A whole workshop as one JSON document: the same things, the same bytes.

Things are in the order of their kinds and ids, each with all it was before, and then the entries of
the socks' logs; every kind has the SHA-256 of its things, so that a damaged file is refused.
"""

from __future__ import annotations

import hashlib
import json
import tomllib
from dataclasses import dataclass
from math import isfinite
from typing import Any, NoReturn

from sqlalchemy.orm import Session

from sockwright.errors import Problem
from sockwright.order.reader import Place
from sockwright.store import kept
from sockwright.store.bench_entries import KeptEntry, every_entry
from sockwright.store.damage import Damaged
from sockwright.store.moments import moment_text
from sockwright.store.things import Kind, State, Thing, references
from sockwright.words import said
from sockwright.workshop.answers import Problems
from sockwright.workshop.whole_entries import entry_shown, read_entry
from sockwright.workshop.whole_grammar import read_thing

FORMAT = "sockwright workshop"
VERSION = 1
"""Counts up with every change of the document that an older program could not read."""

MOST_BYTES = 100_000_000
"""Larger than any workshop; whatever is larger was picked by mistake."""

THE_FILE = "the file"


@dataclass(frozen=True)
class Whole:
    """A thing with all it was before, by version."""

    thing: Thing
    before: dict[int, State]


@dataclass(frozen=True)
class WholeFile:
    """The things of a file, each after what it refers to, and the entries of the socks' logs."""

    wholes: tuple[Whole, ...]
    entries: tuple[KeptEntry, ...]


BENCH = "bench"
"""Where the entries stand in the file."""

_LISTS = (*map(str, Kind), BENCH)


def write_whole(session: Session) -> bytes:
    """Everything kept, deleted or not, as UTF-8 text; Damaged where a thing does not read, which
    would be lost without a word."""
    for damage in kept.damages(session):
        raise Damaged(damage)
    lists = {str(kind): _things(session, kind) for kind in Kind}
    lists[BENCH] = [entry_shown(entry) for entry in every_entry(session)]
    document = {
        "format": FORMAT,
        "version": VERSION,
        "checksums": {name: checksum(items) for name, items in lists.items()},
        **lists,
    }
    return (json.dumps(document, ensure_ascii=False, indent=1) + "\n").encode()


def read_whole(data: bytes) -> WholeFile | Problems:
    """What such a file holds, or all that is wrong with it."""
    document = _document(data)
    if isinstance(document, Problem):
        return Problems((document,))
    found: list[Problem] = []
    wholes: list[Whole] = []
    for kind in Kind:
        for i, item in enumerate(document[kind], start=1):
            read = read_thing(kind, item, Place(f"{kind}[{i}]", found))
            if read is not None:
                wholes.append(Whole(*read))
    entries = [
        read_entry(item, Place(f"{BENCH}[{i}]", found))
        for i, item in enumerate(document[BENCH], start=1)
    ]
    sound = tuple(entry for entry in entries if entry is not None)
    if not found:
        found += _check_together(wholes, sound)
    return Problems(tuple(found)) if found else WholeFile(tuple(wholes), sound)


def checksum(things: list[Any]) -> str:
    """The SHA-256 of the things of one kind, in hexadecimal."""
    text = json.dumps(things, separators=(",", ":"), allow_nan=False)
    return hashlib.sha256(text.encode()).hexdigest()


def _things(session: Session, kind: Kind) -> list[Any]:
    things = sorted(kept.listed(session, kind, None), key=lambda thing: thing.id)
    return [_shown(thing, kept.earlier(session, thing.id)) for thing in things]


def _shown(thing: Thing, before: dict[int, State]) -> dict[str, Any]:
    return {
        "id": thing.id,
        "version": thing.version,
        "created": moment_text(thing.created),
        "example": thing.example,
        "state": _state(thing.state),
        "earlier": [{"version": version, "state": _state(was)} for version, was in before.items()],
    }


def _state(state: State) -> dict[str, Any]:
    return {
        "name": state.name,
        "document": state.document,
        "fields": state.fields,
        "changed": moment_text(state.changed),
        "deleted": None if state.deleted is None else moment_text(state.deleted),
    }


def _document(data: bytes) -> dict[str, Any] | Problem:
    """The parsed file with sound checksums, or what is wrong with it as a whole."""
    if len(data) > MOST_BYTES:
        return Problem(
            THE_FILE, said("is far too large for a workshop"), said("give an exported workshop")
        )
    try:
        document = json.loads(
            data.decode("utf-8-sig"), parse_constant=_refuse_constant, parse_float=_finite
        )
    except (ValueError, RecursionError):
        if _is_order(data):
            return Problem(
                THE_FILE,
                said("is an order"),
                said("take it in as an order, which has its own place"),
            )
        return Problem(THE_FILE, said("is not JSON"), said("give an exported workshop, unchanged"))
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        return Problem(THE_FILE, said("is no workshop"), said("give an exported workshop"))
    if document.get("version") != VERSION:
        right = said(
            "this program reads version {version}: import it with a newer one", version=VERSION
        )
        return Problem(THE_FILE, said("was exported by another version of Sockwright"), right)
    damaged = [kind for kind in _LISTS if not _is_sound(document, kind)]
    if damaged:
        wrong = said("is damaged: the checksum of {damaged} is wrong", damaged=damaged)
        return Problem(THE_FILE, wrong, said("export it again"))
    return document


def _is_order(data: bytes) -> bool:
    """Whether a file that is no workshop is written as an order is."""
    try:
        return bool({"foot", "wearer", "yarn"} & tomllib.loads(data.decode("utf-8-sig")).keys())
    except (ValueError, RecursionError):
        return False


def _is_sound(document: dict[str, Any], kind: str) -> bool:
    things, sums = document.get(kind), document.get("checksums")
    if not isinstance(things, list) or not isinstance(sums, dict):
        return False
    return bool(sums.get(kind) == checksum(things))


def _refuse_constant(name: str) -> NoReturn:
    raise ValueError(f"{name} is no number")


def _finite(digits: str) -> float:
    """A number of the file; one too large for a computer ("1e999") would be endless."""
    value = float(digits)
    if not isfinite(value):
        raise ValueError(f"{digits} is no number")
    return value


def _check_together(wholes: list[Whole], entries: tuple[KeptEntry, ...]) -> list[Problem]:
    """Ids given once, and references within the file."""
    found = []
    seen: dict[str, Kind] = {}
    for whole in wholes:
        thing = whole.thing
        if thing.id in seen:
            found.append(
                Problem(f"{thing.kind} {thing.id}", said("is there twice"), said("export it again"))
            )
        seen[thing.id] = thing.kind
    for whole in wholes:
        thing = whole.thing
        found += [
            Problem(
                f"{thing.kind} {thing.id}.{path}",
                said("is not in the file"),
                said("export it again"),
            )
            for path, kind, id in references(thing.kind, thing.fields)
            if seen.get(id) is not kind
        ]
    found += [
        Problem(
            f"{BENCH} {entry.id}", said("is of a pair not in the file"), said("export it again")
        )
        for entry in entries
        if seen.get(entry.sock_id) is not Kind.SOCK
    ]
    if len({entry.id for entry in entries}) < len(entries):
        found.append(Problem(BENCH, said("has an entry twice"), said("export it again")))
    return found
