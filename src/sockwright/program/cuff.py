"""Cuffs: set-up, first edge and cuff, each a builder of its own in CUFFS."""

from __future__ import annotations

from collections.abc import Callable

from sockwright import steps as op
from sockwright.order.model import CuffKind
from sockwright.program.draft import CORD, SPARE_TAIL_MM, TAIL_PER_NEEDLE_MM, WASTE, Draft
from sockwright.sock.cuff import Cuff
from sockwright.sock.rib import Moves

WASTE_ROUNDS = 15
"""Waste rounds until every needle knits cleanly (common practice: 15 to 20)."""
RIB_WASTE_ROUNDS = 8
"""Waste rounds ribbed after the dial needles are set (common practice: until clean)."""
SELVEDGE_ROUNDS = 2
"""Cylinder-only rounds that roll the first edge (common practice: two, some say four)."""


def set_up(draft: Draft, cuff: Cuff, yarn: str, cam: float | None = None) -> int:
    """Stitch cam (`cam`: the swatch's setting), scrap, waste, ravel cord, and the cuff's yarn
    threaded; returns the number its first course will have."""
    draft.section = op.Section.SET_UP
    draft.add(op.SetCam, 1.0, cam)
    draft.add(op.Thread, WASTE, removable=True)
    draft.add(op.HangScrap)
    draft.weigh(op.Weight.MAIN)
    draft.rounds(WASTE_ROUNDS)
    if cuff.rib is not None:
        draft.add(op.Mount, True)
        draft.add(op.Check, op.Change.INTO_RIB)
        draft.add(op.ToDial, cuff.rib.edge)
        draft.add(op.Ribber, True)
        draft.rounds(RIB_WASTE_ROUNDS)
    draft.add(op.CutYarn)
    draft.add(op.Thread, CORD, removable=True)
    draft.rounds(1)
    draft.add(op.CutYarn)
    draft.section = op.Section.CUFF
    if cuff.kind is CuffKind.ROLLED_EDGE:
        # The first end binds the edge off once the sock is made.
        draft.add(op.Thread, yarn, tail_mm=SPARE_TAIL_MM + TAIL_PER_NEEDLE_MM * draft.needles)
    else:
        draft.add(op.Thread, yarn)
    return draft.course


def knit_cuff(draft: Draft, cuff: Cuff, first: int) -> None:
    """The cuff itself; `first` is the number of its first course."""
    CUFFS[cuff.kind](draft, cuff, first)


def _hung_hem(draft: Draft, cuff: Cuff, first: int) -> None:
    draft.rounds(cuff.rounds)
    _hang(draft, first)


def _picot_hem(draft: Draft, cuff: Cuff, first: int) -> None:
    half = cuff.rounds // 2
    draft.rounds(half)
    moves = tuple((needle, needle - 1) for needle in range(2, draft.needles + 1, 2))
    draft.add(op.MoveLoops, moves, eyelet=True)
    draft.rounds(cuff.rounds - half)
    _hang(draft, first)


def _mock_rib_hem(draft: Draft, cuff: Cuff, first: int) -> None:
    """Two whole rounds, then every k-th needle out; back in for the last two before hanging."""
    out = tuple(range(cuff.every, draft.needles + 1, cuff.every))
    draft.rounds(2)
    draft.add(op.MoveLoops, tuple((needle, needle - 1) for needle in out))
    draft.add(op.RemoveNeedles, out)
    draft.rounds(cuff.rounds - 4)
    draft.add(op.ReplaceNeedles, out)
    draft.add(op.LiftBars, out)
    draft.rounds(2)
    _hang(draft, first)


def _hang(draft: Draft, first: int) -> None:
    draft.add(op.Check, op.Change.INTO_HEM)
    draft.add(op.Unweigh, op.Weight.MAIN)
    draft.add(op.HangHem, first)
    draft.weigh(op.Weight.MAIN)


def _true_rib(draft: Draft, cuff: Cuff, first: int) -> None:
    assert cuff.rib is not None
    draft.rounds(1)
    draft.add(op.Ribber, False)
    draft.rounds(SELVEDGE_ROUNDS)
    draft.add(op.Check, op.Change.INTO_RIB)
    _rearrange(draft, cuff.rib.edge, cuff.rib.rib)
    if cuff.rib.paired:
        draft.add(op.FillDial, cuff.rib.paired)
    draft.add(op.Ribber, True)
    draft.rounds(cuff.rounds)


def _rearrange(draft: Draft, old: Moves, new: Moves) -> None:
    """From the first edge's needles to the rib's."""
    back = tuple((slot, needle) for needle, slot in old if (needle, slot) not in new)
    over = tuple(move for move in new if move not in old)
    if back:
        draft.add(op.ToCylinder, back)
    if over:
        draft.add(op.ToDial, over)


def _rolled_edge(draft: Draft, cuff: Cuff, first: int) -> None:
    draft.rounds(cuff.rounds)


CUFFS: dict[CuffKind, Callable[[Draft, Cuff, int], None]] = {
    CuffKind.HUNG_HEM: _hung_hem,
    CuffKind.PICOT_HEM: _picot_hem,
    CuffKind.MOCK_RIB_HEM: _mock_rib_hem,
    CuffKind.TRUE_RIB: _true_rib,
    CuffKind.ROLLED_EDGE: _rolled_edge,
}
