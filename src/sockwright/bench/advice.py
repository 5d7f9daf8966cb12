"""What hangs and is connected at each moment, and when that changes, by the program."""

from __future__ import annotations

from collections.abc import Sequence
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
    talk = Talk(load_phrases(language), plan.order.machine, plan.program.needles, "cm", {})
    found = []
    for each in told:
        for done in map(plan.execution.at, each.steps):
            kind = _kind(done.step, done.before)
            if kind is not None:
                setting = done.step.setting if isinstance(done.step, op.SetCam) else None
                found.append([each.number, kind, "" if setting is None else talk.cam(setting)])
    return found


def _cam(step: op.SetCam, before: float) -> str:
    """To its setting where there is one, else as the instruction has it."""
    if step.setting is not None:
        return "cam_to"
    if round(100 * abs(step.factor - 1)) == 0:
        return "cam_swatch"
    return "cam_looser" if step.factor > before else "cam_firmer"


def _kind(step: op.Step, at: State) -> str | None:
    """What a step turns, as the machine stood before it; None for nothing of these."""
    if isinstance(step, op.SetCam):
        return _cam(step, at.factor)
    if isinstance(step, op.Weigh):
        on = at.main_weight if step.kind is op.Weight.MAIN else at.heel_weight
        return f"{step.kind.value}_{'higher' if on else 'on'}"
    if isinstance(step, op.Unweigh):
        return f"{step.kind.value}_off"
    if isinstance(step, op.HeelSpring):
        return "spring_on" if step.on else "spring_off"
    if isinstance(step, op.Ribber):
        return "ribber_on" if step.on else "ribber_off"
    return None
