"""A whole workshop as one JSON document, and two workshops joined.

Things are in the order of their kinds and ids, each with all it was before, and then the entries of
the socks' logs; every kind has the SHA-256 of its things, so that a damaged file is refused.
"""

from __future__ import annotations

import hashlib
import json
import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import partial
from typing import Any

from sqlalchemy.orm import Session

from sockwright.errors import Problem
from sockwright.grammar.bounds import most
from sockwright.grammar.declare import Place
from sockwright.i18n import _
from sockwright.store import kept
from sockwright.store.damage import Damaged
from sockwright.store.items import ItemKind, State, Thing, same
from sockwright.store.kept import KeptEntry, add_entries, every_entry
from sockwright.store.models import moment_text, references
from sockwright.workshop.answers import Problems
from sockwright.workshop.backup_grammar import entry_shown, read_entry, read_thing
from sockwright.workshop.checking import examine
from sockwright.workshop.kinds import TYPES
from sockwright.workshop.whole_stream import Items, NotJson, TooMuch, outline, value_of

FORMAT = "sockwright workshop"
VERSION = max(one.since for one in TYPES.values())
"""Counts up with every change of the document that an older program could not read."""

THE_FILE = "the file"

MOST_LOOKED_AT = 20_000
"""Bytes of a file that is no workshop in which is looked for what else it is."""

_WRITTEN_AS_ORDER = re.compile(rb"^[ \t]*\[+[ \t]*(foot|wearer|yarn)\b", re.MULTILINE)


@dataclass(frozen=True)
class ThingWithVersions:
    """A thing with all it was before, by version."""

    thing: Thing
    before: dict[int, State]


@dataclass(frozen=True)
class WholeFile:
    """The things of a file, each after what it refers to, and the entries of the socks' logs."""

    wholes: tuple[ThingWithVersions, ...]
    entries: tuple[KeptEntry, ...]


BENCH = "bench"
"""Where the entries stand in the file."""

Keep = Callable[[Any, Place], None]
"""Keeps an item of a list, or notes at its place what is wrong with it."""

_ENCODER = json.JSONEncoder(separators=(",", ":"), allow_nan=False)
_SINCE = {**{str(kind): TYPES[kind].since for kind in ItemKind}, BENCH: 1}
"""The version since which a file has each list."""


def write_whole(session: Session) -> bytes:
    """Everything kept, deleted or not, as UTF-8 text; the entries of logs a line each.

    Damaged where a thing does not read, which would be lost without a word.
    """
    for damage in kept.damages(session):
        raise Damaged(damage)
    things = {str(kind): _things(session, kind) for kind in ItemKind}
    entries = [entry_shown(entry) for entry in every_entry(session)]
    document = {
        "format": FORMAT,
        "version": VERSION,
        "checksums": {name: checksum(items) for name, items in {**things, BENCH: entries}.items()},
        **things,
    }
    text = json.dumps(document, ensure_ascii=False, indent=1).removesuffix("\n}")
    lines = ",\n".join(
        json.dumps(entry, ensure_ascii=False, separators=(",", ":")) for entry in entries
    )
    return f'{text},\n "{BENCH}": [{lines}]\n}}\n'.encode()


def read_whole(data: bytes) -> WholeFile | Problems:
    """What such a file holds, or all that is wrong with it."""
    try:
        lists = _lists(data)
        return lists if isinstance(lists, Problems) else _read(lists)
    except TooMuch as error:
        return _problem(error.wrong, error.right)
    except NotJson:
        return _no_json(data)


def _read(lists: dict[str, tuple[Items, str]]) -> WholeFile | Problems:
    """What is in the lists, each with the checksum that it should have."""
    found: list[Problem] = []
    wholes: list[ThingWithVersions] = []
    entries: list[KeptEntry] = []
    damaged: list[str] = []

    def keep_thing(kind: ItemKind, item: Any, place: Place) -> None:
        read = read_thing(kind, item, place)
        if read is None:
            return
        whole = ThingWithVersions(*read)
        wholes.append(whole)
        for version, state in ((None, whole.thing.state), *whole.before.items()):
            at = place if version is None else place.at("earlier").at(f"version {version}")
            examine(kind, state.document, at)

    def keep_entry(item: Any, place: Place) -> None:
        read = read_entry(item, place)
        if read is not None:
            entries.append(read)

    keepers: dict[str, Keep] = {str(kind): partial(keep_thing, kind) for kind in ItemKind}
    keepers[BENCH] = keep_entry
    for name, keep in keepers.items():
        if name in lists and not _is_sound(name, *lists[name], keep, found):
            damaged.append(name)
    if damaged:
        return _damaged(damaged)
    if not found:
        found += _check_together(wholes, tuple(entries))
    told = tuple(found[: most("problems_told")])
    return Problems(told) if told else WholeFile(tuple(wholes), tuple(entries))


def _is_sound(name: str, items: Items, sum: str, keep: Keep, found: list[Problem]) -> bool:
    """Keep each item of a list; whether all of them together have that checksum.

    When so many problems are found that no more are told, the rest is only added up.
    """
    total = hashlib.sha256(b"[")
    for i, item in enumerate(items, start=1):
        text = _ENCODER.encode(item)
        total.update((text if i == 1 else f",{text}").encode())
        if len(found) < most("problems_told"):
            keep(item, Place(f"{name}[{i}]", found))
    total.update(b"]")
    return total.hexdigest() == sum


def checksum(things: list[Any]) -> str:
    """The SHA-256 of the things of one kind, in hexadecimal."""
    return hashlib.sha256(_ENCODER.encode(things).encode()).hexdigest()


def _things(session: Session, kind: ItemKind) -> list[Any]:
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


