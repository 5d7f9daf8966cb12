"""Small programs that provoke a finding around what is knitted: yarn ends, waste and cord, heel
weights, the dial; and the same programs mended."""

from __future__ import annotations

from builders import BEGUN, N, tube
from finding_cases import (
    CLOSING,
    CUT,
    ERROR,
    HEEL,
    INTO,
    LEFT,
    LEG,
    RAISE_20,
    REVERSE,
    RIGHT,
    ROUND,
    SPRING_ON,
    WARNING,
    WRAP_13,
    WRAP_20,
    Case,
    case,
    edge,
    off,
)
from sockwright import steps as op
from sockwright.needlebed.findings import Code

SET_UP = op.Section.SET_UP
WASTE = (op.Thread(LEG, "waste", True), op.Rounds(LEG, 3))
FORKS, TO_DIAL = op.Weigh(HEEL, op.Weight.HEEL), op.ToDial(LEG, ((2, 1),))


def rows(count: int) -> tuple[op.Step, ...]:
    """So many rows to and fro."""
    return tuple(op.Row(HEEL, (op.Way.REVERSE, op.Way.FORWARD)[k % 2]) for k in range(count))


def opened(*last: op.Step, needles: tuple[int, ...] = LEFT) -> tuple[op.Step, ...]:
    """A tube with a row of waste over needles 1..12, taken off and gathered, the waste drawn out
    over `needles`."""
    return tube(
        *INTO[:3],
        CUT,
        op.Thread(HEEL, "waste", True, between=(12, 13)),
        REVERSE,
        op.Row(HEEL, op.Way.FORWARD, 6),
        op.Lower(HEEL, tuple(range(13, 25))),
        op.PartRound(HEEL, 12),
        CUT,
        op.Thread(HEEL, "main"),
        op.PartRound(LEG, N),
        ROUND,
        CUT,
        *WASTE,
        op.TakeOff(CLOSING),
        op.Gather(CLOSING),
        op.OpenWaste(HEEL, 4, needles),
        *last,
    )


