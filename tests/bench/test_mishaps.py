"""How far hem and heel are at each count, told from the steps of the program."""

from __future__ import annotations

from dataclasses import replace
from itertools import groupby

import pytest

from orders import order
from sockwright import steps as op
from sockwright.bench.counting import DO, Sock, sock_of
from sockwright.bench.mishaps import (
    AFTER,
    BEFORE,
    CLOSED,
    CORNERS,
    NARROWING,
    NONE,
    OPEN,
    WIDENING,
    heel_needles,
    stages,
)
from sockwright.order.model import CuffGiven, CuffKind, HeelGiven, SockGiven
from sockwright.plan.make import SockPlan, make_plan


def made(needles: int = 61, sock: SockGiven | None = None) -> tuple[SockPlan, Sock]:
    plan = make_plan(order(needles, sock=sock)).first
    return plan, sock_of(plan)


def in_turn(sock: Sock, plan: SockPlan, part: str) -> list[str]:
    return [key for key, _ in groupby(getattr(stage, part) for stage in stages(plan, sock))]


def test_there_is_a_stage_for_each_count_step_and_one_for_the_end() -> None:
    plan, sock = made()
    assert len(stages(plan, sock)) == len(sock.count_steps) + 1


def test_a_hem_can_be_lifted_off_until_its_closing_round_is_done() -> None:
    plan, sock = made()
    assert in_turn(sock, plan, "hem") == [BEFORE, OPEN, CLOSED]
    steps = plan.program.steps
    (hang,) = (n for n, step in enumerate(steps, 1) if isinstance(step, op.HangHem))
    hanging = next(
        count_step
        for count_step in sock.count_steps
        if hang in sock.instructions[count_step.instruction - 1].steps
    )
    closing = next(
        count_step for count_step in sock.count_steps[hanging.place :] if count_step.kind != DO
    )
    told = [stage.hem for stage in stages(plan, sock)]
    assert told[hanging.place - 1 : closing.place] == [OPEN] * (closing.place - hanging.place + 1)
    assert told[closing.place] == CLOSED


def test_a_heel_is_narrowed_then_widened_then_its_corners_stand_still() -> None:
    plan, sock = made()
    order_of_heel = [BEFORE, NARROWING, WIDENING, CORNERS, AFTER]
    assert in_turn(sock, plan, "heel") == order_of_heel
    for count_step, stage in zip(sock.count_steps, stages(plan, sock), strict=False):
        text = sock.instructions[count_step.instruction - 1].text
        if count_step.section == "heel" and "narrowing" in text:
            assert stage.heel == NARROWING
        elif count_step.section == "heel" and ", widening" in text:
            assert stage.heel == WIDENING


def test_corners_stand_still_until_a_whole_round_has_passed_them() -> None:
    plan, sock = made()
    told = [stage.heel for stage in stages(plan, sock)]
    first, last = told.index(CORNERS), len(told) - 1 - told[::-1].index(CORNERS)
    cranked = [
        count_step for count_step in sock.count_steps[first : last + 1] if count_step.kind != DO
    ]
    assert [count_step.gap_before == count_step.gap for count_step in cranked] == [False, True]


def test_a_deep_heel_has_corners_twice() -> None:
    plan, sock = made(60, SockGiven(heel=HeelGiven(deep_kept=20)))
    cup = [NARROWING, WIDENING, CORNERS]
    assert in_turn(sock, plan, "heel") == [BEFORE, *cup, *cup, AFTER]


def test_a_sock_without_a_hem_has_no_stage_of_it() -> None:
    plan, sock = made(60, replace(SockGiven(), cuff=CuffGiven(CuffKind.ROLLED_EDGE)))
    assert in_turn(sock, plan, "hem") == [NONE]


@pytest.mark.parametrize("needles", [60, 61])
def test_the_needles_of_the_heel_are_those_its_check_leaves_in_work(needles: int) -> None:
    plan, sock = made(needles)
    states = [step for step in plan.program.steps if isinstance(step, op.Raise)]
    held = set(states[0].needles)
    assert heel_needles(sock) == tuple(n for n in range(1, needles + 1) if n not in held)
