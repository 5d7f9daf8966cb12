"""A pair at the machine: what devices send, what each sock is knitted by, what was knitted."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass, replace
from datetime import datetime
from io import StringIO
from typing import Any

from sqlalchemy.orm import Session

from sockwright.bench.counting import count_steps_in, sock_of
from sockwright.bench.follow import Following, following
from sockwright.bench.log import (
    FIRST,
    SECOND,
    WHICH,
    Action,
    Entry,
    Record,
    State,
    as_knitted,
    more_by_section,
    possible_extra,
    record_of,
    state_of,
)
from sockwright.errors import Problem, QuantityError
from sockwright.grammar.declare import WRONG, Fields, Key, Place, Table, Value
from sockwright.grammar.values import LONGEST_NOTE, choice, lines_of
from sockwright.i18n import _
from sockwright.i18n.printable import cell
from sockwright.plan.make import PairPlan, SockPlan
from sockwright.store import kept
from sockwright.store.items import ItemKind, Thing
from sockwright.store.kept import KeptEntry, add_entries, clocks_of, damaged_entries, entries_of
from sockwright.workshop.answers import Planned, PlannedSock, Problems, Refused
from sockwright.workshop.fields import BEING_MADE, PLANNED, moment, thing_id, whole
from sockwright.workshop.keeping import change_thing

MOST_ENTRIES = 2_000
"""Entries sent at once: more than two socks have counts."""
MOST_IN_FILE = 10_000
"""Entries of one saved log: more than a file of the largest size can hold of real ones."""
MOST_AHEAD = 10_000
"""How far the clock of an entry may be ahead of all that is kept: far more than a workshop that was
put back to an older copy has lost of one sock, and far too little to use the clock up."""
HIGHEST_CLOCK = 2_000_000_000
"""The last clock: what every database holds in four bytes."""
HIGHEST_IN_WHOLE = 1_500_000_000
"""The last clock that a file of a whole workshop may have, so that counting can go on from it."""
HIGHEST_PLACE = 100_000


@dataclass(frozen=True)
class RefusedEntry:
    """An entry that cannot be kept: its number among those sent, its id if it has one, and why."""

    number: int
    id: str
    problems: tuple[Problem, ...]


@dataclass(frozen=True)
class ReadEntries:
    """What was sent: the sound entries by their numbers from 1, and those refused."""

    entries: Mapping[int, Entry]
    refused: tuple[RefusedEntry, ...] = ()


def _text() -> Value:
    expects = _("a text of at most {most} characters", most=LONGEST_NOTE)
    return Value(expects, lambda given: lines_of(given, expects))


def _id_or_none() -> Value:
    an_id = thing_id()
    return Value(an_id.expects, lambda given: "" if given == "" else an_id.convert(given))


ENTRY = Table(
    "a table of an entry",
    (
        Key("id", thing_id(), "its id", needed=True),
        Key("clock", whole(1, HIGHEST_CLOCK), "its place in the order of entries", needed=True),
        Key("device", thing_id(), "the device that made it", needed=True),
        Key("time", moment(), "when it was made", needed=True),
        Key("deed", choice(Action), "what was done", needed=True),
        Key("by", whole(-HIGHEST_PLACE, HIGHEST_PLACE), "how many", "0"),
        Key("of", _id_or_none(), "the entry taken back", "none"),
        Key("at", whole(0, HIGHEST_PLACE), "which beat or instruction", "0"),
        Key("text", _text(), "what was noted", "none"),
    ),
    lambda fields: _entry(fields),
)
"""An entry of a log, as a device sends it."""

KEPT_KEYS = tuple(
    replace(key, kind=whole(1, HIGHEST_IN_WHOLE)) if key.name == "clock" else key
    for key in ENTRY.keys
)
"""The same of an entry that was kept already, elsewhere."""


def _entry(fields: Fields) -> Entry:
    given = dict(fields.values)
    return Entry(**{**given, "time": given["time"][:40]})


def read_entries(given: Sequence[Any], most: int = MOST_ENTRIES) -> ReadEntries | Problems:
    """The entries, each read by itself; Problems if there are more than `most`."""
    found: list[Problem] = []
    if len(given) > most:
        Place("entries", found).say(
            _("are {n}, far too many at once", n=len(given)),
            _("send {most} at most", most=most),
        )
        return Problems(tuple(found))
    sound, refused = dict[int, Entry](), list[RefusedEntry]()
    for number, one in enumerate(given, 1):
        place = Place("entries", []).item(number)
        entry = ENTRY.read(one, place)
        if place.problems or entry is WRONG:
            refused.append(RefusedEntry(number, _id_of(one), tuple(place.problems)))
        else:
            sound[number] = entry
    return ReadEntries(sound, tuple(refused))


def in_reach(read: ReadEntries, known: Mapping[str, int]) -> ReadEntries:
    """What may be kept beside the entries `known`, whose clocks stand by their ids.

    A device counts on from the highest clock it has seen, so the clocks of what it sends come in a
    row. One that is far ahead of all that is kept, and of the sound entries before it, was made
    up: to take it would leave no clock for what is counted after it.
    """
    highest = max(known.values(), default=0) + MOST_AHEAD
    sound, far = dict[int, Entry](), list[RefusedEntry]()
    for number, entry in sorted(read.entries.items(), key=lambda item: item[1].clock):
        if entry.id in known or entry.clock <= highest:
            sound[number] = entry
            highest += 1
        else:
            far.append(RefusedEntry(number, entry.id, (_far(number, entry),)))
    every = sorted([*read.refused, *far], key=lambda one: one.number)
    return ReadEntries(dict(sorted(sound.items())), tuple(every))


def _far(number: int, entry: Entry) -> Problem:
    return Problem(
        Place("entries", []).item(number).at("clock").path,
        _("{clock} is far ahead of everything saved of this sock", clock=entry.clock),
        _("give at most {most} more than that", most=MOST_AHEAD),
    )


def _id_of(given: object) -> str:
    """The id of an entry that has a sound one, else ""."""
    id = given.get("id") if isinstance(given, Mapping) else None
    try:
        return str(thing_id().convert(id))
    except QuantityError:
        return ""


@dataclass(frozen=True)
class Added:
    """The whole log of a sock after what was sent, and what of that was refused.

    `taken` tells how many of those sent are sound, those that were kept before among them.
    """

    log: tuple[Entry, ...]
    refused: tuple[RefusedEntry, ...] = ()
    taken: int = 0


def log_of(session: Session, sock_id: str, which: str) -> tuple[Entry, ...]:
    """The log of one sock of a pair; NotKept if there is no such pair.

    Without entries that do not read any more: `damaged_entries` tells of those.
    """
    kept.get(session, ItemKind.SOCK, sock_id)
    return tuple(_as_entry(one) for one in _readable(session, sock_id, which))


def add_to_log(
    session: Session, sock_id: str, which: str, given: ReadEntries, now: datetime
) -> Added:
    """Keep the entries that are not kept yet, and begin the pair if it was only planned.

    Each entry is decided by itself: what cannot be kept comes back with its reasons, and holds
    nothing else back. Entries that came before are left as they are, so sending twice does no
    harm. NotKept if there is no such pair.
    """
    pair = kept.get(session, ItemKind.SOCK, sock_id)
    known = clocks_of(session, sock_id, which)
    read = in_reach(given, known)
    new = [
        KeptEntry(sock_id=sock_id, which=which, received=now, **_plain(entry))
        for entry in read.entries.values()
    ]
    if add_entries(session, new) and pair.fields["status"] == PLANNED and not pair.deleted:
        change_thing(
            session, ItemKind.SOCK, sock_id, pair.version, now, fields={"status": BEING_MADE}
        )
    session.flush()
    return Added(log_of(session, sock_id, which), read.refused, len(read.entries))


def plan_at_bench(
    session: Session, pair: Thing, which: str, planned: Planned | Problems | Refused
) -> PlannedSock | Problems | Refused:
    """The plan that one sock of a pair is knitted by; `planned` is the pair's.

    The second is the plan of the other foot where the feet differ. It follows the first as that
    was really knitted, up to the moment when the second was begun.
    """
    if not isinstance(planned, Planned):
        return planned
    first, own = planned.pair.both
    if which == FIRST:
        return PlannedSock(planned.composed, first)
    extra = followed(session, pair.id, planned.pair).follows
    return PlannedSock(planned.composed, as_knitted(own, possible_extra(own, extra), first))


def followed(session: Session, sock_id: str, pair: PairPlan) -> Following:
    """What the second sock of a pair follows of the first.

    That is what its own log says it was begun with, and before it is begun the first as it is.
    """
    (first, own), log = pair.both, log_of(session, sock_id, SECOND)
    return following(
        first,
        own,
        log_of(session, sock_id, FIRST),
        state_of(log, count_steps_in(own)),
        _guessed(session, sock_id, first),
    )


def knitted(
    session: Session, pair: Thing, which: str, planned: Planned | Problems | Refused
) -> PlannedSock | Problems | Refused:
    """One sock of a pair as it was really knitted so far: its plan with what was done otherwise."""
    own = plan_at_bench(session, pair, which, planned)
    if not isinstance(own, PlannedSock) or not isinstance(planned, Planned):
        return own
    extra = state(session, pair.id, which, own.plan).extra
    made = as_knitted(own.plan, possible_extra(own.plan, extra), _other(planned.pair, which))
    return PlannedSock(own.composed, made)


def _other(pair: PairPlan, which: str) -> SockPlan:
    """The other sock of the pair."""
    first, second = pair.both
    return second if which == FIRST else first


def state(session: Session, sock_id: str, which: str, plan: SockPlan) -> State:
    """How far one sock of a pair is."""
    return state_of(log_of(session, sock_id, which), count_steps_in(plan))


def _guessed(session: Session, sock_id: str, first: SockPlan) -> Mapping[int, int]:
    """Rounds more or fewer in the first sock, as far as known when the second was begun, for a log
    that does not say itself what it follows."""
    second = _readable(session, sock_id, SECOND)
    begun = min((one.received for one in second), default=None)
    known = [
        _as_entry(one)
        for one in _readable(session, sock_id, FIRST)
        if begun is None or one.received <= begun
    ]
    return state_of(known, count_steps_in(first)).extra


def log_as_csv(entries: Sequence[Entry]) -> str:
    """The log as a table, in the order of its clock."""
    page = StringIO()
    writer = csv.writer(page)  # ends lines as RFC 4180 has it, and puts texts with such in quotes
    names = list(Entry.__annotations__)
    writer.writerow(names)
    writer.writerows([cell(getattr(one, name)) for name in names] for one in entries)
    return page.getvalue()


def _plain(entry: Entry) -> dict[str, Any]:
    return {**asdict(entry), "deed": entry.deed.value}


def _readable(session: Session, sock_id: str, which: str) -> list[KeptEntry]:
    """The entries whose deed is one there is and whose moment reads."""
    return [one for one in entries_of(session, sock_id, which) if is_readable(one)]


def damaged(session: Session, sock_id: str) -> tuple[str, ...]:
    """The ids, as far as they read, of a pair's entries that do not."""
    every = (one for which in (FIRST, SECOND) for one in entries_of(session, sock_id, which))
    odd = (one.id for one in every if not is_readable(one))
    return (*damaged_entries(session, sock_id), *odd)


