"""The short rows of a cup, heel or toe, on a run of neighbouring needles.

The carrier comes in past the last needle of the run and leaves from there, so that a forward
round can go on: the numbers of needles to raise is even.
"""

from __future__ import annotations

from dataclasses import dataclass

from sockwright import steps as op
from sockwright.order.model import Widening
from sockwright.program.draft import Draft
from sockwright.sock.cup import Cup

MOVE_HEEL_WEIGHT_EVERY = 8
"""Rows after which the heel weights are moved higher (common practice: every six to ten)."""


@dataclass
class _Ring:
    """The run first..last being narrowed or widened, its working part low..high, and the held
    needles next to the run on each side."""

    first: int
    last: int
    low: int
    high: int
    before: int
    after: int
    high_side: bool = True

    def next_raised(self) -> int:
        """The first raised or held needle beyond the working ones on the carrier's side."""
        if self.high_side:
            return self.high + 1 if self.high < self.last else self.after
        return self.low - 1 if self.low > self.first else self.before


def knit_cup(draft: Draft, cup: Cup, first: int, held: tuple[int, ...], stop: int) -> None:
    """All rows of `cup` on needles first..first + cup.needles - 1, the last of them as far as
    needle `stop`; `held` are the other needles with loops, in forward order after the run; they
    are raised already."""
    last = first + cup.needles - 1
    ring = _Ring(first, last, first, last, held[-1], held[0])
    rows = _Rows(draft, cup.rows, stop)
    _narrow(rows, ring, cup)
    WIDENINGS[cup.widening](rows, ring, cup.raised)


class _Rows:
    """Knits rows into the draft and moves the heel weights higher every few of them."""

    def __init__(self, draft: Draft, total: int, stop: int) -> None:
        self.draft = draft
        self.stop = stop
        self.done = 0
        self.total = total

    def row(self, ring: _Ring) -> None:
        """Across to the other side, the last row not all the way."""
        way = op.Way.REVERSE if ring.high_side else op.Way.FORWARD
        self.done += 1
        self.draft.add(op.Row, way, self.stop if self.done == self.total else None)
        ring.high_side = not ring.high_side
        if self.done % MOVE_HEEL_WEIGHT_EVERY == 0 and self.done < self.total:
            self.draft.weigh(op.Weight.HEEL)


def _raise_end(rows: _Rows, ring: _Ring, count: int = 1) -> None:
    """Raise the last `count` working needles on the carrier's side."""
    if ring.high_side:
        needles = tuple(range(ring.high, ring.high - count, -1))
        ring.high -= count
    else:
        needles = tuple(range(ring.low, ring.low + count))
        ring.low += count
    rows.draft.add(op.Raise, needles)


def _lower_here(rows: _Rows, ring: _Ring) -> None:
    """Lower the innermost raised needle on the carrier's side."""
    _lower(rows, ring, 1, high=ring.high_side)


def _lower(rows: _Rows, ring: _Ring, count: int, *, high: bool) -> int:
    """Lower up to `count` raised needles of the run on one side; returns how many there were."""
    if high:
        count = min(count, ring.last - ring.high)
        needles = tuple(range(ring.high + 1, ring.high + count + 1))
        ring.high += count
    else:
        count = min(count, ring.low - ring.first)
        needles = tuple(range(ring.low - 1, ring.low - count - 1, -1))
        ring.low -= count
    rows.draft.add(op.Lower, needles)
    return count


def _narrow(rows: _Rows, ring: _Ring, cup: Cup) -> None:
    for row in range(cup.narrowing_rows):
        _raise_end(rows, ring, cup.first_raise if row < 2 else 1)
        rows.row(ring)


def _wrapped_near(rows: _Rows, ring: _Ring, raised: int) -> None:
    for _ in range(raised):
        _lower_here(rows, ring)
        rows.draft.add(op.Wrap, ring.next_raised())
        rows.row(ring)


def _wrapped_far(rows: _Rows, ring: _Ring, raised: int) -> None:
    for _ in range(raised):
        rows.draft.add(op.Wrap, ring.next_raised())
        _lower(rows, ring, 1, high=not ring.high_side)
        rows.row(ring)


def _two_down_one_up(rows: _Rows, ring: _Ring, raised: int) -> None:
    """Lower two at the far end, knit to it, raise the outer one again. The first turn, where
    nothing has just been raised, is wrapped by hand, and so is a turn at the end of the run."""
    again = False
    for _ in range(raised):
        if not again:
            rows.draft.add(op.Wrap, ring.next_raised())
        far_high = not ring.high_side
        lowered = _lower(rows, ring, 2, high=far_high)
        rows.row(ring)
        again = lowered == 2
        if again:
            _raise_end(rows, ring)


def _no_wrap(rows: _Rows, ring: _Ring, raised: int) -> None:
    for _ in range(raised):
        _lower_here(rows, ring)
        rows.row(ring)


WIDENINGS = {
    Widening.WRAPPED_NEAR: _wrapped_near,
    Widening.WRAPPED_FAR: _wrapped_far,
    Widening.TWO_DOWN_ONE_UP: _two_down_one_up,
    Widening.PLAIN: _no_wrap,
}