AROUND: list[Case] = [
    case(
        Code.ENDS_ASIDE,
        ERROR,
        tube(*INTO, CUT, op.Thread(HEEL, "heel", between=(11, 12))),
        tube(*INTO, CUT, op.Thread(HEEL, "heel", between=(13, 12))),
        at=11,
    ),
    case(
        Code.ENDS_ASIDE,
        ERROR,
        tube(ROUND, CUT, op.Thread(HEEL, "heel", between=(1, 2))),
        tube(ROUND, CUT, op.Thread(HEEL, "heel", between=(24, 1))),
        at=7,
    ),
    case(
        Code.REHANG_ASKEW,
        ERROR,
        opened(op.Rehang(HEEL, LEFT, RIGHT)),
        opened(op.Rehang(HEEL, LEFT, RIGHT[::-1])),
        at=24,
    ),
    case(
        Code.REHANG_ASKEW,
        ERROR,
        opened(op.Rehang(HEEL, LEFT, (*range(14, 25), 1))),
        opened(op.Rehang(HEEL, LEFT, RIGHT[::-1])),
        at=24,
    ),
    case(
        Code.WASTE_NOT_OPENED,
        ERROR,
        opened(needles=LEFT[1:]),
        opened(),
        at=23,
    ),
    case(
        Code.WASTE_IN_SOCK,
        ERROR,
        opened(needles=LEFT[1:]),
        opened(),
        at=17,
        needle=1,
    ),
    case(
        Code.WASTE_IN_SOCK,
        ERROR,
        tube(CUT, *WASTE, CUT, op.Thread(LEG, "main"), ROUND),
        tube(ROUND, CUT, *WASTE),
        at=10,
        needle=1,
        count=N,
    ),
    case(
        Code.SOCK_YARN_IN_WASTE,
        ERROR,
        tube(op.Rounds(SET_UP, 9)),
        tube(op.Rounds(LEG, 9)),
        at=5,
    ),
    case(
        Code.YARN_NOT_CUT,
        ERROR,
        tube(op.Thread(LEG, "toe"), ROUND),
        tube(CUT, op.Thread(LEG, "toe"), ROUND),
        at=5,
    ),
    case(
        Code.YARN_NOT_CUT,
        ERROR,
        tube(CUT, *WASTE, op.TakeOff(CLOSING), CUT, op.Gather(CLOSING)),
        tube(CUT, *WASTE, CUT, op.TakeOff(CLOSING), op.Gather(CLOSING)),
        at=8,
    ),
    case(
        Code.NOT_HELD,
        ERROR,
        tube(CUT, op.TakeOff(CLOSING), op.Gather(CLOSING)),
        tube(CUT, *WASTE, CUT, op.TakeOff(CLOSING), op.Gather(CLOSING)),
        at=6,
    ),
    case(Code.NOT_FINISHED, ERROR, off(), off(op.Finish(CLOSING)), at=6),
    case(
        Code.NO_CORD,
        ERROR,
        tube(ROUND, op.PullCord(CLOSING)),
        (*BEGUN[:2], op.Thread(LEG, "cord", True), ROUND, *tube(op.PullCord(CLOSING))[2:]),
        at=6,
    ),
    case(Code.CORD_LEFT_IN, ERROR, edge()[:-1], edge(), at=9),
    case(
        Code.OFF_CORNER,
        ERROR,
        tube(*INTO, op.Raise(HEEL, (1,)), op.Lower(HEEL, (13,)), op.PartRound(HEEL, 9), REVERSE),
        tube(*INTO, op.Raise(HEEL, (1,)), op.Lower(HEEL, (13,)), REVERSE),
        at=13,
    ),
    case(
        Code.OFF_CORNER,
        ERROR,
        tube(*INTO[:2], op.PartRound(HEEL, 13)),
        tube(*INTO[:2], op.PartRound(HEEL, 12)),
        at=7,
        needle=13,
    ),
    case(
        Code.FORKS_UNDER_RAISED,
        ERROR,
        tube(FORKS, *INTO[:3], SPRING_ON, WRAP_13, REVERSE),
        tube(*INTO, WRAP_13, REVERSE),
        at=11,
        needle=23,
    ),
    case(
        Code.FORKS_NOT_MOVED,
        WARNING,
        tube(*INTO, *rows(11)),
        tube(*INTO, *rows(10), FORKS, *rows(1)),
        at=20,
    ),
    case(
        Code.FORKS_LEFT_ON,
        ERROR,
        tube(FORKS, ROUND),
        tube(FORKS, op.Unweigh(LEG, op.Weight.HEEL), ROUND),
        at=6,
    ),
    case(
        Code.FORKS_LEFT_ON,
        ERROR,
        tube(FORKS, op.TakeOff(CLOSING)),
        tube(FORKS, op.Unweigh(LEG, op.Weight.HEEL), op.TakeOff(CLOSING)),
        at=6,
    ),
    case(
        Code.WEIGHT_LEFT_ON,
        ERROR,
        tube(op.Rounds(LEG, 4), op.HangHem(LEG, 1)),
        tube(op.Rounds(LEG, 4), op.Unweigh(LEG, op.Weight.MAIN), op.HangHem(LEG, 1)),
        at=6,
    ),
    case(
        Code.DIAL_IDLE,
        ERROR,
        tube(TO_DIAL, op.Rounds(LEG, 2), op.Rounds(LEG, 2)),
        tube(TO_DIAL, op.Rounds(LEG, 3), op.Ribber(LEG, True), op.Rounds(LEG, 2)),
        at=7,
        dial=(2.0, 4.0),
    ),
    case(
        Code.NO_RIBBER,
        ERROR,
        tube(TO_DIAL),
        tube(op.Mount(LEG, True), TO_DIAL),
        at=5,
        dial=(2.0, 4.0),
    ),
    case(
        Code.RIBBER_OVER_ROWS,
        ERROR,
        tube(op.Mount(LEG, True), *INTO, WRAP_13, REVERSE),
        tube(op.Mount(LEG, True), op.Mount(LEG, False), *INTO, WRAP_13, REVERSE),
        at=12,
        dial=(2.0, 4.0),
    ),
    case(
        Code.LOOP_ON_NEEDLE,
        ERROR,
        tube(op.Mount(LEG, True), TO_DIAL, op.Mount(LEG, False)),
        tube(op.Mount(LEG, True), TO_DIAL, op.ToCylinder(LEG, ((1, 2),)), op.Mount(LEG, False)),
        at=7,
        needle=1,
        on_dial=True,
        dial=(2.0, 4.0),
    ),
    case(
        Code.WRAPPED_TWICE,
        ERROR,
        tube(RAISE_20, WRAP_20, WRAP_20, ROUND),
        tube(RAISE_20, WRAP_20, ROUND, WRAP_20),
        at=7,
        needle=20,
    ),
    case(
        Code.MOVED_FAR,
        ERROR,
        tube(op.MoveLoops(LEG, ((5, 3),))),
        tube(op.MoveLoops(LEG, ((1, 24), (4, 3), (5, 3)))),
        at=5,
        needle=5,
    ),
    case(
        Code.REHANG_ASKEW,
        ERROR,
        opened(op.Rehang(HEEL, LEFT, RIGHT[::-1]), op.Rehang(HEEL, LEFT, RIGHT[::-1])),
        opened(op.Rehang(HEEL, LEFT, RIGHT[::-1])),
        at=25,
    ),
]