def is_readable(one: KeptEntry) -> bool:
    """Whether an entry says what was done, and when."""
    found: list[Problem] = []
    moment().read(one.time, Place("time", found))
    return not found and one.deed in tuple(Action)


def _as_entry(one: KeptEntry) -> Entry:
    names = Entry.__annotations__
    return Entry(**{**{name: getattr(one, name) for name in names}, "deed": Action(one.deed)})


@dataclass(frozen=True)
class SockAtBench:
    """One sock of a pair at the machine.

    `planned` is its plan as it was kept, `followed` the one it is knitted by (the second sock's
    follows the first), `knitted` that with the rounds more and fewer of its own log. `more` are
    the rounds more than planned (fewer: below 0) by section; `impossible` those of the log, by
    instruction, that the plan cannot have. `following` is what the second follows of the first.
    """

    which: str
    planned: SockPlan
    followed: SockPlan
    knitted: SockPlan
    entries: tuple[Entry, ...]
    record: Record
    more: dict[str, int]
    impossible: dict[int, int]
    following: Following | None = None


def socks_at_bench(
    session: Session, pair: Thing, outcome: Planned | Problems | Refused
) -> tuple[SockAtBench, ...] | Problems | Refused:
    """Both socks of a pair, the first first; `outcome` is the pair's plan."""
    if not isinstance(outcome, Planned):
        return outcome
    found = []
    for which, own in zip(WHICH, outcome.pair.both, strict=True):
        knitted_by = plan_at_bench(session, pair, which, outcome)
        assert isinstance(knitted_by, PlannedSock)  # as it was planned at all
        other = _other(outcome.pair, which)
        sock = _sock(own, knitted_by.plan, other, which, log_of(session, pair.id, which))
        follows = None if which == FIRST else followed(session, pair.id, outcome.pair)
        found.append(replace(sock, following=follows))
    return tuple(found)


def _sock(
    own: SockPlan, followed: SockPlan, other: SockPlan, which: str, entries: tuple[Entry, ...]
) -> SockAtBench:
    record = record_of(entries, sock_of(followed))
    extra = record.state.extra
    possible = possible_extra(followed, extra)
    knitted = as_knitted(followed, possible, other) if possible else followed
    return SockAtBench(
        which=which,
        planned=own,
        followed=followed,
        knitted=knitted,
        entries=entries,
        record=record,
        more=more_by_section(own, knitted),
        impossible={number: by for number, by in extra.items() if number not in possible},
    )
