"""The foot's rounds and the toe."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.order.model import ToeHalf
from sockwright.program.closing import scrap_off
from sockwright.program.draft import Draft
from sockwright.program.heel import ribbed_instep
from sockwright.program.leg import return_rib
from sockwright.program.pouch import knit_pouch
from sockwright.program.yarns import YarnPlan
from sockwright.sock.sizing import Sizing


def knit_foot(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> None:
    """Foot rounds, toe, and off; the loops are held on waste at the end."""
    draft.section = op.Section.FOOT
    cup = sizing.toe.cup
    on_heel_half = sizing.toe.half is ToeHalf.HEEL
    whole = sizing.foot_rounds
    if cup is not None and on_heel_half:
        whole -= 1
    odd = draft.needles % 2 == 1 and cup is not None
    early = 1 if odd and not on_heel_half else 0
    _foot_rounds(draft, sizing, whole - early)
    if odd:
        _drop_last_needle(draft)
    draft.rounds(early)
    if cup is None:
        draft.section = op.Section.TOE
        scrap_off(draft, tail_needles=draft.needles)
        return
    held = _knit_toe(draft, sizing, yarns)
    draft.section = op.Section.CLOSING
    scrap_off(draft, tail_needles=sizing.heel_needles)
    first = 1 if on_heel_half else sizing.heel_needles + 1
    toe = tuple(range(first, first + cup.needles))
    # The tail hangs at home: the first pair are the needles on both its sides.
    sides = (toe, held[::-1]) if on_heel_half else (toe[::-1], held)
    draft.add(op.Graft, *sides)


def _foot_rounds(draft: Draft, sizing: Sizing, rounds: int) -> None:
    """Plain foot rounds; a ribbed instep goes back to the cylinder for the last of them."""
    plain = 0
    if ribbed_instep(sizing):
        plain = min(2, rounds)
    draft.rounds(rounds - plain)
    if ribbed_instep(sizing):
        first = sizing.heel_needles + 1
        assert sizing.cuff.rib is not None
        return_rib(draft, sizing.cuff, first, draft.needles)
        draft.rounds(plain)


def _drop_last_needle(draft: Draft) -> None:
    """Of an odd number of needles the last gives its loop to its neighbour, so that both sides of
    the toe hold the same."""
    last = draft.needles
    draft.add(op.MoveLoops, ((last, last - 1),))
    draft.add(op.RemoveNeedles, (last,))


def _knit_toe(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> tuple[int, ...]:
    """The toe's cup; returns the needles of the other half, whose loops it will be grafted to."""
    cup, half = sizing.toe.cup, sizing.heel_needles
    assert cup is not None
    heel_half = tuple(range(1, half + 1))
    instep_half = tuple(range(half + 1, 2 * half + 1))
    if sizing.toe.half is ToeHalf.HEEL:
        draft.add(op.PartRound, half)
        first, held = 1, instep_half
    else:
        first, held = half + 1, heel_half
    draft.section = op.Section.TOE
    # Where no round follows, the toe's own yarn closes it.
    after = yarns.main if sizing.toe.half is ToeHalf.HEEL else yarns.toe
    three = (yarns.main, yarns.toe, after)
    knit_pouch(draft, cup, first, held, into=op.Change.INTO_TOE, out=None, yarns=three)
    if sizing.toe.half is ToeHalf.HEEL:
        draft.add(op.PartRound, 2 * half)
    return held
