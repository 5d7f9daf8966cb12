"""Steps that move needles and the loops on them."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.needlebed.findings import Code
from sockwright.needlebed.loops import NONE
from sockwright.needlebed.run import Run
from sockwright.needlebed.state import OUT_OF_SLOT, RAISED, WORKING

CAMS_REACH = 4
"""Needles on each side of the carrier that its cams hold low (common practice: loops are hung, and
needles raised and lowered, four or five needles clear of it)."""


def _check_clear(run: Run, needles: tuple[int, ...]) -> None:
    """Report needles that cannot be raised or lowered because the carrier stands over them. Where
    the next needles on its way are out of work it has gone on over those, past what it knitted."""
    bed, n, state = run.bed, run.bed.n, run.bed.needle
    idle: list[int] = []
    room = 0  # idle needles that stay so, over which it can stand
    for k in range(n) if bed.way >= 0 else range(-1, -n - 1, -1):
        slot = (bed.gap + k) % n
        if state[slot] == WORKING:
            break
        idle.append(slot)
        room += slot + 1 not in needles
        if room == CAMS_REACH:
            return
    if len(idle) < CAMS_REACH:
        under = {(bed.gap + k) % n for k in range(-CAMS_REACH, CAMS_REACH)}
    else:
        under = set(idle)
    if found := sorted(under.intersection(needle - 1 for needle in needles)):
        run.find(Code.UNDER_CAMS, found)


def raise_needles(run: Run, step: op.Raise) -> None:
    """Working needles that hold loops go out of work."""
    _check_clear(run, step.needles)
    bed = run.bed
    n, state, top = bed.n, bed.needle, bed.top
    for needle in step.needles:
        slot = needle - 1
        if 0 <= slot < n and state[slot] == WORKING and top[slot] != NONE:
            state[slot] = RAISED
        else:
            run.find_at(Code.EMPTY_RAISE, [(needle, False)])


def lower_needles(run: Run, step: op.Lower) -> None:
    """Raised needles come into work."""
    _check_clear(run, step.needles)
    bed = run.bed
    for needle in step.needles:
        slot = needle - 1
        if 0 <= slot < bed.n and bed.needle[slot] == RAISED:
            bed.needle[slot] = WORKING
            bed.lowered.add(slot)
        else:
            run.find_at(Code.NOT_RAISED, [(needle, False)])


def wrap_needle(run: Run, step: op.Wrap) -> None:
    """The yarn is laid round a raised needle; the next course writes it down."""
    bed, slot = run.bed, step.needle - 1
    if 0 <= slot < bed.n and bed.needle[slot] == RAISED:
        if slot in bed.wraps:
            run.find(Code.WRAPPED_TWICE, [slot])
        bed.wraps.append(slot)
    else:
        run.find_at(Code.NOT_RAISED, [(step.needle, False)])


def move_loops(run: Run, step: op.MoveLoops) -> None:
    """Loops go to another needle, beside what it holds."""
    bed = run.bed
    for source, target in step.moves:
        places = run.valid((source, target))
        if len(places) < 2:
            continue
        if bed.needle[places[1]] == OUT_OF_SLOT:
            run.find(Code.NO_NEEDLE, [places[1]])
            continue
        if _holds_between(run, *places):
            run.find(Code.MOVED_FAR, [places[0]])
        loops = bed.clear(places[0])
        if not loops:
            run.find(Code.NO_LOOP, [source - 1])
        bed.put(places[1], loops)
        if step.eyelet and loops:
            bed.eyelets.add(places[0])


def _holds_between(run: Run, source: int, target: int) -> bool:
    """Whether a needle with a loop lies between two slots, the short way round."""
    n = run.bed.n
    if (target - source) % n > n // 2:
        source, target = target, source
    between = range(1, (target - source) % n)
    return any(run.bed.top[(source + k) % n] != NONE for k in between)


def remove_needles(run: Run, step: op.RemoveNeedles) -> None:
    """Empty needles leave their slots."""
    bed = run.bed
    for slot in run.valid(step.needles):
        if bed.needle[slot] == OUT_OF_SLOT:
            run.find(Code.NO_NEEDLE, [slot])
        elif bed.loops_on(slot):
            run.find(Code.LOOP_ON_NEEDLE, [slot])
        bed.clear(slot)
        bed.needle[slot] = OUT_OF_SLOT


def replace_needles(run: Run, step: op.ReplaceNeedles) -> None:
    """Needles come back into empty slots, working."""
    for slot in run.valid(step.needles):
        run.bed.needle[slot] = WORKING


def lift_bars(run: Run, step: op.LiftBars) -> None:
    """The last course's strand below an empty needle becomes its loop."""
    bed = run.bed
    last = run.recorder.course_loops(run.recorder.course - 1) if run.recorder.course else {}
    for slot in run.valid(step.needles):
        if slot in last and not bed.loops_on(slot):
            bed.put(slot, [last[slot]])
        else:
            run.find(Code.NO_LOOP, [slot])


def hang_hem(run: Run, step: op.HangHem) -> None:
    """The bars of a course go onto the needles above, beside what they hold."""
    bed = run.bed
    if not 0 <= step.course < run.recorder.course:
        run.find(Code.NO_LOOP)
        return
    if bed.main_weight:
        run.find(Code.WEIGHT_LEFT_ON)
    hung = 0
    for slot, loop in run.recorder.course_loops(step.course).items():
        target = (slot + step.shift) % bed.n
        if slot < bed.n and bed.needle[target] != OUT_OF_SLOT:
            bed.put(target, [loop])
            hung += 1
    if step.shift or not hung:
        run.find(Code.HEM_ASKEW)
