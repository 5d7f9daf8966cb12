"""What hangs and is connected at each moment, and when that changes, by the program."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from sockwright.needlebed.replay import BedState, every_state
from sockwright.plan import Plan
from sockwright.program import steps as op
from sockwright.program.instructions import Instruction

MAIN, HEEL, SPRING, RIBBER = 1, 2, 4, 8
"""Main weight on, heel weights on, yarn in the heel spring, ribber connected: bits of a number."""


def standing_data(plan: Plan, told: Sequence[Instruction]) -> dict[int, int]:
    """By instruction, what hangs and is connected after it: a sum of MAIN, HEEL, SPRING, RIBBER."""
    states = tuple(every_state(plan.program))
    return {each.number: _bits(states[each.steps[-1]]) for each in told}


def _bits(state: BedState) -> int:
    return (
        MAIN * state.main_weight
        + HEEL * state.heel_weight
        + SPRING * state.spring
        + RIBBER * state.ribber
    )


def turns_of_advice(plan: Plan, told: Sequence[Instruction]) -> list[list[Any]]:
    """[instruction, kind] for every instruction that moves a weight, the spring, the ribber or the
    stitch cam, in order; the kinds are keys of the page's words under "advice."."""
    steps = plan.program.steps
    hanging: set[op.Weight] = set()
    found = []
    for each in told:
        for number in each.steps:
            found += [[each.number, kind] for kind in _kinds(steps[number - 1], hanging)]
    return found


def _kinds(step: op.Step, hanging: set[op.Weight]) -> Iterator[str]:
    if isinstance(step, op.Weigh):
        yield f"{step.kind.value}_{'higher' if step.kind in hanging else 'on'}"
        hanging.add(step.kind)
    elif isinstance(step, op.Unweigh):
        hanging.discard(step.kind)
        yield f"{step.kind.value}_off"
    elif isinstance(step, op.HeelSpring):
        yield "spring_on" if step.on else "spring_off"
    elif isinstance(step, op.Ribber):
        yield "ribber_on" if step.on else "ribber_off"
    elif isinstance(step, op.SetCam):
        yield "cam"
    elif isinstance(step, op.TakeOff):
        hanging.clear()
