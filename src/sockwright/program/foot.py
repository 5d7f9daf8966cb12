"""The foot's rounds and the toe."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.order.model import ToeHalf
from sockwright.program.closing import scrap_off
from sockwright.program.draft import Draft
from sockwright.program.heel import ribbed_instep
from sockwright.program.leg import return_rib
from sockwright.program.pouch import knit_pouch, middle
from sockwright.program.yarns import YarnPlan
from sockwright.sock.sizing import Sizing


def knit_foot(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> None:
    """Foot rounds, toe, and off; the loops are held on waste at the end."""
    draft.section = op.Section.FOOT
    cup = sizing.toe.cup
    if cup is None:
        _foot_rounds(draft, sizing, sizing.foot_rounds)
        draft.section = op.Section.TOE
        scrap_off(draft, tail_needles=draft.needles)
        return
    # The last round of the foot is knitted in parts: over the toe's needles before it.
    whole = sizing.foot_rounds - 1
    odd = draft.needles % 2 == 1
    _foot_rounds(draft, sizing, whole - (1 if odd else 0))
    if odd:
        _drop_last_needle(draft, sizing.heel_needles, rounds=min(whole, 1))
    on_heel_half = sizing.toe.half is ToeHalf.HEEL
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


def _drop_last_needle(draft: Draft, half: int, *, rounds: int) -> None:
    """Of an odd number of needles the last gives its loop to its neighbour, so that both sides of
    the toe hold the same; from a stop far from it, in a round that is then knitted to its end."""
    last = draft.needles
    if rounds:
        draft.add(op.PartRound, middle(1, half))
    draft.add(op.MoveLoops, ((last, last - 1),))
    draft.add(op.RemoveNeedles, (last,))
    if rounds:
        draft.add(op.PartRound, last - 1)


def _knit_toe(draft: Draft, sizing: Sizing, yarns: YarnPlan) -> tuple[int, ...]:
    """The toe's cup; returns the needles of the other half, whose loops it will be grafted to."""
    cup, half = sizing.toe.cup, sizing.heel_needles
    assert cup is not None
    heel_half = tuple(range(1, half + 1))
    instep_half = tuple(range(half + 1, 2 * half + 1))
    on_heel_half = sizing.toe.half is ToeHalf.HEEL
    first, held = (1, instep_half) if on_heel_half else (half + 1, heel_half)
    # Where no round follows, the toe's own yarn closes it.
    three = (yarns.main, yarns.toe, yarns.main if on_heel_half else yarns.toe)
    knit_pouch(
        draft,
        cup,
        first,
        held,
        op.Section.TOE,
        into=op.Change.INTO_TOE,
        out=None,
        yarns=three,
        to_end=not on_heel_half,
    )
    if on_heel_half:
        draft.add(op.PartRound, 2 * half)
    return held
