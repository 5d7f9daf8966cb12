"""The log of a sock at the machine, and all that follows from it and from nothing else.

A log is a set of entries; several devices may add to it, in any order and more than once. Entries
are put in order by their clock (each device counts on from the highest it has seen), so every
device that has the same entries is in the same state, and tells the same record of what was done.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from enum import StrEnum
from itertools import pairwise

from sockwright import steps as op
from sockwright.bench.counting import CountStep, Sock
from sockwright.errors import SockwrightError
from sockwright.facts import fact
from sockwright.i18n import _
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan, with_program

FIRST, SECOND = "first", "second"
WHICH = (FIRST, SECOND)
"""The socks of a pair, by their turn; each has a log of its own."""

_FOLLOWED = re.compile(r"([0-9]{1,6}):(-?[0-9]{1,6})")

MOST_EXTRA = 500
"""Rounds more or fewer in one place: beyond any sock."""


class Action(StrEnum):
    """What an entry says was done."""

    BEGIN = "begin"
    COUNT = "count"
    UNDO = "undo"
    PLACE = "place"
    EXTRA = "extra"
    NOTE = "note"
    DEVIATION = "deviation"


MOVING = (Action.COUNT, Action.PLACE, Action.EXTRA)
"""Deeds by which a sock is begun: they mean nothing without the plan they were counted by."""


@dataclass(frozen=True)
class Entry:
    """One thing that was done, noted or taken back.

    BEGIN says in `text` by which plan the second sock is counted from here: what it follows of the
    first (`follows_text`). COUNT goes `by` counts on; UNDO takes the entry `of` back (an undo may
    itself be undone); PLACE says that `at` counts are done; EXTRA that instruction `at` had `by`
    rounds more than planned; NOTE and DEVIATION hold a `text`. A COUNT over rounds that were left
    out names their EXTRA as `of`: who undoes the one undoes both. `clock` orders entries, `device`
    and `id` break ties; `time` is the device's own, an ISO moment.
    """

    id: str
    clock: int
    device: str
    time: str
    deed: Action
    by: int = 0
    of: str = ""
    at: int = 0
    text: str = ""


@dataclass(frozen=True)
class LogNote:
    """A note or deviation, with the counts done when it was made."""

    id: str
    time: str
    done: int
    text: str
    deviation: bool


@dataclass(frozen=True)
class State:
    """How far a sock is: counts `done`, rounds `extra` by instruction, what was noted, the clock.

    `undoable` are the entries that stand and an undo takes back, the newest last: counts, places
    and rounds more or fewer. What was written down stays until it is removed by itself. `begun`
    tells whether any entry that stands moves the count; `follows` are the rounds more and fewer, by
    instruction, that the second sock was begun with as the first has them, None where no BEGIN
    says so.
    """

    done: int = 0
    extra: Mapping[int, int] = field(default_factory=dict)
    said: tuple[LogNote, ...] = ()
    undoable: tuple[str, ...] = ()
    clock: int = 0
    begun: bool = False
    follows: Mapping[int, int] | None = None


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


def state_of(entries: Iterable[Entry], count_steps: int) -> State:
    """The state that a log comes to, for a sock of so many counts."""
    ordered = in_order(entries)
    void = taken_back(ordered)
    done, extra, said = 0, dict[int, int](), list[LogNote]()
    standing = [one for one in ordered if one.id not in void and one.deed is not Action.UNDO]
    begun, follows = False, None
    for one in standing:
        begun = begun or one.deed in MOVING
        if one.deed is Action.BEGIN:
            follows = follows if begun else read_follows(one.text)
        elif one.deed is Action.COUNT:
            done = min(max(done + one.by, 0), count_steps)
        elif one.deed is Action.PLACE:
            done = min(max(one.at, 0), count_steps)
        elif one.deed is Action.EXTRA:
            extra[one.at] = extra.get(one.at, 0) + one.by
        else:
            deviation = one.deed is Action.DEVIATION
            said.append(LogNote(one.id, one.time, done, one.text, deviation))
    return State(
        done=done,
        extra={at: by for at, by in sorted(extra.items()) if by},
        said=tuple(said),
        undoable=tuple(one.id for one in standing if one.deed in MOVING),
        clock=max((one.clock for one in ordered), default=0),
        begun=begun,
        follows=follows,
    )


def taken_back(ordered: list[Entry]) -> set[str]:
    """Ids of entries that an undo takes back; a later undo may take that undo back."""
    void: set[str] = set()
    earlier = {one.id: place for place, one in enumerate(ordered)}
    for place in range(len(ordered) - 1, -1, -1):
        one = ordered[place]
        if one.deed is Action.UNDO and one.id not in void and earlier.get(one.of, place) < place:
            void.add(one.of)
    return void


class CannotCount(SockwrightError):
    """Rounds more or fewer where there are no rounds, or more fewer than there are."""


def possible_extra(plan: SockPlan, extra: Mapping[int, int]) -> dict[int, int]:
    """Of the rounds more and fewer in another sock of the pair, those that this one can have."""
    counts = round_counts(plan)
    return {
        number: by
        for number, by in extra.items()
        if number in counts and 1 <= counts[number] + by <= counts[number] + MOST_EXTRA
    }


def round_counts(plan: SockPlan) -> dict[int, int]:
    """How many whole rounds each instruction knits that knits any."""
    return {
        each.number: step.count
        for each in instructions(plan)
        for step in (plan.program.steps[place - 1] for place in each.steps)
        if isinstance(step, op.Rounds)
    }


def as_knitted(plan: SockPlan, extra: Mapping[int, int], other: SockPlan | None = None) -> SockPlan:
    """The plan of one sock as it was knitted: instruction `n` with `extra[n]` rounds more.

    Its program is run, measured and weighed again. Raises CannotCount for an instruction without
    rounds, or with too few.
    """
    told = {each.number: each for each in instructions(plan)}
    steps = list(plan.program.steps)
    for number, by in extra.items():
        covered = told[number].steps if number in told else ()
        places = [place - 1 for place in covered if isinstance(steps[place - 1], op.Rounds)]
        if not places:
            raise CannotCount(
                _("step {number} has no rounds to knit more or fewer of", number=number)
            )
        step = steps[places[0]]
        assert isinstance(step, op.Rounds)
        if not 1 <= step.count + by <= step.count + MOST_EXTRA:
            raise CannotCount(
                _(
                    "step {number} has {count} rounds; {by} more or fewer cannot be",
                    number=number,
                    count=step.count,
                    by=by,
                )
            )
        steps[places[0]] = replace(step, count=step.count + by)
    return with_program(plan, replace(plan.program, steps=tuple(steps)), other)


@dataclass(frozen=True)
class Remark:
    """A note or a deviation; `after` is the count done last before it, None before the first."""

    moment: datetime | None
    text: str
    deviation: bool
    after: CountStep | None


@dataclass(frozen=True)
class Record:
    """What the log of one sock tells.

    `begun` and `last` are the moments of its first and last entry, by the devices' own clocks,
    None where no entry has one; `worked_s` is the time between entries, without the pauses, in s.
    """

    state: State
    count_steps: int
    begun: datetime | None
    last: datetime | None
    worked_s: float
    remarks: tuple[Remark, ...]

    @property
    def done(self) -> bool:
        """Whether every count is done: the sock is off the machine."""
        return self.state.done >= self.count_steps


def record_of(entries: Sequence[Entry], sock: Sock) -> Record:
    """The record of a sock, from its log."""
    state = state_of(entries, len(sock.count_steps))
    moments = sorted(at for at in map(_moment_of, entries) if at is not None)
    return Record(
        state=state,
        count_steps=len(sock.count_steps),
        begun=moments[0] if moments else None,
        last=moments[-1] if moments else None,
        worked_s=worked_seconds(moments, fact("bench", "pause_seconds").number),
        remarks=tuple(
            Remark(
                moment=read_moment(one.time),
                text=one.text,
                deviation=one.deviation,
                after=sock.count_steps[one.done - 1] if one.done else None,
            )
            for one in state.said
        ),
    )


def worked_seconds(moments: Iterable[datetime], pause_s: float) -> float:
    """Time between moments in rising order, without gaps of `pause_s` or more: pauses, s."""
    gaps = ((after - before).total_seconds() for before, after in pairwise(moments))
    return sum(gap for gap in gaps if gap < pause_s)


def read_moment(text: str) -> datetime | None:
    """A moment with its time zone, UTC where it names none; None for a text that is none."""
    try:
        moment = datetime.fromisoformat(text)
        aware = moment if moment.tzinfo else moment.replace(tzinfo=UTC)
        return aware.astimezone(UTC)
    except (ValueError, OverflowError):
        return None


def _moment_of(entry: Entry) -> datetime | None:
    return read_moment(entry.time)


def more_by_section(planned: SockPlan, knitted: SockPlan) -> dict[str, int]:
    """Rounds that `knitted` has more than `planned` (fewer: below 0) by section, without zeros."""
    before, after = _rounds_by_section(planned), _rounds_by_section(knitted)
    more = {section: after.get(section, 0) - before[section] for section in before}
    return {section: by for section, by in more.items() if by}


def _rounds_by_section(plan: SockPlan) -> dict[str, int]:
    rounds: dict[str, int] = {}
    counts = round_counts(plan)
    for each in instructions(plan):
        rounds[each.section.value] = rounds.get(each.section.value, 0) + counts.get(each.number, 0)
    return rounds


def apart(first: Mapping[str, int], second: Mapping[str, int]) -> dict[str, int]:
    """Rounds by section that the second sock has more than the first, without zeros.

    Both are given as what `more_by_section` says of them.
    """
    more = {
        section: second.get(section, 0) - first.get(section, 0) for section in {**first, **second}
    }
    return {section: by for section, by in more.items() if by}
