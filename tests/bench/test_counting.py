"""A sock as counts: every step once, counts as the instructions say, the yarn as the plan says."""

from __future__ import annotations

import re
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from amounts import amount
from bench_logs import count_steps_of
from orders import order, random_order
from sockwright import steps as op
from sockwright.bench.counting import DO, ROUND, ROW, Sock, sock_of
from sockwright.errors import CannotMake, OrderError
from sockwright.needlebed.bed import RAISED
from sockwright.order.model import Order
from sockwright.plan.make import SockPlan, make_plan
from sockwright.program.draft import CORD, WASTE

random_plans = st.integers(0, 2**32 - 1).map(lambda n: random_order(np.random.default_rng(n)))


def sound(plan: SockPlan) -> None:
    """All laws of a sock's counts."""
    sock = sock_of(plan)
    counts_every_step_once(plan, sock)
    counts_as_the_instructions(sock)
    counts_as_the_program(plan, sock)
    uses_the_yarn_of_the_plan(plan, sock)
    goes_on_from_where_it_was(sock)
    stands_past_the_needle_that_the_words_name(sock)


def counts_every_step_once(plan: SockPlan, sock: Sock) -> None:
    assert [count_step.place for count_step in sock.count_steps] == list(
        range(1, len(sock.count_steps) + 1)
    )
    steps = [step for each in sock.instructions for step in each.steps]
    assert steps == list(range(1, len(plan.program.steps) + 1))
    for each in sock.instructions:
        count_steps = count_steps_of(sock, each.number)
        assert [count_step.nth for count_step in count_steps] == list(
            range(1, len(count_steps) + 1)
        )
        assert {count_step.count_steps for count_step in count_steps} == {len(count_steps)}


def counts_as_the_instructions(sock: Sock) -> None:
    for each in sock.instructions:
        counted = [
            (count_step.count, count_step.of) for count_step in count_steps_of(sock, each.number)
        ]
        if each.count is None:
            assert set(counted) == {(0, 0)}
        else:
            first, last, of = each.count.first, each.count.last, each.count.of
            assert counted == [(count, of) for count in range(first, last + 1)]


def counts_as_the_program(plan: SockPlan, sock: Sock) -> None:
    """Rounds and rows of the program itself, added up without the instructions."""
    steps = plan.program.steps
    rounds = sum(step.count for step in steps if isinstance(step, op.Rounds))
    parts = sum(isinstance(step, op.PartRound) for step in steps)
    rows = sum(isinstance(step, op.Row) for step in steps)
    kinds = [count_step.kind for count_step in sock.count_steps]
    assert (kinds.count(ROUND), kinds.count(ROW)) == (rounds + parts, rows)


def uses_the_yarn_of_the_plan(plan: SockPlan, sock: Sock) -> None:
    for name, use in plan.use.items():
        used = [count_step.used_mm for count_step in sock.count_steps if count_step.yarn == name]
        assert used == sorted(used)
        if not used or name in (WASTE, CORD):
            continue
        tails = tails_mm(plan.program, name)
        assert use.length.value - tails - 1 <= used[-1] <= use.length.value + 1


def tails_mm(program: op.Program, yarn: str) -> float:
    """All ends that are left of a yarn."""
    tails, threaded = 0.0, ""
    for step in program.steps:
        if isinstance(step, op.Thread):
            threaded = step.yarn
        if isinstance(step, op.Thread | op.CutYarn) and threaded == yarn:
            tails += step.tail_mm
    return tails


def goes_on_from_where_it_was(sock: Sock) -> None:
    for before, after in pairwise(sock.count_steps):
        assert after.gap_before == before.gap
        if after.section == before.section:
            assert after.length_mm >= before.length_mm
        if after.nth > 1:
            assert after.before == after.bed == before.bed
    assert all(0 <= count_step.gap < sock.needles for count_step in sock.count_steps)
    for count_step in sock.count_steps:
        # It stands past a needle that is in its slot, as long as any before home is.
        look = sock.beds[count_step.bed][0]
        assert look[count_step.passed - 1] != "o" or not look.strip("o")
    # What the hands do moves the crank only where the sock is thrown off its needles.
    thrown = [
        count_step.place
        for count_step in sock.count_steps
        if count_step.kind == DO and count_step.way
    ]
    assert max(thrown, default=len(sock.count_steps)) == sock.off
    assert all(count_step.kind == DO for count_step in sock.count_steps[sock.off :])


PLACE = re.compile(r"past needle (\d+)|needle (\d+)(?: \([^)]*\))? has passed")


def stands_past_the_needle_that_the_words_name(sock: Sock) -> None:
    for each in sock.instructions:
        last = count_steps_of(sock, each.number)[-1]
        named = PLACE.findall(each.text)
        if last.kind != DO and named:
            assert str(last.passed) in named[-1], each.text


@pytest.mark.parametrize("needles", [24, 37, 48, 60, 61, 84, 99, 120])
def test_a_plain_sock_of_any_cylinder(needles: int) -> None:
    # The fabric is as fine as the cylinder asks for, so that the sock fits the same foot.
    sound(make_plan(order(needles, wale_mm=3.3 * 60 / needles)).first)


@given(random_plans)
@settings(max_examples=amount(8, 200), deadline=None)
def test_the_laws_hold_for_any_order(asked: Order) -> None:
    try:
        pair = make_plan(asked)
    except (CannotMake, OrderError):
        return
    for each in pair.socks:
        if each is not None:
            sound(each)


def test_the_bed_is_that_of_the_dry_run() -> None:
    plan = make_plan(order(60)).first
    sock = sock_of(plan)
    for count_step in sock.count_steps:
        state = plan.execution.states[sock.instructions[count_step.instruction - 1].steps[-1]]
        up = {n for n, needle in enumerate(state.cylinder) if needle == RAISED}
        look = sock.beds[count_step.bed][0]
        assert {n for n, letter in enumerate(look) if letter == "r"} == up


def test_a_row_names_the_needles_it_touches() -> None:
    sock = sock_of(make_plan(order(60)).first)
    rows = [count_step for count_step in sock.count_steps if count_step.kind == ROW]
    assert rows
    for count_step in rows:
        words = sock.instructions[count_step.instruction - 1].brief
        for touch in count_step.touches:
            assert all(str(needle) in words for needle in touch.needles)
