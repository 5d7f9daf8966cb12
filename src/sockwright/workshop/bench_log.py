"""A pair at the machine: its two logs, the plan each sock is knitted by, and what was knitted."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from datetime import datetime
from io import StringIO
from typing import Any

from sqlalchemy.orm import Session

from sockwright.bench.beats import sock_of
from sockwright.bench.follow import Following, following
from sockwright.bench.knitted import as_knitted, possible_extra
from sockwright.bench.log import FIRST, SECOND, Deed, Entry, State, state_of
from sockwright.errors import Problem, QuantityError
from sockwright.order.reader import Fields, Key, Place, Table, Value, give, it_is
from sockwright.order.values import choice
from sockwright.plan import Plan
from sockwright.store import kept
from sockwright.store.bench_entries import KeptEntry, add_entries, damaged_entries, entries_of
from sockwright.store.things import Kind, Thing
from sockwright.words import said
from sockwright.workshop.answers import Planned, Problems, Refused
from sockwright.workshop.grammar import LONGEST_NOTE, moment
from sockwright.workshop.keeping import change_thing
from sockwright.workshop.kept_fields import BEING_MADE, PLANNED, thing_id
from sockwright.workshop.snapshot import plan_of

MOST_ENTRIES = 2_000
"""Entries sent at once: more than two socks have beats."""
FORMULA_SIGNS = ("=", "+", "-", "@")
"""With what a formula begins in a spreadsheet."""
HIGHEST_CLOCK = 1_000_000_000
HIGHEST_PLACE = 100_000


def _whole(least: int, most: int) -> Value:
    expects = said("a whole number, {least} to {most}", least=least, most=most)

    def convert(given: object) -> int:
        if isinstance(given, bool) or not isinstance(given, int):
            raise QuantityError(it_is(given), give(expects))
        if not least <= given <= most:
            raise QuantityError(said("is out of range"), give(expects))
        return given

    return Value(expects, convert)


def _text() -> Value:
    expects = said("a text of at most {most} characters", most=LONGEST_NOTE)

    def convert(given: object) -> str:
        sound = isinstance(given, str) and len(given) <= LONGEST_NOTE and given.isprintable()
        if not sound and not (isinstance(given, str) and _is_prose(given)):
            raise QuantityError(it_is(given), give(expects))
        assert isinstance(given, str)
        return given

    return Value(expects, convert)


def _is_prose(text: str) -> bool:
    return len(text) <= LONGEST_NOTE and text.replace("\n", " ").replace("\t", " ").isprintable()


def _id_or_none() -> Value:
    an_id = thing_id()
    return Value(an_id.expects, lambda given: "" if given == "" else an_id.convert(given))


ENTRY = Table(
    "a table of an entry",
    (
        Key("id", thing_id(), "its id", needed=True),
        Key("clock", _whole(1, HIGHEST_CLOCK), "its place in the order of entries", needed=True),
        Key("device", thing_id(), "the device that made it", needed=True),
        Key("time", moment(), "when it was made", needed=True),
        Key("deed", choice(Deed), "what was done", needed=True),
        Key("by", _whole(-HIGHEST_PLACE, HIGHEST_PLACE), "how many", "0"),
        Key("of", _id_or_none(), "the entry taken back", "none"),
        Key("at", _whole(0, HIGHEST_PLACE), "which beat or instruction", "0"),
        Key("text", _text(), "what was noted", "none"),
    ),
    lambda fields: _entry(fields),
)
"""An entry of a log, as a device sends it."""


def _entry(fields: Fields) -> Entry:
    given = dict(fields.values)
    return Entry(**{**given, "time": given["time"][:40]})


def log_of(session: Session, sock_id: str, which: str) -> tuple[Entry, ...]:
    """The log of one sock of a pair; NotKept if there is no such pair.

    Without entries that do not read any more: `damaged_entries` tells of those.
    """
    kept.get(session, Kind.SOCK, sock_id)
    return tuple(_as_entry(one) for one in _readable(session, sock_id, which))


def add_to_log(
    session: Session, sock_id: str, which: str, given: Sequence[Any], now: datetime
) -> tuple[Entry, ...] | Problems:
    """Keep the entries that are not kept yet, and begin the pair if it was only planned.

    Tells the whole log. Entries that came before are left as they are, so sending twice does no
    harm. NotKept if there is no such pair.
    """
    pair = kept.get(session, Kind.SOCK, sock_id)
    read = read_entries(given)
    if isinstance(read, Problems):
        return read
    new = [KeptEntry(sock_id=sock_id, which=which, received=now, **_plain(entry)) for entry in read]
    if add_entries(session, new) and pair.fields["status"] == PLANNED and not pair.deleted:
        change_thing(session, Kind.SOCK, sock_id, pair.version, now, fields={"status": BEING_MADE})
    session.flush()
    return log_of(session, sock_id, which)


def read_entries(given: Sequence[Any]) -> tuple[Entry, ...] | Problems:
    """The entries, or all that is wrong with them."""
    found: list[Problem] = []
    place = Place("entries", found)
    if len(given) > MOST_ENTRIES:
        place.say(
            said("are {n}, far too many at once", n=len(given)),
            said("send {most} at most", most=MOST_ENTRIES),
        )
        return Problems(tuple(found))
    read = tuple(ENTRY.read(one, place.item(i)) for i, one in enumerate(given, 1))
    return Problems(tuple(found)) if found else read


def plan_at_bench(
    session: Session, pair: Thing, which: str, planned: Planned | None = None
) -> Planned | Problems | Refused:
    """The plan that one sock of a pair is knitted by; `planned` is the pair's, if it is there.

    The second is the plan of the other foot where the feet differ. It follows the first as that
    was really knitted, up to the moment when the second was begun.
    """
    found = planned or plan_of(pair)
    if which == FIRST or not isinstance(found, Planned):
        return found
    own = found.plan.second or found.plan
    extra = followed(session, pair.id, found.plan).follows
    return Planned(found.composed, as_knitted(own, possible_extra(own, extra)))


def followed(session: Session, sock_id: str, first: Plan) -> Following:
    """What the second sock of a pair follows of the first, `first` being that one's plan.

    That is what its own log says it was begun with, and before it is begun the first as it is.
    """
    own, log = first.second or first, log_of(session, sock_id, SECOND)
    return following(
        first,
        own,
        log_of(session, sock_id, FIRST),
        state_of(log, len(sock_of(own).beats)),
        _guessed(session, sock_id, first),
    )


def knitted(session: Session, pair: Thing, which: str) -> Planned | Problems | Refused:
    """One sock of a pair as it was really knitted so far: its plan with what was done otherwise."""
    planned = plan_at_bench(session, pair, which)
    if not isinstance(planned, Planned):
        return planned
    extra = state(session, pair.id, which, planned.plan).extra
    return Planned(planned.composed, as_knitted(planned.plan, possible_extra(planned.plan, extra)))


def state(session: Session, sock_id: str, which: str, plan: Plan) -> State:
    """How far one sock of a pair is."""
    return state_of(log_of(session, sock_id, which), len(sock_of(plan).beats))


def _guessed(session: Session, sock_id: str, first: Plan) -> Mapping[int, int]:
    """Rounds more or fewer in the first sock, as far as known when the second was begun, for a log
    that does not say itself what it follows."""
    second = _readable(session, sock_id, SECOND)
    begun = min((one.received for one in second), default=None)
    known = [
        _as_entry(one)
        for one in _readable(session, sock_id, FIRST)
        if begun is None or one.received <= begun
    ]
    return state_of(known, len(sock_of(first).beats)).extra


def log_as_csv(entries: Sequence[Entry]) -> str:
    """The log as a table, in the order of its clock."""
    page = StringIO()
    writer = csv.writer(page, lineterminator="\n")
    names = list(Entry.__annotations__)
    writer.writerow(names)
    writer.writerows([_cell(getattr(one, name)) for name in names] for one in entries)
    return page.getvalue()


def _cell(value: object) -> str:
    """A value as a spreadsheet takes it: a text that would be a formula there has a ' before it."""
    text = str(value)
    formula = isinstance(value, str) and text.lstrip()[:1] in FORMULA_SIGNS
    return f"'{text}" if text and formula else text


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
    return not found and one.deed in tuple(Deed)


def _as_entry(one: KeptEntry) -> Entry:
    names = Entry.__annotations__
    return Entry(**{**{name: getattr(one, name) for name in names}, "deed": Deed(one.deed)})
