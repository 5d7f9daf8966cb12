"""How many loops each wale has in each part of a sock as it was sized."""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from sockwright.order.model import CuffKind, ToeHalf, Widening
from sockwright.program.cuff import SELVEDGE_ROUNDS
from sockwright.sock.cup import Cup
from sockwright.sock.sizing import Sizing
from sockwright.steps import Section

UNSIZED = -1
"""Wales whose loops the sizing does not tell one by one."""

Wales = NDArray[np.int64]


def sized_wales(sizing: Sizing, section: Section) -> Wales:
    """(N,) loops on each needle, needle 1 first, or UNSIZED."""
    wales = np.zeros(sizing.needles, np.int64)
    if section in PARTS:
        PARTS[section](sizing, wales)
    return wales


def own_wales(sizing: Sizing, section: Section) -> Wales:
    """(N,) those loops of a heel or toe that are knitted in its own yarn: its rows, and all of an
    afterthought heel."""
    wales = np.zeros(sizing.needles, np.int64)
    heel, toe = sizing.heel, sizing.toe
    if section is Section.HEEL and heel.tube_rounds:
        return sized_wales(sizing, section)
    if section is Section.HEEL:
        _cups(wales, heel.cups, 1)
    elif toe.cup is not None:
        _cups(wales, (toe.cup,), _first_of_toe(sizing))
    return wales


def _first_of_toe(sizing: Sizing) -> int:
    return 1 if sizing.toe.half is ToeHalf.HEEL else sizing.heel_needles + 1


def _cuff(sizing: Sizing, wales: Wales) -> None:
    cuff = sizing.cuff
    wales[:] = cuff.rounds
    if cuff.kind is CuffKind.MOCK_RIB_HEM:
        wales[cuff.every - 1 :: cuff.every] = 4  # two rounds before they are out, two after
    if cuff.kind is CuffKind.TRUE_RIB and cuff.rib is not None:
        wales += 1 + SELVEDGE_ROUNDS
        wales[[needle - 1 for needle, _ in cuff.rib.edge]] -= SELVEDGE_ROUNDS


def _leg(sizing: Sizing, wales: Wales) -> None:
    """The last round is knitted over the heel half before the heel, over the others after it,
    where a heel parts it."""
    wales[:] = sizing.leg_rounds
    wales[sizing.heel_needles :] -= sizing.heel.parts_round


def _foot(sizing: Sizing, wales: Wales) -> None:
    """The other half of the leg's last round, and the foot's, the last of which is begun before a
    toe on the heel half and done after it."""
    half = sizing.heel_needles
    wales[:] = sizing.foot_rounds
    wales[half:] += sizing.heel.parts_round
    if sizing.toe.cup is not None:
        if sizing.toe.half is ToeHalf.HEEL:
            wales[half:] -= 1
        wales[2 * half :] = UNSIZED  # of an odd number the last needle is left out


def _toe(sizing: Sizing, wales: Wales) -> None:
    cup, half = sizing.toe.cup, sizing.heel_needles
    if cup is None:
        return
    if sizing.toe.half is ToeHalf.HEEL:
        wales[half : 2 * half] = 1
    _cups(wales, (cup,), _first_of_toe(sizing))


def _heel(sizing: Sizing, wales: Wales) -> None:
    heel, half = sizing.heel, sizing.heel_needles
    _cups(wales, heel.cups, 1)
    wales += heel.wedge_rounds
    # Rounds of its own, the first over the one half before the rows, over the other after them.
    wales[: 2 * half] += heel.tube_rounds


def cup_wales(cup: Cup) -> Wales:
    """(needles,) rows that each needle of a cup knits, that with the lowest number first; the
    carrier stands at the other end when narrowing begins and when it ends."""
    side = cup.raised // 2
    place = np.arange(1, side + 1)  # from the end of the run inwards
    inner = side + 1 - place
    down = 2 * np.maximum(place - cup.first_raise, 0)  # rows before it is raised
    near = cup.widening in (Widening.WRAPPED_NEAR, Widening.PLAIN)
    up = cup.raised - 2 * (inner - 1)  # rows once it is lowered, on the side that comes first
    if cup.widening is Widening.TWO_DOWN_ONE_UP:
        up = up + (inner > 1)  # the outer of two knits a row before it goes up again
    wales = np.full(cup.needles, cup.rows)
    wales[:side] = down + 1 + up - near
    wales[cup.needles - side :] = (down + up - 1 + near)[::-1]
    return wales


def _cups(wales: Wales, cups: Sequence[Cup], first: int) -> None:
    for cup in cups:
        wales[first - 1 : first - 1 + cup.needles] += cup_wales(cup)


PARTS: dict[Section, Callable[[Sizing, Wales], None]] = {
    Section.CUFF: _cuff,
    Section.LEG: _leg,
    Section.HEEL: _heel,
    Section.FOOT: _foot,
    Section.TOE: _toe,
}
