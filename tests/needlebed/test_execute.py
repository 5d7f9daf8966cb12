"""A program executed: the machine before and after each step."""

from __future__ import annotations

from itertools import pairwise

import pytest

from drawing_reading import example_plan
from sockwright import steps as op
from sockwright.needlebed.bed import OUT_OF_SLOT, RAISED, WORKING
from sockwright.needlebed.execute import dry_run, execute

EXAMPLES = ("winch-operator", "night-dispatcher", "avalanche-forecaster", "cooks-son")


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_step_begins_where_the_one_before_it_ended(name: str) -> None:
    program = example_plan(name).program
    run = execute(program)
    done = list(run)
    assert [each.step for each in done] == list(program.steps)
    assert [each.number for each in done] == list(range(1, len(program.steps) + 1))
    assert all(one.after is other.before for one, other in pairwise(done))
    assert [state.steps for state in run.states] == list(range(len(program.steps) + 1))


@pytest.mark.parametrize("name", EXAMPLES)
def test_states_agree_with_the_loops(name: str) -> None:
    """Against the loop table, which is written apart from the states."""
    program = example_plan(name).program
    run, loops = execute(program), dry_run(program).loops
    assert run.states[-1].courses == loops.courses
    knitted = [run.course_yarns[course] for course in loops.course]
    assert knitted == [loops.yarns[yarn] for yarn in loops.yarn]
    for course in loops.runs:
        before = run.at(course.step).before
        here = [slot + 1 for slot in course.slots if slot < program.needles]
        part = course.shape == "part" or getattr(run.at(course.step).step, "last", None)
        assert set(before.working()) <= set(here) or part


def test_at_home_the_carrier_is_at_the_end_it_came_to() -> None:
    """Home is one gap: after a forward pass it lies behind the last needle, after one in reverse
    before the first."""
    heel = tuple(range(1, 31))
    rows = (
        op.HangScrap(op.Section.SET_UP),
        op.Thread(op.Section.SET_UP, "main"),
        op.Rounds(op.Section.LEG, 2),
        op.Raise(op.Section.TOE, heel),
        op.HeelSpring(op.Section.TOE, True),
        op.Row(op.Section.TOE, op.Way.REVERSE),
    )
    states = execute(op.Program(60, (), rows)).states
    assert states[3].gap == 60
    assert states[3].passed() == 60
    assert states[4].carrier_high()
    assert states[4].span() == (31, 60)
    assert states[4].at_home()
    assert states[6].gap == 30
    assert states[6].passed() == 31
    assert not states[6].carrier_high()


def test_what_can_be_asked_of_a_state() -> None:
    steps = (
        op.HangScrap(op.Section.SET_UP),
        op.MoveLoops(op.Section.CUFF, ((4, 3),)),
        op.RemoveNeedles(op.Section.CUFF, (4,)),
        op.Raise(op.Section.HEEL, (7, 8)),
        op.SetCam(op.Section.LEG, 1.1),
    )
    state = execute(op.Program(8, (), steps)).states[-1]
    assert list(state.cylinder) == [WORKING] * 3 + [OUT_OF_SLOT] + [WORKING] * 2 + [RAISED] * 2
    assert state.working() == [1, 2, 3, 5, 6]
    assert state.in_slots() == [1, 2, 3, 5, 6, 7, 8]
    assert not state.solid()
    assert state.factor == 1.1
    assert state.yarn is None


def test_a_step_that_is_not_there_is_refused() -> None:
    run = execute(example_plan("winch-operator").program)
    with pytest.raises(IndexError, match="step 0"):
        run.at(0)
    assert run.yarn_of(10_000) is None
