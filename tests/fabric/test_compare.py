"""What was knitted against what was sized: each difference, by one slip in a right program."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import pytest

from programs_to_word import TWO_YARNS, Made, every_sock, made_for, sock
from sockwright import steps as op
from sockwright.fabric.compare import COMPARED, compared, cup_wales
from sockwright.needlebed.execute import DryRun, dry_run
from sockwright.needlebed.findings import Code, Level
from sockwright.order.model import CuffKind, HeelKind, Widening
from sockwright.sock.cup import Cup

LEG, HEEL, FOOT, TOE = op.Section.LEG, op.Section.HEEL, op.Section.FOOT, op.Section.TOE
EVERY = every_sock()


def run(made: Made, program: op.Program | None = None) -> DryRun:
    program = program or made.program
    return compared(dry_run(program), made.sizing, program, made.yarns)


def changed(made: Made, at: int, *instead: op.Step) -> op.Program:
    """The program with `instead` in place of the step at place `at`."""
    steps = made.program.steps
    return replace(made.program, steps=(*steps[:at], *instead, *steps[at + 1 :]))


def place(made: Made, kind: type[op.Step], section: op.Section, number: int = 0) -> int:
    """Place of a step of `kind` in `section`, the first or a later one."""
    places = [
        k
        for k, step in enumerate(made.program.steps)
        if isinstance(step, kind) and step.section is section
    ]
    return places[number]


@pytest.mark.parametrize("name", EVERY)
def test_right_programs_differ_in_nothing(name: str) -> None:
    made = EVERY[name]
    assert [each for each in run(made).findings if each.code is not Code.NO_WRAP] == []
    plain = {Code.NO_WRAP} if name.startswith("no wrap") else set()
    assert {each.code for each in run(made).findings} == plain


def one_round_more(made: Made, section: op.Section) -> op.Program:
    at = place(made, op.Rounds, section)
    step = made.program.steps[at]
    assert isinstance(step, op.Rounds)
    return changed(made, at, replace(step, count=step.count + 1))


def no_wrap(made: Made) -> op.Program:
    return changed(made, place(made, op.Wrap, HEEL))


def row_pair_more(made: Made) -> op.Program:
    at = place(made, op.Row, TOE, 4)
    row = made.program.steps[at]
    assert isinstance(row, op.Row)
    other = op.Way.FORWARD if row.way is op.Way.REVERSE else op.Way.REVERSE
    return changed(made, at, row, replace(row, way=other), row)


def lowered_a_row_early(made: Made) -> op.Program:
    """The needle is lowered at the far end of a row, not beside the carrier after it."""
    at = place(made, op.Row, HEEL, 20)
    steps = list(made.program.steps)
    assert isinstance(steps[at + 1], op.Lower)
    steps[at], steps[at + 1] = steps[at + 1], steps[at]
    return replace(made.program, steps=tuple(steps))


def no_holes(made: Made) -> op.Program:
    return changed(made, place(made, op.MoveLoops, op.Section.CUFF))


def cam_not_set(made: Made) -> op.Program:
    return changed(made, place(made, op.SetCam, LEG))


def heel_in_main(made: Made) -> op.Program:
    at = place(made, op.Thread, HEEL)
    step = made.program.steps[at]
    assert isinstance(step, op.Thread)
    return changed(made, at, replace(step, yarn="main"))


def heel_yarn_past_the_corner(made: Made) -> op.Program:
    at = place(made, op.PartRound, HEEL)
    step = made.program.steps[at]
    assert isinstance(step, op.PartRound)
    return changed(made, at, replace(step, last=step.last + 1))


@dataclass(frozen=True)
class Slip:
    """A slip in a program, and what it must be found as."""

    code: Code
    sock: str
    wrong: Callable[[Made], op.Program]
    needle: int | None
    count: int = 1


YARNS = "wrapped, lower at the carrier 1"
SLIPS = [
    Slip(Code.ROUNDS_DIFFER, "hung hem", lambda made: one_round_more(made, LEG), 1, 60),
    Slip(Code.ROUNDS_DIFFER, "afterthought", lambda made: one_round_more(made, FOOT), 1, 60),
    Slip(Code.ROUNDS_DIFFER, "gathered", lambda made: one_round_more(made, FOOT), 1, 60),
    Slip(Code.WALES_UNEQUAL, "hung hem", lowered_a_row_early, 10),
    Slip(Code.ROUNDS_DIFFER, "narrow", row_pair_more, 3, 7),
    Slip(Code.WRAP_MISSED, "hung hem", no_wrap, 22),
    Slip(Code.EYELETS_DIFFER, "picot hem", no_holes, 2, 30),
    Slip(Code.CAM_DIFFERS, "shaped leg", cam_not_set, None),
    Slip(Code.WRONG_YARN, YARNS, heel_in_main, None),
    Slip(Code.WRONG_YARN, YARNS, heel_yarn_past_the_corner, 31),
]


@pytest.mark.parametrize("slip", SLIPS, ids=lambda slip: f"{slip.code.value}, {slip.sock}")
def test_slip_is_found_as_an_error(slip: Slip) -> None:
    made = EVERY[slip.sock]
    found = run(made, slip.wrong(made)).findings
    places = [(each.needle, each.count) for each in found if each.code is slip.code]
    assert (slip.needle, slip.count) in places
    assert next(each for each in found if each.code is slip.code).level is Level.ERROR


def test_every_difference_is_provoked() -> None:
    assert {slip.code for slip in SLIPS} == COMPARED


def test_a_missing_wrap_is_a_warning_where_none_is_designed() -> None:
    plain = EVERY["no wrap 1"]
    assert {each.level for each in run(plain).findings} == {Level.WARNING}


def test_cups_are_longer_on_one_side_by_what_the_widening_makes_of_it() -> None:
    """Narrowing takes the last needle first. Lowered beside the carrier it also comes back first,
    and both sides are alike; at the far end the first needle does, which so knits two rows more."""
    for widening, apart in (
        (Widening.WRAPPED_NEAR, {0}),
        (Widening.PLAIN, {0}),
        (Widening.WRAPPED_FAR, {2}),
        (Widening.TWO_DOWN_ONE_UP, {2}),
    ):
        wales = cup_wales(Cup(30, 10, widening))
        assert set((wales - wales[::-1])[:10].tolist()) == apart
        assert wales[10:20].tolist() == [40] * 10


def test_an_afterthought_heel_in_its_own_yarn_differs_in_nothing() -> None:
    made = made_for(48, sock(CuffKind.ROLLED_EDGE, heel=HeelKind.AFTERTHOUGHT), yarns=TWO_YARNS)
    assert run(made).findings == ()
