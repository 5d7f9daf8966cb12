"""How far the hem and the heel are at each beat: what can still be mended there, and how."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from sockwright import steps as op
from sockwright.bench.beats import DO, ROW, Beat, Sock
from sockwright.plan import Plan

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
