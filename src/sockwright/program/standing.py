"""How the machine stands between two steps, as far as words need it.

A small follower of the program, not its proof: the needle bed proves, this only remembers where
the carrier is and which needles are in work.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from copy import copy
from typing import Any

from sockwright.program import steps as op

OUT, WORKING, RAISED = 0, 1, 2


class Standing:
    """Needles, dial, carrier, yarn, weights and stitch cam after the steps taken so far.

    `needle` holds a state for each needle 1..N (place 0 is never in work); `gap` is the needle
    the carrier stands past, 0 or N at home.
    """

    def __init__(self, program: op.Program) -> None:
        self.needles = program.needles
        self.needle = bytearray([OUT]) + bytearray([WORKING]) * program.needles
        self.gap = program.needles
        self.reverse = False
        self.yarn: str | None = None
        self.ribber = False
        self.hung: set[op.Weight] = set()
        self.factor = 1.0
        self.course = 0
        self.yarn_from: list[tuple[int, str]] = []

    def take(self, step: op.Step) -> None:
        """Move on over one step."""
        move = _MOVES.get(type(step))
        if move is not None:
            move(self, step)

    def after(self, step: op.Step) -> Standing:
        """The standing one step on, this one left as it is."""
        next_one = copy(self)
        next_one.needle = bytearray(self.needle)
        next_one.hung = set(self.hung)
        next_one.yarn_from = list(self.yarn_from)
        next_one.take(step)
        return next_one

    def working(self) -> list[int]:
        """Needles in work, rising."""
        return [n for n, state in enumerate(self.needle) if state == WORKING]

    def span(self) -> tuple[int, int]:
        """The first and the last needle in work (-1, -1 if none is)."""
        return self.needle.find(WORKING), self.needle.rfind(WORKING)

    def carrier_high(self) -> bool:
        """Whether the carrier stands at the high-numbered end of the working needles."""
        low, high = self.span()
        return abs(self.gap - high) <= abs(self.gap - (low - 1))

    def passed(self) -> int:
        """The needle the carrier stands past: the last it went over that is in its slot."""
        return passed_needle(self.needle[1:], self.gap, self.reverse)

    def at_home(self) -> bool:
        """Whether the carrier stands in the home gap, whichever needles are out beside it."""
        return not any(self.needle[(self.gap % self.needles) + 1 :]) or not any(
            self.needle[1 : (self.gap % self.needles) + 1]
        )

    def next_to_knit(self, ahead: Iterable[op.Step]) -> int:
        """The first needle to knit in the next row or round of the steps `ahead`."""
        states = bytearray(self.needle)
        for step in ahead:
            if isinstance(step, op.Row):
                reverse = step.way is op.Way.REVERSE
                return states.rfind(WORKING) if reverse else states.find(WORKING)
            if isinstance(step, op.Rounds | op.PartRound):
                break
            if isinstance(step, op.Raise | op.Lower):
                for needle in step.needles:
                    states[needle] = RAISED if isinstance(step, op.Raise) else WORKING
        found = states.find(WORKING, self.gap % self.needles + 1)
        return found if found > 0 else states.find(WORKING)

    def yarn_of(self, course: int) -> str | None:
        """The yarn that `course` was knitted in."""
        yarns = [yarn for first, yarn in self.yarn_from if first <= course]
        return yarns[-1] if yarns else self.yarn


def passed_needle(needles: Sequence[int], gap: int, reverse: bool) -> int:
    """The needle (1..N) that a carrier in a gap stands past: the last it went over, `reverse` or
    forward, that is in its slot. `needles` are the states of needles 1..N."""
    n = len(needles)
    if reverse:
        return gap % n + 1
    gap = gap or n
    while gap > 1 and needles[gap - 1] == OUT:
        gap -= 1
    return gap


def _set_state(state: int) -> Callable[[Standing, Any], None]:
    def set_state(at: Standing, step: Any) -> None:
        for needle in step.needles:
            at.needle[needle] = state

    return set_state


def _row(at: Standing, step: op.Row) -> None:
    low, high = at.span()
    at.reverse = step.way is op.Way.REVERSE
    at.gap = low - 1 if at.reverse else high
    at.course += 1


def _part(at: Standing, step: op.PartRound) -> None:
    at.gap, at.reverse = step.last, False
    at.course += 1


def _rounds(at: Standing, step: op.Rounds) -> None:
    at.reverse = False
    at.course += step.count


def _scrap(at: Standing, step: op.HangScrap) -> None:
    at.course += 1


def _thread(at: Standing, step: op.Thread) -> None:
    at.yarn = step.yarn
    at.yarn_from.append((at.course, step.yarn))


def _cut(at: Standing, step: op.CutYarn) -> None:
    at.yarn = None


def _weigh(at: Standing, step: op.Weigh) -> None:
    at.hung.add(step.kind)


def _unweigh(at: Standing, step: op.Unweigh) -> None:
    at.hung.discard(step.kind)


def _cam(at: Standing, step: op.SetCam) -> None:
    at.factor = step.factor


def _to_dial(at: Standing, step: op.ToDial) -> None:
    for needle, _ in step.moves:
        at.needle[needle] = OUT


def _to_cylinder(at: Standing, step: op.ToCylinder) -> None:
    for _, needle in step.moves:
        if at.needle[needle] == OUT:
            at.needle[needle] = WORKING


def _ribber(at: Standing, step: op.Ribber) -> None:
    at.ribber = step.on


def _take_off(at: Standing, step: op.TakeOff) -> None:
    at.needle[1:] = bytes([WORKING]) * at.needles
    at.gap, at.reverse = at.needles, False
    at.hung.clear()


def _rehang(at: Standing, step: op.Rehang) -> None:
    at.needle[1:] = bytes([OUT]) * at.needles
    for needle in step.lower + step.upper:
        at.needle[needle] = WORKING


_MOVES: dict[type[op.Step], Callable[[Standing, Any], None]] = {
    op.HangScrap: _scrap,
    op.Thread: _thread,
    op.CutYarn: _cut,
    op.Rounds: _rounds,
    op.PartRound: _part,
    op.Row: _row,
    op.Raise: _set_state(RAISED),
    op.Lower: _set_state(WORKING),
    op.RemoveNeedles: _set_state(OUT),
    op.ReplaceNeedles: _set_state(WORKING),
    op.ToDial: _to_dial,
    op.ToCylinder: _to_cylinder,
    op.Ribber: _ribber,
    op.Weigh: _weigh,
    op.Unweigh: _unweigh,
    op.SetCam: _cam,
    op.TakeOff: _take_off,
    op.Rehang: _rehang,
}
