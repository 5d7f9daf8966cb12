"""Heels: short-row, with or without a shallow first cup, afterthought, and none."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial

from sockwright import steps as op
from sockwright.order.model import CuffKind, RibEnd
from sockwright.program.closing import scrap_off
from sockwright.program.draft import Draft
from sockwright.program.pouch import knit_pouch, middle
from sockwright.program.yarns import WASTE, YarnPlan
from sockwright.sock.cup import Cup
from sockwright.sock.heel import Afterthought, Heel, NoHeel, ShortRow
from sockwright.sock.sizing import Sizing

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
