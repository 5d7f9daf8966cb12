"""What a log tells afterwards of one sock: when, how long, and as it was knitted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from itertools import pairwise

from sockwright import steps as op
from sockwright.bench.counting import Beat, Sock
from sockwright.bench.log import Entry, State, state_of
from sockwright.errors import SockwrightError
from sockwright.facts import fact
from sockwright.plan.data import instructions
from sockwright.plan.make import Plan, with_program
from sockwright.words import said

MOST_EXTRA = 500
"""Rounds more or fewer in one place: beyond any sock."""


class CannotCount(SockwrightError):
    """Rounds more or fewer where there are no rounds, or more fewer than there are."""


def possible_extra(plan: Plan, extra: Mapping[int, int]) -> dict[int, int]:
    """Of the rounds more and fewer in another sock of the pair, those that this one can have."""
    counts = round_counts(plan)
    return {
        number: by
        for number, by in extra.items()
        if number in counts and 1 <= counts[number] + by <= counts[number] + MOST_EXTRA
    }


def round_counts(plan: Plan) -> dict[int, int]:
    """How many whole rounds each instruction knits that knits any."""
    return {
        each.number: step.count
        for each in instructions(plan)
        for step in (plan.program.steps[place - 1] for place in each.steps)
        if isinstance(step, op.Rounds)
    }


def as_knitted(plan: Plan, extra: Mapping[int, int], other: Plan | None = None) -> Plan:
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
                said("step {number} has no rounds to knit more or fewer of", number=number)
            )
        step = steps[places[0]]
        assert isinstance(step, op.Rounds)
        if not 1 <= step.count + by <= step.count + MOST_EXTRA:
            raise CannotCount(
                said(
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
    """A note or a deviation; `after` is the beat done last before it, None before the first."""

    moment: datetime | None
    text: str
    deviation: bool
    after: Beat | None


@dataclass(frozen=True)
class Record:
    """What the log of one sock tells.

    `begun` and `last` are the moments of its first and last entry, by the devices' own clocks,
    None where no entry has one; `worked_s` is the time between entries, without the pauses, in s.
    """

    state: State
    beats: int
    begun: datetime | None
    last: datetime | None
    worked_s: float
    remarks: tuple[Remark, ...]

    @property
    def done(self) -> bool:
        """Whether every beat is done: the sock is off the machine."""
        return self.state.done >= self.beats


def record_of(entries: Sequence[Entry], sock: Sock) -> Record:
    """The record of a sock, from its log."""
    state = state_of(entries, len(sock.beats))
    moments = sorted(at for at in map(_moment_of, entries) if at is not None)
    return Record(
        state=state,
        beats=len(sock.beats),
        begun=moments[0] if moments else None,
        last=moments[-1] if moments else None,
        worked_s=worked_seconds(moments, fact("bench", "pause_seconds").number),
        remarks=tuple(
            Remark(
                moment=read_moment(one.time),
                text=one.text,
                deviation=one.deviation,
                after=sock.beats[one.done - 1] if one.done else None,
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


def more_by_section(planned: Plan, knitted: Plan) -> dict[str, int]:
    """Rounds that `knitted` has more than `planned` (fewer: below 0) by section, without zeros."""
    before, after = _rounds_by_section(planned), _rounds_by_section(knitted)
    more = {section: after.get(section, 0) - before[section] for section in before}
    return {section: by for section, by in more.items() if by}


def _rounds_by_section(plan: Plan) -> dict[str, int]:
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
