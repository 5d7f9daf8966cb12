"""Heels: short-row, with or without a shallow first cup, afterthought, and none."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from sockwright import steps as op
from sockwright.order.model import CuffKind, RibEnd
from sockwright.program.cup import knit_cup
from sockwright.program.draft import WASTE, Draft, YarnPlan, change_yarn, scrap_off
from sockwright.sock.cup import Cup
from sockwright.sock.heel import Afterthought, Heel, NoHeel, ShortRow
from sockwright.sock.sizing import Sizing


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


def knit_pouch(
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
    """A whole pouch on the run of needles from `first` on. The carrier comes to its last needle in
    a round. At the end it stands in the middle of the run, the last row half done; where the yarn
    changes, or with `to_end`, past its last needle.

    `held` are all other needles with loops (on the cylinder), `yarns` those of the rounds before,
    of the pouch and of what follows; `ribbed` tells that the held half has loops on a connected
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


AtTheEnd = Callable[[], None]
"""What is left to do for a heel when the toe is off the machine; it adds its steps."""


def instep_needles(sizing: Sizing) -> tuple[int, ...]:
    """Cylinder needles that hold loops on the instep half while the heel is knitted; those whose
    loops are on the dial are left out."""
    first, last = sizing.heel_needles + 1, sizing.needles
    cuff = sizing.cuff
    away: set[int] = set()
    if cuff.kind is CuffKind.TRUE_RIB and cuff.rib_to is RibEnd.INSTEP and cuff.rib is not None:
        away = {needle for needle, _ in cuff.rib.over(first, last)}
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
        knit_pouch(draft, deep, 1, held, section, into=into, out=None, yarns=three, ribbed=ribbed)
        draft.add(op.PartRound, draft.needles)
        draft.rounds(heel.wedge_rounds - 1)
    out = op.Change.INTO_FOOT
    knit_pouch(draft, main, 1, held, section, into=into, out=out, yarns=three, ribbed=ribbed)
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
    knit_pouch(
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
