"""The leg: plain or with the rib carried down, shaped by the stitch cam."""

from __future__ import annotations

from collections.abc import Mapping

from sockwright import steps as op
from sockwright.order.model import RibEnd
from sockwright.program.draft import Draft
from sockwright.sock.sizing import PRE_HEEL_ROUNDS, Cuff, Sizing

INCH_MM = 25.4


def knit_leg(
    draft: Draft,
    sizing: Sizing,
    settings: Mapping[float, float],
    *,
    rounds: int,
) -> None:
    """`rounds` whole rounds of leg; `settings` names the cam setting for a loop-length factor where
    the swatches tell it. Rib loops that must be plain before the heel go back to the cylinder."""
    draft.section = op.Section.LEG
    cuff = sizing.cuff
    if cuff.rib is not None and cuff.rib_to is RibEnd.CUFF:
        return_rib(draft, cuff, 1, draft.needles)
    carried = cuff.rib is not None and cuff.rib_to is not RibEnd.CUFF
    plain_from = rounds - (PRE_HEEL_ROUNDS - 1) if carried else rounds
    factor_now, done = sizing.top_factor, 0
    for part, factor in sizing.leg_shape:
        end = min(done + part, rounds)
        if end == done:
            continue
        if factor != factor_now:
            draft.add(op.SetCam, factor, settings.get(factor))
            factor_now = factor
        if carried and done <= plain_from < end:
            draft.rounds(plain_from - done)
            last = sizing.heel_needles if cuff.rib_to is RibEnd.INSTEP else draft.needles
            return_rib(draft, cuff, 1, last)
            done = plain_from
        draft.rounds(end - done)
        done = end
    if factor_now != 1.0:
        draft.add(op.SetCam, 1.0, settings.get(1.0))


def return_rib(draft: Draft, cuff: Cuff, first: int, last: int) -> None:
    """Disconnect the ribber and hand the rib loops over needles first..last back to the cylinder;
    a dial that keeps loops is connected again, and an empty one taken off."""
    assert cuff.rib is not None
    draft.add(op.Ribber, False)
    back = [(slot, needle) for needle, slot in cuff.rib.over(first, last)]
    back += [(slot, slot // 2 * 3) for slot in cuff.rib.paired if first <= slot // 2 * 3 <= last]
    draft.add(op.ToCylinder, tuple(sorted(back, key=lambda move: (move[1], move[0]))))
    draft.add(*((op.Mount, False) if last == draft.needles else (op.Ribber, True)))