def _lists(data: bytes) -> dict[str, tuple[Items, str]] | Problems:
    """The lists of the file with their checksums, or what is wrong with it as a whole."""
    parts = outline(data)
    head = {name: value_of(part) for name, part in parts.items() if isinstance(part, bytes)}
    if head.get("format") != FORMAT:
        return _problem(_("is not a workshop"), _("give an exported workshop"))
    version: Any = head.get("version")
    if version not in range(1, VERSION + 1):
        right = _(
            "this Sockwright reads version {version}: import it with a newer one", version=VERSION
        )
        return _problem(_("was exported by another version of Sockwright"), right)
    sums = head.get("checksums")
    lists = {}
    wanted = [name for name, since in _SINCE.items() if since <= version]
    for name in wanted:
        items, sum = parts.get(name), sums.get(name) if isinstance(sums, dict) else None
        if isinstance(items, Items) and isinstance(sum, str):
            lists[name] = (items, sum)
    lacking = [name for name in wanted if name not in lists]
    return _damaged(lacking) if lacking else lists


def _no_json(data: bytes) -> Problems:
    """What is said of a file that is no JSON object: what it is, as far as a look at it tells."""
    if _WRITTEN_AS_ORDER.search(data[:MOST_LOOKED_AT]):
        return _problem(_("is an order"), _("import it as an order instead"))
    try:
        value_of(data if len(data) <= MOST_LOOKED_AT else b"")
    except NotJson:
        return _problem(_("is not JSON"), _("give an exported workshop, unchanged"))
    return _problem(_("is not a workshop"), _("give an exported workshop"))


def _damaged(lists: Iterable[str]) -> Problems:
    wrong = _("is damaged: the checksum of {damaged} is wrong", damaged=list(lists))
    return _problem(wrong, _("export it again"))


def _problem(wrong: str, right: str) -> Problems:
    return Problems((Problem(THE_FILE, wrong, right),))


def _check_together(
    wholes: list[ThingWithVersions], entries: tuple[KeptEntry, ...]
) -> list[Problem]:
    """Ids given once, and references within the file."""
    found = []
    seen: dict[str, ItemKind] = {}
    for whole in wholes:
        thing = whole.thing
        if thing.id in seen:
            found.append(
                Problem(f"{thing.kind} {thing.id}", _("is there twice"), _("export it again"))
            )
        seen[thing.id] = thing.kind
    for whole in wholes:
        thing = whole.thing
        found += [
            Problem(
                f"{thing.kind} {thing.id}.{path}",
                _("is not in the file"),
                _("export it again"),
            )
            for path, kind, id in references(thing.kind, thing.fields)
            if seen.get(id) is not kind
        ]
    found += [
        Problem(f"{BENCH} {entry.id}", _("is of a pair not in the file"), _("export it again"))
        for entry in entries
        if seen.get(entry.sock_id) is not ItemKind.SOCK
    ]
    if len({entry.id for entry in entries}) < len(entries):
        found.append(Problem(BENCH, _("has an entry twice"), _("export it again")))
    return found


@dataclass(frozen=True)
class JoinResult:
    """What became of the things taken in.

    `new` were not here, `newer` brought ours up to date, `known` told nothing new, and `differed`
    were changed here and there: each holds as it was changed last, and the other is a version
    before. `entries` of socks' logs were new.
    """

    new: tuple[Thing, ...] = ()
    newer: tuple[Thing, ...] = ()
    known: tuple[Thing, ...] = ()
    differed: tuple[Thing, ...] = ()
    entries: int = 0


def join(session: Session, file: WholeFile) -> JoinResult | Problems:
    """Take in the things, each after what it refers to, and the logs' entries that are new."""
    wholes = file.wholes
    ours = {thing.id: thing for kind in ItemKind for thing in kept.listed(session, kind, None)}
    taken = [
        Problem(
            f"{kind} {id}",
            _("has the id of another entry here"),
            _("give each entry its own"),
        )
        for kind, id in ((whole.thing.kind, whole.thing.id) for whole in wholes)
        if id in ours and ours[id].kind is not kind
    ]
    if taken:
        return Problems(tuple(taken))
    found: dict[str, list[Thing]] = {"new": [], "newer": [], "known": [], "differed": []}
    for whole in wholes:
        what, thing = _take(session, whole, ours.get(whole.thing.id))
        found[what].append(thing)
    entries = add_entries(session, file.entries)
    return JoinResult(**{what: tuple(things) for what, things in found.items()}, entries=entries)


def _take(session: Session, whole: ThingWithVersions, ours: Thing | None) -> tuple[str, Thing]:
    if ours is None:
        return "new", kept.add(session, whole.thing, whole.before)
    theirs = [*whole.before.values(), whole.thing.state]
    known = [*kept.earlier(session, ours.id).values(), ours.state]
    unknown = [state for state in theirs if not _among(state, known)]
    if not unknown:
        return "known", ours
    is_newer = not _among(whole.thing.state, known) and _among(ours.state, theirs)
    states = unknown if is_newer else _with_the_last(unknown, ours.state, whole.thing.state)
    example = ours.example and whole.thing.example
    thing = ours
    for state in states:
        thing = kept.change(session, ours.kind, ours.id, thing.version, state, example)
    return ("newer" if is_newer else "differed"), thing


def _with_the_last(unknown: list[State], ours: State, theirs: State) -> list[State]:
    """The states to write so that the one changed last holds and the other is just before it."""
    others = [state for state in unknown if state is not theirs]
    if len(others) == len(unknown):
        return [*others, ours]
    if theirs.changed > ours.changed:
        return [*others, *([ours] if others else []), theirs]
    return [*others, theirs, ours]


def _among(state: State, states: list[State]) -> bool:
    """Whether the same was said at the same moment."""
    return any(one.changed == state.changed and same(one, state) for one in states)
