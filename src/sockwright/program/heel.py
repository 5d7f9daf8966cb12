"""Heels, one builder a kind, and the short rows of a cup, in a heel or a toe.

The carrier comes in past the last needle of the run that a cup is knitted on and leaves from there,
so that a forward round can go on: the number of needles to raise is even.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

from sockwright import steps as op
from sockwright.order.model import CuffKind, RibEnd, Widening
from sockwright.program.draft import WASTE, Draft, YarnPlan, change_yarn, scrap_off
from sockwright.sock.cup import Cup
from sockwright.sock.heel import Afterthought, Heel, NoHeel, ShortRow
from sockwright.sock.sizing import Sizing

MOVE_HEEL_WEIGHT_EVERY = 8
"""Rows after which the heel weights are moved higher (common practice: every six to ten)."""

AtTheEnd = Callable[[], None]
"""What is left to do for a heel when the toe is off the machine; it adds its steps."""


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


def enter_rows(draft: Draft, change: op.Change, held: tuple[int, ...], *, ribbed: bool) -> None:
    """Ready for rows: ribber off, the held half raised, heel weights on."""
    draft.add(op.Check, change)
    if ribbed:
        draft.add(op.Ribber, False)
    draft.add(op.Raise, held)
    draft.weigh(op.Weight.HEEL)


def leave_rows(
    draft: Draft, change: op.Change | None, held: tuple[int, ...], *, ribbed: bool
) -> None:
    """Ready for rounds again: heel weights off, the held half in work."""
    draft.add(op.Unweigh, op.Weight.HEEL)
    draft.add(op.Lower, held)
    if ribbed:
        draft.add(op.Ribber, True)
    if change is not None:
        draft.add(op.Check, change)
    draft.weigh(op.Weight.MAIN)


def middle(first: int, needles: int) -> int:
    """Where the carrier stops, in the middle of a run of needles, for the others to be raised or
    lowered: nowhere else is it clear of them all (common practice)."""
    return first + (needles - 1) // 2


def knit_whole_cup(
    draft: Draft,
    cup: Cup,
    first: int,
    held: tuple[int, ...],
    section: op.Section,
    *,
    into: op.Change,
    out: op.Change | None,
    yarns: tuple[str, str, str],
    ribbed: bool = False,
    to_end: bool = False,
) -> None:
    """A whole cup on the run of needles from `first` on. The carrier comes to its last needle in
    a round. At the end it stands in the middle of the run, the last row half done; where the yarn
    changes, or with `to_end`, past its last needle.

    `held` are all other needles with loops (on the cylinder), `yarns` those of the rounds before,
    of the cup and of what follows; `ribbed` tells that the held half has loops on a connected
    dial.
    """
    last, stop = first + cup.needles - 1, middle(first, cup.needles)
    before, own, after = yarns
    draft.add(op.PartRound, stop)
    enter_rows(draft, into, held, ribbed=ribbed)
    draft.add(op.PartRound, last)
    draft.section = section
    # The carrier stands past the last needle of the run, beside the first that is held.
    change_yarn(draft, before, own, between=(last, held[0]))
    draft.add(op.HeelSpring, True)
    knit_cup(draft, cup, first, held, stop)
    draft.add(op.HeelSpring, False)
    leave_rows(draft, out, held, ribbed=ribbed)
    if to_end or own != after:
        draft.add(op.PartRound, last)
        change_yarn(draft, own, after)


def instep_needles(sizing: Sizing) -> tuple[int, ...]:
    """Cylinder needles that hold loops on the instep half while the heel is knitted; those whose
    loops are on the dial are left out."""
    first, last = sizing.heel_needles + 1, sizing.needles
    cuff = sizing.cuff
    away: set[int] = set()
    if cuff.kind is CuffKind.TRUE_RIB and cuff.rib_to is RibEnd.INSTEP and cuff.rib is not None:
        away = {needle for needle, _ in cuff.rib.instep}
    return tuple(needle for needle in range(first, last + 1) if needle not in away)


def ribbed_instep(sizing: Sizing) -> bool:
    """Whether the rib is carried down the instep, so that the dial holds loops at the heel."""
    return sizing.cuff.rib is not None and sizing.cuff.rib_to is RibEnd.INSTEP


def begin_heel(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> AtTheEnd:
    """The last round of the leg and the heel, to the first round of the foot; returns what is left
    to do once the sock is off the machine."""
    return BUILDERS[type(sizing.heel)](draft, sizing, yarns)


def nothing_left() -> None:
    """A heel that is done when the foot begins."""


def _short_row(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> AtTheEnd:
    """The heel on needles 1..H. The last leg round is knitted over these needles first; its other
    half follows when the heel is done."""
    heel = sizing.heel
    held = instep_needles(sizing)
    ribbed = ribbed_instep(sizing)
    three = (yarns.main, yarns.heel, yarns.main)
    into, section = op.Change.INTO_HEEL, op.Section.HEEL
    *outer, main = heel.cups
    for deep in outer:
        knit_whole_cup(
            draft, deep, 1, held, section, into=into, out=None, yarns=three, ribbed=ribbed
        )
        draft.add(op.PartRound, draft.needles)
        draft.rounds(heel.wedge_rounds - 1)
    out = op.Change.INTO_FOOT
    knit_whole_cup(draft, main, 1, held, section, into=into, out=out, yarns=three, ribbed=ribbed)
    draft.section = op.Section.FOOT
    draft.add(op.PartRound, draft.needles)
    return nothing_left


def _afterthought(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> AtTheEnd:
    (cup,) = sizing.heel.cups
    course = mark_afterthought(draft, sizing, yarns)
    return partial(knit_afterthought, draft, sizing, cup, yarns, course)


def _no_heel(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> AtTheEnd:
    """The last leg round, and on as a tube."""
    draft.rounds(1)
    return nothing_left


def mark_afterthought(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> int:
    """Two rows of waste over the heel half, to be drawn out later; returns their first course. As
    at a heel, the last leg round is knitted over these needles before, over the others after."""
    half = sizing.heel_needles
    stop = middle(1, half)
    held = instep_needles(sizing)
    ribbed = ribbed_instep(sizing)
    draft.add(op.PartRound, stop)
    if ribbed:
        draft.add(op.Ribber, False)
    draft.add(op.Raise, held)
    draft.add(op.PartRound, half)
    draft.section = op.Section.HEEL
    draft.add(op.CutYarn)
    draft.add(op.Thread, WASTE, removable=True, between=(half, held[0]))
    course = draft.course
    draft.add(op.Row, op.Way.REVERSE)
    draft.add(op.Row, op.Way.FORWARD, stop)
    draft.add(op.Lower, held)
    draft.add(op.PartRound, half)
    draft.add(op.CutYarn)
    if ribbed:
        draft.add(op.Ribber, True)
    draft.add(op.Thread, yarns.main)
    draft.section = op.Section.FOOT
    draft.add(op.PartRound, draft.needles)
    return course


def knit_afterthought(draft: Draft, sizing: Sizing, cup: Cup, yarns: YarnPlan, course: int) -> None:
    """Open the waste rows, hang both edges on the machine, knit the cup and graft it."""
    half = sizing.heel_needles
    lower = tuple(range(1, half + 1))
    upper = tuple(range(half + 1, 2 * half + 1))
    draft.section = op.Section.HEEL
    draft.add(op.OpenWaste, course, lower)
    draft.add(op.Rehang, lower, upper)
    draft.weigh(op.Weight.MAIN)
    draft.add(op.Thread, yarns.heel)
    knit_whole_cup(
        draft,
        cup,
        1,
        upper,
        op.Section.HEEL,
        into=op.Change.INTO_HEEL,
        out=None,
        yarns=(yarns.heel, yarns.heel, yarns.heel),
    )
    draft.add(op.PartRound, 2 * half)
    scrap_off(draft, tail_needles=half)
    draft.add(op.Graft, lower, tuple(reversed(upper)))


BUILDERS: Mapping[type[Heel], Callable[[Draft, Sizing, YarnPlan], AtTheEnd]] = {
    ShortRow: _short_row,
    Afterthought: _afterthought,
    NoHeel: _no_heel,
}
"""How each kind of heel is knitted."""
