"""Small programs that provoke a finding in what is knitted, and the same programs mended."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

from builders import BEGUN, N, into_rows, tube
from sockwright import steps as op
from sockwright.needlebed.findings import Code, Finding, Level

LEG, HEEL, CLOSING = op.Section.LEG, op.Section.HEEL, op.Section.CLOSING
ERROR, WARNING = Level.ERROR, Level.WARNING


@dataclass(frozen=True)
class Case:
    """A program with `wrong` steps, which must give `finding`, and the same with `right` ones."""

    finding: Finding
    level: Level
    wrong: tuple[op.Step, ...]
    right: tuple[op.Step, ...]
    dial: tuple[float, ...] = ()
    supply: dict[str, float] = field(default_factory=dict)
    right_supply: dict[str, float] = field(default_factory=dict)


def case(
    code: Code,
    level: Level,
    wrong: tuple[op.Step, ...],
    right: tuple[op.Step, ...],
    *,
    at: int,
    needle: int | None = None,
    count: int = 1,
    on_dial: bool = False,
    **named: object,
) -> Case:
    finding = Finding(code, at, needle, count, on_dial)
    return Case(finding, level, wrong, right, **named)  # type: ignore[arg-type]


def steps(kind: Callable[..., op.Step], *arguments: object) -> op.Step:
    return kind(LEG, *arguments)


def edge(*between: op.Step) -> tuple[op.Step, ...]:
    """A tube on a ravel cord, taken off and gathered, whose cord is pulled."""
    return (
        *BEGUN[:2],
        op.Thread(LEG, "cord", True),
        op.Rounds(LEG, 1),
        op.Thread(LEG, "main"),
        op.Rounds(LEG, 5),
        *between,
        op.Rounds(LEG, 2),
        op.TakeOff(CLOSING),
        op.Gather(CLOSING),
        op.PullCord(CLOSING),
    )


def off(*last: op.Step) -> tuple[op.Step, ...]:
    """A tube of two rounds, taken off."""
    return tube(op.Rounds(LEG, 1), op.TakeOff(CLOSING), *last)


def turned(*between: op.Step) -> tuple[op.Step, ...]:
    """Two rows over needles 1..12, with `between` before the second."""
    return tube(
        *into_rows(12),
        op.Wrap(HEEL, 13),
        op.Row(HEEL, op.Way.REVERSE),
        *between,
        op.Row(HEEL, op.Way.FORWARD),
    )


RAISE_1 = op.Raise(HEEL, (1,))
WRAP_13, WRAP_24 = op.Wrap(HEEL, 13), op.Wrap(HEEL, 24)
SPRING_ON, SPRING_OFF = op.HeelSpring(HEEL, True), op.HeelSpring(HEEL, False)
REVERSE = op.Row(HEEL, op.Way.REVERSE)
INTO = into_rows(12)
LEFT, RIGHT = tuple(range(1, 13)), tuple(range(24, 12, -1))
WRAP_20 = op.Wrap(LEG, 20)
RAISE_20, LOWER_20 = op.Raise(LEG, (20,)), op.Lower(LEG, (20,))
ROUND, CUT = op.Rounds(LEG, 1), op.CutYarn(LEG)

CASES = [
    case(Code.LIVE_LOOP, ERROR, off(), off(op.Gather(CLOSING)), at=6, needle=1, count=N),
    case(
        Code.LIVE_LOOP,
        ERROR,
        off(op.Graft(CLOSING, LEFT[1:], RIGHT[1:])),
        off(op.Graft(CLOSING, LEFT, RIGHT)),
        at=7,
        needle=1,
        count=2,
    ),
    case(
        Code.GRAFT_ASKEW,
        ERROR,
        off(op.Graft(CLOSING, LEFT, RIGHT[1:] + RIGHT[:1])),
        off(op.Graft(CLOSING, LEFT, RIGHT)),
        at=7,
    ),
    case(
        Code.GRAFT_ASKEW,
        ERROR,
        off(op.Graft(CLOSING, LEFT, RIGHT[::-1])),
        off(op.Graft(CLOSING, LEFT, RIGHT)),
        at=7,
    ),
    case(
        Code.GRAFT_CORNER,
        ERROR,
        off(op.Graft(CLOSING, LEFT[::-1], RIGHT[::-1])),
        off(op.Graft(CLOSING, LEFT, RIGHT)),
        at=7,
        needle=12,
    ),
    case(
        Code.TAIL_ON_NOTHING,
        ERROR,
        tube(
            op.CutYarn(LEG), op.Thread(LEG, "toe"), op.CutYarn(LEG), op.Thread(LEG, "main"), ROUND
        ),
        tube(op.CutYarn(LEG), op.Thread(LEG, "toe"), ROUND, op.CutYarn(LEG)),
        at=7,
    ),
    case(
        Code.FREE_END,
        ERROR,
        tube(*INTO, op.CutYarn(HEEL), op.Thread(HEEL, "heel"), SPRING_ON, WRAP_13, REVERSE),
        tube(
            *INTO,
            op.CutYarn(HEEL),
            op.Thread(HEEL, "heel", between=(12, 13)),
            SPRING_ON,
            WRAP_13,
            REVERSE,
        ),
        at=14,
    ),
    case(
        Code.NO_SPRING,
        WARNING,
        tube(*INTO, op.CutYarn(HEEL), op.Thread(HEEL, "heel", between=(12, 13)), WRAP_13, REVERSE),
        tube(*INTO, WRAP_13, REVERSE),
        at=13,
    ),
    case(
        Code.UNDER_CAMS,
        ERROR,
        tube(op.Raise(LEG, (21,)), ROUND),
        tube(RAISE_20, ROUND),
        at=5,
        needle=21,
    ),
    case(Code.EDGE_RAVELS, ERROR, edge(), edge(op.HangHem(LEG, 2)), at=10),
    case(Code.EDGE_RAVELS, ERROR, edge(op.HangHem(LEG, 3)), edge(op.HangHem(LEG, 2)), at=11),
    case(
        Code.EMPTY_NEEDLE,
        ERROR,
        tube(op.MoveLoops(LEG, ((5, 4),)), ROUND),
        tube(op.MoveLoops(LEG, ((5, 4),), True), ROUND),
        at=6,
        needle=5,
    ),
    case(
        Code.TOO_MANY_LOOPS,
        ERROR,
        tube(RAISE_20, WRAP_20, ROUND, WRAP_20, ROUND, WRAP_20, ROUND, LOWER_20, ROUND),
        tube(RAISE_20, WRAP_20, ROUND, WRAP_20, ROUND, ROUND, LOWER_20, ROUND),
        at=13,
        needle=20,
    ),
    case(Code.NO_WRAP, WARNING, turned(), turned(WRAP_24), at=12, needle=24),
    case(Code.NO_WRAP, WARNING, turned(), turned(RAISE_1), at=12, needle=24),
    case(
        Code.LONG_FLOAT,
        ERROR,
        tube(op.Raise(LEG, (7, 8, 9, 10)), ROUND),
        tube(op.Raise(LEG, (7, 8, 9)), ROUND),
        at=6,
        needle=10,
    ),
    case(
        Code.LONG_FLOAT,
        ERROR,
        tube(op.Raise(LEG, (23, 24, 1, 2)), ROUND),
        tube(op.Raise(LEG, (23, 24, 1)), ROUND),
        at=6,
        needle=2,
    ),
    case(
        Code.UNEQUAL_GRAFT,
        ERROR,
        off(op.Graft(CLOSING, LEFT, RIGHT[:-1])),
        off(op.Graft(CLOSING, LEFT, RIGHT)),
        at=7,
    ),
    case(
        Code.UNEQUAL_GRAFT,
        ERROR,
        # Needle 3 is raised while the waste is knitted, which so does not hold its loop.
        tube(
            op.Raise(LEG, (3,)),
            op.Thread(CLOSING, "waste", True),
            op.Rounds(CLOSING, 9),
            op.TakeOff(CLOSING),
            op.Graft(CLOSING, LEFT, RIGHT),
        ),
        tube(
            op.Thread(CLOSING, "waste", True),
            op.Rounds(CLOSING, 9),
            op.TakeOff(CLOSING),
            op.Graft(CLOSING, LEFT, RIGHT),
        ),
        at=9,
    ),
    case(
        Code.HEM_ASKEW,
        ERROR,
        tube(op.Rounds(LEG, 4), op.HangHem(LEG, 1, 1), ROUND),
        tube(op.Rounds(LEG, 4), op.HangHem(LEG, 1), ROUND),
        at=6,
    ),
    case(Code.NO_YARN, ERROR, tube(op.CutYarn(LEG), ROUND), tube(ROUND), at=6),
    case(Code.NO_YARN, ERROR, (*BEGUN[:2], op.CutYarn(LEG)), (*BEGUN, op.CutYarn(LEG)), at=3),
    case(
        Code.YARN_GONE,
        WARNING,
        tube(op.Rounds(LEG, 9)),
        tube(op.Rounds(LEG, 9)),
        at=5,
        supply={"main": 389.0},
        right_supply={"main": 390.0},  # an end of 150 and four rounds of 60, 1 mm a loop
    ),
    case(
        Code.EMPTY_RAISE,
        ERROR,
        tube(op.Raise(LEG, (4,)), op.Raise(LEG, (4,))),
        tube(op.Raise(LEG, (4,)), op.Raise(LEG, (5,))),
        at=6,
        needle=4,
    ),
    case(
        Code.WRONG_SIDE,
        ERROR,
        tube(*INTO, op.Row(HEEL, op.Way.FORWARD)),
        tube(*INTO, REVERSE),
        at=10,
    ),
    case(
        Code.NO_HEEL_WEIGHT,
        ERROR,
        tube(*INTO[:2], SPRING_ON, op.Wrap(HEEL, 13), REVERSE),
        tube(*INTO, op.Wrap(HEEL, 13), REVERSE),
        at=9,
    ),
    case(
        Code.NO_MAIN_WEIGHT,
        ERROR,
        tube(op.Unweigh(LEG, op.Weight.MAIN), ROUND),
        tube(op.Unweigh(LEG, op.Weight.MAIN), op.Weigh(LEG, op.Weight.MAIN), ROUND),
        at=6,
    ),
    case(
        Code.NO_MAIN_WEIGHT,
        ERROR,
        tube(op.Unweigh(LEG, op.Weight.MAIN), op.PartRound(LEG, 12)),
        tube(op.PartRound(LEG, 12)),
        at=6,
    ),
    case(
        Code.NO_SPRING,
        WARNING,
        tube(*INTO[:3], op.Wrap(HEEL, 13), REVERSE),
        tube(*INTO, op.Wrap(HEEL, 13), REVERSE),
        at=9,
    ),
    case(
        Code.SPRING_LEFT_ON,
        WARNING,
        tube(SPRING_ON, ROUND),
        tube(SPRING_ON, SPRING_OFF, ROUND),
        at=6,
    ),
    case(
        Code.RIBBER_IN_REVERSE,
        ERROR,
        tube(*INTO, op.Ribber(HEEL, True), op.Wrap(HEEL, 13), REVERSE),
        tube(*INTO, op.Ribber(HEEL, False), op.Wrap(HEEL, 13), REVERSE),
        at=12,
    ),
    case(Code.NO_NEEDLE, ERROR, tube(op.RemoveNeedles(LEG, (25,))), tube(), at=5, needle=25),
    case(
        Code.NO_NEEDLE,
        ERROR,
        tube(op.ToDial(LEG, ((2, 3),))),
        tube(op.ToDial(LEG, ((2, 1),))),
        at=5,
        needle=3,
        on_dial=True,
        dial=(2.0, 4.0),
    ),
    case(
        Code.NO_LOOP,
        ERROR,
        tube(op.MoveLoops(LEG, ((5, 4), (5, 6)))),
        tube(op.MoveLoops(LEG, ((5, 4),))),
        at=5,
        needle=5,
    ),
    case(
        Code.NO_LOOP,
        ERROR,
        tube(op.ToCylinder(LEG, ((1, 2),))),
        tube(op.ToDial(LEG, ((2, 1),)), op.ToCylinder(LEG, ((1, 2),))),
        at=5,
        needle=1,
        on_dial=True,
        dial=(2.0, 4.0),
    ),
    case(
        Code.NO_LOOP,
        ERROR,
        tube(op.OpenWaste(HEEL, 1, LEFT)),
        tube(
            op.Thread(HEEL, "waste", True),
            ROUND,
            op.Thread(HEEL, "main"),
            ROUND,
            op.OpenWaste(HEEL, 2, LEFT),
        ),
        at=5,
    ),
    case(
        Code.NOTHING_IN_WORK,
        ERROR,
        tube(op.Raise(LEG, tuple(range(1, N + 1))), ROUND),
        tube(op.Raise(LEG, (1,)), ROUND),
        at=6,
    ),
    case(
        Code.LOOP_ON_NEEDLE,
        ERROR,
        tube(op.RemoveNeedles(LEG, (3,))),
        tube(op.MoveLoops(LEG, ((3, 2),)), op.RemoveNeedles(LEG, (3,))),
        at=5,
        needle=3,
    ),
    case(Code.NOT_RAISED, ERROR, tube(op.Lower(LEG, (9,))), tube(), at=5, needle=9),
    case(Code.NOT_RAISED, ERROR, tube(op.Wrap(LEG, 9)), tube(), at=5, needle=9),
]
