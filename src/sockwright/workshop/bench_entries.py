"""Entries of a log as devices send them: each read by itself, and refused by itself."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from sockwright.bench.log import Deed, Entry
from sockwright.errors import Problem, QuantityError
from sockwright.order.reader import WRONG, Fields, Key, Place, Table, Value, give, it_is
from sockwright.order.values import LONGEST_NOTE, choice, lines_of
from sockwright.words import said
from sockwright.workshop.answers import Problems
from sockwright.workshop.fields import moment, thing_id

MOST_ENTRIES = 2_000
"""Entries sent at once: more than two socks have beats."""
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
class Read:
    """What was sent: the sound entries by their numbers from 1, and those refused."""

    entries: Mapping[int, Entry]
    refused: tuple[RefusedEntry, ...] = ()


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
    return Value(expects, lambda given: lines_of(given, expects))


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

KEPT_KEYS = tuple(
    replace(key, kind=_whole(1, HIGHEST_IN_WHOLE)) if key.name == "clock" else key
    for key in ENTRY.keys
)
"""The same of an entry that was kept already, elsewhere."""


def _entry(fields: Fields) -> Entry:
    given = dict(fields.values)
    return Entry(**{**given, "time": given["time"][:40]})


def read_entries(given: Sequence[Any], most: int = MOST_ENTRIES) -> Read | Problems:
    """The entries, each read by itself; Problems if there are more than `most`."""
    found: list[Problem] = []
    if len(given) > most:
        Place("entries", found).say(
            said("are {n}, far too many at once", n=len(given)),
            said("send {most} at most", most=most),
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
    return Read(sound, tuple(refused))


def in_reach(read: Read, known: Mapping[str, int]) -> Read:
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
    return Read(dict(sorted(sound.items())), tuple(every))


def _far(number: int, entry: Entry) -> Problem:
    return Problem(
        Place("entries", []).item(number).at("clock").path,
        said("{clock} is far ahead of all that is kept of this sock", clock=entry.clock),
        said("give at most {most} more than that", most=MOST_AHEAD),
    )


def _id_of(given: object) -> str:
    """The id of an entry that has a sound one, else ""."""
    id = given.get("id") if isinstance(given, Mapping) else None
    try:
        return str(thing_id().convert(id))
    except QuantityError:
        return ""
