"""The log of a sock at the machine, and the state that follows from it and from nothing else.

A log is a set of entries; several devices may add to it, in any order and more than once. Entries
are put in order by their clock (each device counts on from the highest it has seen), so every
device that has the same entries is in the same state.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from enum import StrEnum

FIRST, SECOND = "first", "second"
WHICH = (FIRST, SECOND)
"""The socks of a pair, by their turn; each has a log of its own."""


class Deed(StrEnum):
    """What an entry says was done."""

    BEGIN = "begin"
    COUNT = "count"
    UNDO = "undo"
    PLACE = "place"
    EXTRA = "extra"
    NOTE = "note"
    DEVIATION = "deviation"


MOVING = (Deed.COUNT, Deed.PLACE, Deed.EXTRA)
"""Deeds by which a sock is begun: they mean nothing without the plan they were counted by."""


@dataclass(frozen=True)
class Entry:
    """One thing that was done, noted or taken back.

    BEGIN says in `text` by which plan the second sock is counted from here: what it follows of the
    first (`follows_text`). COUNT goes `by` beats on; UNDO takes the entry `of` back (an undo may
    itself be undone); PLACE says that `at` beats are done; EXTRA that instruction `at` had `by`
    rounds more than planned; NOTE and DEVIATION hold a `text`. A COUNT over rounds that were left
    out names their EXTRA as `of`: who undoes the one undoes both. `clock` orders entries, `device`
    and `id` break ties; `time` is the device's own, an ISO moment.
    """

    id: str
    clock: int
    device: str
    time: str
    deed: Deed
    by: int = 0
    of: str = ""
    at: int = 0
    text: str = ""


@dataclass(frozen=True)
class Said:
    """A note or deviation, with the beats done when it was made."""

    id: str
    time: str
    done: int
    text: str
    deviation: bool


@dataclass(frozen=True)
class State:
    """How far a sock is: beats `done`, rounds `extra` by instruction, what was noted, the clock.

    `undoable` are the entries that stand and an undo takes back, the newest last: counts, places
    and rounds more or fewer. What was written down stays until it is removed by itself. `begun`
    tells whether any entry that stands moves the count; `follows` are the rounds more and fewer, by
    instruction, that the second sock was begun with as the first has them, None where no BEGIN
    says so.
    """

    done: int = 0
    extra: Mapping[int, int] = field(default_factory=dict)
    said: tuple[Said, ...] = ()
    undoable: tuple[str, ...] = ()
    clock: int = 0
    begun: bool = False
    follows: Mapping[int, int] | None = None


_FOLLOWED = re.compile(r"([0-9]{1,6}):(-?[0-9]{1,6})")


def follows_text(follows: Mapping[int, int]) -> str:
    """Rounds more and fewer by instruction as a BEGIN has them: "15:2 67:-1"."""
    return " ".join(f"{number}:{by}" for number, by in sorted(follows.items()) if by)


def read_follows(text: str) -> dict[int, int]:
    """What `follows_text` wrote; what else may stand in a text is passed over."""
    found = {int(number): int(by) for number, by in _FOLLOWED.findall(text)}
    return dict(sorted(found.items()))


def in_order(entries: Iterable[Entry]) -> list[Entry]:
    """The entries by clock, each id once (the first of several with one id)."""
    ordered = sorted(entries, key=lambda one: (one.clock, one.device, one.id))
    return list({one.id: one for one in reversed(ordered)}.values())[::-1]


def state_of(entries: Iterable[Entry], beats: int) -> State:
    """The state that a log comes to, for a sock of so many beats."""
    ordered = in_order(entries)
    void = _taken_back(ordered)
    done, extra, said = 0, dict[int, int](), list[Said]()
    standing = [one for one in ordered if one.id not in void and one.deed is not Deed.UNDO]
    begun, follows = False, None
    for one in standing:
        begun = begun or one.deed in MOVING
        if one.deed is Deed.BEGIN:
            follows = follows if begun else read_follows(one.text)
        elif one.deed is Deed.COUNT:
            done = min(max(done + one.by, 0), beats)
        elif one.deed is Deed.PLACE:
            done = min(max(one.at, 0), beats)
        elif one.deed is Deed.EXTRA:
            extra[one.at] = extra.get(one.at, 0) + one.by
        else:
            deviation = one.deed is Deed.DEVIATION
            said.append(Said(one.id, one.time, done, one.text, deviation))
    return State(
        done=done,
        extra={at: by for at, by in sorted(extra.items()) if by},
        said=tuple(said),
        undoable=tuple(one.id for one in standing if one.deed in MOVING),
        clock=max((one.clock for one in ordered), default=0),
        begun=begun,
        follows=follows,
    )


def _taken_back(ordered: list[Entry]) -> set[str]:
    """Ids of entries that an undo takes back; a later undo may take that undo back."""
    void: set[str] = set()
    earlier = {one.id: place for place, one in enumerate(ordered)}
    for place in range(len(ordered) - 1, -1, -1):
        one = ordered[place]
        if one.deed is Deed.UNDO and one.id not in void and earlier.get(one.of, place) < place:
            void.add(one.of)
    return void
