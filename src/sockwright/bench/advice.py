"""What hangs and is connected at each moment, and when that changes, by the program."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from sockwright import steps as op
from sockwright.needlebed.state import State
from sockwright.plan import Plan
from sockwright.wording.instructions import Instruction
from sockwright.wording.nouns import Talk
from sockwright.wording.phrases import load_phrases

MAIN, HEEL, SPRING, RIBBER = 1, 2, 4, 8
"""Main weight on, heel weights on, yarn in the heel spring, ribber connected: bits of a number."""


def standing_data(plan: Plan, told: Sequence[Instruction]) -> dict[int, int]:
    """By instruction, what hangs and is connected after it: a sum of MAIN, HEEL, SPRING, RIBBER."""
    states = plan.execution.states
    return {each.number: _bits(states[each.steps[-1]]) for each in told}


def _bits(state: State) -> int:
    return (
        MAIN * state.main_weight
        + HEEL * state.heel_weight
        + SPRING * state.spring
        + RIBBER * state.ribber
    )


def turns_of_advice(
    plan: Plan, told: Sequence[Instruction], language: str = "en"
) -> list[list[Any]]:
    """[instruction, kind, setting] for each instruction that moves a weight, the spring, the ribber
    or the stitch cam, in order.

    The kinds are keys of the page's words under "advice."; the setting is the cam's, in the user's
    own word, "" where her swatches tell none and for everything else.
    """
    steps, machine = plan.program.steps, plan.order.machine
    talk = Talk(load_phrases(language), machine, plan.program.needles, "cm", {})
    hanging: set[op.Weight] = set()
    factor = 1.0
    found = []
    for each in told:
        for step in (steps[number - 1] for number in each.steps):
            if isinstance(step, op.SetCam):
                setting = "" if step.setting is None else talk.cam(step.setting)
                found.append([each.number, _cam(step, factor), setting])
                factor = step.factor
            found += [[each.number, kind, ""] for kind in _kinds(step, hanging)]
    return found


def _cam(step: op.SetCam, before: float) -> str:
    """To its setting where there is one, else as the instruction has it."""
    if step.setting is not None:
        return "cam_to"
    if round(100 * abs(step.factor - 1)) == 0:
        return "cam_swatch"
    return "cam_looser" if step.factor > before else "cam_firmer"


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
    elif isinstance(step, op.TakeOff):
        hanging.clear()
