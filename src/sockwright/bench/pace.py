"""How fast a sock was worked, by its log alone: seconds and amount of each kind of work.

A count took the time since the count before it. A gap of `bench.pause_seconds` or more is a pause,
as in the time worked, and the count after it tells nothing. Counts of one kind of work without a
pause between are a stretch; so that nothing untrue is learned,

* a stretch that was corrected (taken back, set to a place, rounds more or fewer) is left out;
* so are counts in a burst right after a pause, and a stretch, faster than any hand: they were
  counted after the fact;
* a count that another device made, or whose clock stood or went back, tells nothing.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from sockwright.bench.log import Action, Entry, in_order, read_moment, taken_back, worked_seconds
from sockwright.facts import fact
from sockwright.grammar.bounds import limits

SECONDS = 60.0


@dataclass(frozen=True)
class Worked:
    """So much of one kind of work (rounds, rows, loops, changes) in so many seconds."""

    amount: float = 0.0
    seconds: float = 0.0

    def __add__(self, other: Worked) -> Worked:
        return Worked(self.amount + other.amount, self.seconds + other.seconds)

    def pace(self, name: str) -> float:
        """In the unit of the fact of this name: so many a minute, or seconds each."""
        if fact("pace", name).unit == "1/min":
            return SECONDS * self.amount / self.seconds if self.seconds else float("inf")
        return self.seconds / self.amount if self.amount else 0.0


@dataclass(frozen=True)
class _Stretch:
    kind: str
    worked: Worked = Worked()
    corrected: bool = False


def paces_of(entries: Iterable[Entry], work: Sequence[Mapping[str, float]]) -> dict[str, float]:
    """The paces that a log shows, by their names in facts/pace.toml; `work` is that of each count
    of its sock."""
    sums: dict[str, Worked] = {}
    for one in _Reader(work).stretches(entries):
        if not one.corrected and limits(one.kind).holds(one.worked.pace(one.kind)):
            sums[one.kind] = sums.get(one.kind, Worked()) + one.worked
    least = fact("pace", "least_seconds_worked").number
    return {kind: one.pace(kind) for kind, one in sums.items() if one.seconds >= least}


class _Reader:
    """Goes through a log once, in the order of its clock."""

    def __init__(self, work: Sequence[Mapping[str, float]]) -> None:
        self.work = work
        self.done = 0
        self.found: list[_Stretch] = []
        self.going = False
        """Whether the last stretch goes on; it does not after a pause."""

    def stretches(self, entries: Iterable[Entry]) -> list[_Stretch]:
        ordered = in_order(entries)
        void, before = taken_back(ordered), None
        for one in ordered:
            forward = one.deed is Action.COUNT and one.by > 0 and not one.of
            if one.deed in (Action.NOTE, Action.DEVIATION, Action.BEGIN):
                before = None
            elif one.id in void or not forward:
                self._correct(one, one.id in void)
                before = None
            else:
                self._count(one, before)
                before = one
        return self.found

    def _correct(self, one: Entry, void: bool) -> None:
        """What came before is not sure, nor is the place from here where it does not stand."""
        if self.going:
            self.found[-1] = replace(self.found[-1], corrected=True)
        self.going = False
        if void or one.deed not in (Action.COUNT, Action.PLACE):
            return
        place = one.at if one.deed is Action.PLACE else self.done + one.by
        self.done = min(max(place, 0), len(self.work))

    def _count(self, one: Entry, before: Entry | None) -> None:
        first, self.done = self.done, min(self.done + one.by, len(self.work))
        took = _seconds_between(before, one)
        kind, amount = _alike(self.work[first : self.done])
        if took is None or not kind:
            self.going = False
            return
        now = Worked(amount, took)
        if not self.going and _too_fast(kind, now):
            return
        if not self.going or self.found[-1].kind != kind:
            self.found.append(_Stretch(kind))
        self.found[-1] = replace(self.found[-1], worked=self.found[-1].worked + now)
        self.going = True


def _seconds_between(before: Entry | None, one: Entry) -> float | None:
    """What a count took, s; None where its log does not tell."""
    if before is None or before.device != one.device:
        return None
    start, end = read_moment(before.time), read_moment(one.time)
    if start is None or end is None or end < start:
        return None
    took = (end - start).total_seconds()
    pause_s = fact("bench", "pause_seconds").number
    # A pause leaves nothing of the gap, in which something was worked all the same.
    return None if took > worked_seconds((start, end), pause_s) else took


def _alike(work: Sequence[Mapping[str, float]]) -> tuple[str, float]:
    """The kind of work that counts are of and how much of it; "" where they are of several."""
    kinds = {kind for each in work for kind in each}
    if len(kinds) != 1 or not all(work):
        return "", 0.0
    kind = kinds.pop()
    return kind, sum(each[kind] for each in work)


def _too_fast(kind: str, worked: Worked) -> bool:
    """Whether no hand works so fast."""
    reach, pace = limits(kind), worked.pace(kind)
    return pace > reach.most if fact("pace", kind).unit == "1/min" else pace < reach.least
