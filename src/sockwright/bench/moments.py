"""What hangs and is connected at each moment, and how far hem and heel are."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

from sockwright import steps as op
from sockwright.bench.counting import DO, ROW, Beat, Sock
from sockwright.needlebed.bed import State
from sockwright.plan.make import Plan
from sockwright.wording.instructions import Instruction
from sockwright.wording.nouns import Talk
from sockwright.words import tongue

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
    talk = Talk(tongue(language), plan.order.machine, plan.program.needles, "cm", {})
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


NONE = "none"
"""A sock without that part."""
BEFORE, OPEN, CLOSED = "before", "open", "closed"
"""Of a hem: not hung yet; being hung or hung, so that it can be lifted off again; knitted in."""
NARROWING, WIDENING, CORNERS, AFTER = "narrowing", "widening", "corners", "after"
"""Of a heel, after BEFORE: its rows; then, until the next whole round, its ends stand still."""


@dataclass(frozen=True)
class Stage:
    """Of the hem NONE, BEFORE, OPEN or CLOSED; of the heel NONE, BEFORE, NARROWING, WIDENING,
    CORNERS or AFTER."""

    hem: str
    heel: str


def stages(plan: Plan, sock: Sock) -> tuple[Stage, ...]:
    """The stage while each beat is done, and at the end the one when all is done."""
    return tuple(Stage(hem, heel) for hem, heel in zip(_hem(plan, sock), _heel(sock), strict=True))


def _hem(plan: Plan, sock: Sock) -> Iterator[str]:
    steps = plan.program.steps
    hanging = {
        each.number
        for each in sock.instructions
        if any(isinstance(steps[number - 1], op.HangHem) for number in each.steps)
    }
    now = BEFORE if hanging else NONE
    for beat in sock.beats:
        now = OPEN if beat.instruction in hanging else now
        yield now
        if now == OPEN and beat.kind != DO:
            now = CLOSED
    yield now


def _heel(sock: Sock) -> Iterator[str]:
    rows = _heel_rows(sock)
    places = {beat.place for beat in rows}
    knitting = [beat.place for beat in sock.beats if beat.kind != DO]
    ends = {here for here, then in pairwise(knitting) if here in places and then not in places}
    now = BEFORE if rows else NONE
    for beat in sock.beats:
        if beat.place in places:
            now = _of_row(beat, now)
        yield now
        if beat.place in ends:
            now = CORNERS
        elif now == CORNERS and _whole(beat) and beat.place > max(places):
            now = AFTER
    yield now


def _of_row(beat: Beat, now: str) -> str:
    deeds = {touch.deed for touch in beat.touches}
    if "lower" in deeds:
        return WIDENING
    return NARROWING if "raise" in deeds or now == BEFORE else now


def _whole(beat: Beat) -> bool:
    return beat.kind != DO and beat.gap_before == beat.gap


def _heel_rows(sock: Sock) -> list[Beat]:
    return [
        beat for beat in sock.beats if beat.kind == ROW and beat.section == op.Section.HEEL.value
    ]


def heel_needles(sock: Sock) -> tuple[int, ...]:
    """The needles that the rows of the heel are knitted on, none without such rows."""
    knitted = {
        n
        for beat in _heel_rows(sock)
        for n, letter in enumerate(sock.beds[beat.before][0], 1)
        if letter == "w"
    }
    narrowed = {
        n
        for beat in _heel_rows(sock)[:1]
        for touch in beat.touches
        for n in touch.needles
        if touch.deed == "raise"
    }
    return tuple(sorted(knitted | narrowed))
