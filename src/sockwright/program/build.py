"""The whole crank program, cuff down, from a sizing: set-up, cuffs, leg, foot and toe."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from sockwright import steps as op
from sockwright.order.model import Closing, CuffKind, RibEnd, ToeHalf
from sockwright.program.draft import (
    CORD,
    SPARE_TAIL_MM,
    TAIL_PER_NEEDLE_MM,
    WASTE,
    Draft,
    YarnPlan,
    change_yarn,
    scrap_off,
)
from sockwright.program.heel import begin_heel, knit_whole_cup, middle, ribbed_instep
from sockwright.sock.cuff import Cuff
from sockwright.sock.leg import PRE_HEEL_ROUNDS
from sockwright.sock.rib import Moves, RibLayout
from sockwright.sock.sizing import Sizing

WASTE_ROUNDS = 15
"""Waste rounds until every needle knits cleanly (common practice: 15 to 20)."""
RIB_WASTE_ROUNDS = 8
"""Waste rounds ribbed after the dial needles are set (common practice: until clean)."""
SELVEDGE_ROUNDS = 2
"""Cylinder-only rounds that roll the first edge (common practice: two, some say four)."""

INCH_MM = 25.4


def build_program(
    sizing: Sizing,
    yarns: YarnPlan | None = None,
    cam_settings: Mapping[float, float] | None = None,
) -> op.Program:
    """Every step from hanging the scrap to darning the ends.

    `yarns` names the yarn of each part; `cam_settings` maps loop-length factors to the user's own
    cam numbers.
    """
    yarns = yarns or YarnPlan()
    draft = Draft(sizing.needles)
    settings = cam_settings or {}
    edge = set_up(draft, sizing.cuff, yarns.cuff, settings.get(1.0))
    if sizing.top_factor != 1.0:
        draft.add(op.SetCam, sizing.top_factor, settings.get(sizing.top_factor))
    knit_cuff(draft, sizing.cuff, edge)
    draft.section = op.Section.LEG
    change_yarn(draft, yarns.cuff, yarns.main)
    knit_leg(draft, sizing, settings, rounds=sizing.leg_rounds - 1)
    finish_heel = begin_heel(draft, sizing, yarns)
    knit_foot(draft, sizing, yarns)
    draft.section = op.Section.CLOSING
    if sizing.toe.closing is Closing.GATHER:
        draft.add(op.Gather)
    draft.add(op.PullCord)
    if sizing.cuff.kind is CuffKind.ROLLED_EDGE:
        draft.add(op.BindOff, edge)
    finish_heel()
    draft.section = op.Section.CLOSING
    draft.add(op.Finish)
    dial = sizing.cuff.rib.dial if sizing.cuff.rib is not None else ()
    return op.Program(sizing.needles, dial, tuple(draft.steps))


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
        return_rib(draft, cuff.rib, cuff.rib.rib)
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
            assert cuff.rib is not None
            return_rib(draft, cuff.rib, cuff.rib.above)
            done = plain_from
        draft.rounds(end - done)
        done = end
    if factor_now != 1.0:
        draft.add(op.SetCam, 1.0, settings.get(1.0))


def return_rib(draft: Draft, rib: RibLayout, moves: Moves) -> None:
    """Disconnect the ribber and hand the rib loops of `moves` back to the cylinder; a dial that
    keeps loops for the instep is connected again, and an empty one taken off."""
    if not moves:
        return
    draft.add(op.Ribber, False)
    back = [(slot, needle) for needle, _ in moves for slot in rib.slots_at(needle)]
    draft.add(op.ToCylinder, tuple(sorted(back, key=lambda move: (move[1], move[0]))))
    if moves == rib.above and rib.instep:
        draft.add(op.Ribber, True)
    else:
        draft.add(op.Mount, False)


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
        assert sizing.cuff.rib is not None
        return_rib(draft, sizing.cuff.rib, sizing.cuff.rib.instep)
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
    knit_whole_cup(
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
