"""The moments of a program that a sheet pictures: where the needles in work change."""

from __future__ import annotations

from dataclasses import dataclass

from sockwright.needlebed.execute import Execution
from sockwright.steps import Lower, Program, Section
from sockwright.wording.cups import find_cups


@dataclass(frozen=True)
class Moment:
    """A moment worth a picture: `key` names its words, `step` (from 1) is the next step."""

    key: str
    step: int


def picture_moments(run: Execution) -> tuple[Moment, ...]:
    """Heel begins, narrowest, heel ends, toe begins, as far as the sock has them; the narrowest of
    the toe where there is no heel."""
    program, cups = run.program, find_cups(run)
    heels = [cup for cup in cups if program.steps[cup.first].section is Section.HEEL]
    toes = [cup for cup in cups if program.steps[cup.first].section is Section.TOE]
    moments = []
    if heels:
        main = heels[-1]
        moments += [
            Moment("heel_begins", main.first + 1),
            Moment("narrowest", main.narrowest + 2),
            Moment("heel_ends", _after_lowering(program, main.last)),
        ]
    elif toes:
        moments.append(Moment("narrowest", toes[-1].narrowest + 2))
    if toes:
        moments.append(Moment("toe_begins", toes[-1].first + 1))
    return tuple(sorted(moments, key=lambda moment: moment.step))


def _after_lowering(program: Program, place: int) -> int:
    """Number of the step after the held needles are lowered again, from a place on."""
    for later in range(place + 1, len(program.steps)):
        if isinstance(program.steps[later], Lower):
            return later + 2
    return place + 2
