"""Steps off the machine, and what a finished program leaves loose."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from sockwright import steps as op
from sockwright.needlebed.bed import OUT_OF_SLOT, WORKING, Run
from sockwright.needlebed.findings import Code, Finding
from sockwright.needlebed.loops import NONE, Bed, LoopKind, LoopTable


def take_off(run: Run, step: op.TakeOff) -> None:
    """Every loop leaves its needle; what the last removable yarn secures stays held for closing."""
    bed = run.bed
    if bed.yarn != NONE:
        run.find(Code.YARN_NOT_CUT)
    if bed.forks:
        run.find(Code.FORKS_LEFT_ON)
    if not bed.removable:
        run.find(Code.NOT_HELD)
        bed.note_loops()
    for slot in range(len(bed.top)):
        loops, before = bed.clear(slot), bed.before_waste.get(slot, [])
        # Removable yarn holds only the loops it was knitted through.
        bed.held[slot] = [] if bed.removable and loops == before else before
    for slot in range(bed.n):
        if bed.needle[slot] != OUT_OF_SLOT:
            bed.needle[slot] = WORKING
    bed.wraps.clear()
    bed.gap, bed.way = bed.n, 0
    bed.main_weight, bed.forks, bed.off = False, (), True


def held(run: Run, needle: int) -> list[int]:
    """The loops of the sock held last on `needle`."""
    return run.bed.held.get(needle - 1, [])


def graft(run: Run, step: op.Graft) -> None:
    """Join held loops pairwise; unequal sides are found, the pairs there are still joined."""
    a = [held(run, needle) for needle in step.a]
    b = [held(run, needle) for needle in step.b]
    if len(a) != len(b) or not all(a) or not all(b):
        run.find(Code.UNEQUAL_GRAFT)
    elif not _opposite(run, step):
        run.find(Code.GRAFT_ASKEW)
    elif run.bed.end_slot + 1 not in (step.a[0], step.b[0]):
        run.find(Code.GRAFT_CORNER, [step.a[0] - 1])
    for left, right in zip(a, b, strict=False):
        if left and right:
            run.grafts.append((left[0], right[0]))
            run.closed += left + right
    _weave_tail(run)


def _opposite(run: Run, step: op.Graft) -> bool:
    """Whether the pairs begin at a corner and go on needle by needle away from it, so that each
    loop meets the one that lies opposite."""
    ring = [slot + 1 for slot in range(run.bed.n) if run.bed.held.get(slot)]
    place = {needle: number for number, needle in enumerate(ring)}
    apart = {(place[a] + place[b]) % len(ring) for a, b in zip(step.a, step.b, strict=True)}
    corner = abs(place[step.a[0]] - place[step.b[0]]) in (1, len(ring) - 1)
    return corner and len(apart) == 1


def gather(run: Run, step: op.Gather) -> None:
    """Close every held loop on one thread."""
    run.closed += [loop for loops in run.bed.held.values() for loop in loops]
    _weave_tail(run)


def _weave_tail(run: Run) -> None:
    """The end cut last closes the loops."""
    *others, tail = run.bed.ends or (None,)
    if tail is not None:
        run.bed.ends = (*others, replace(tail, woven=True))


def finish(run: Run, step: op.Finish) -> None:
    """Every end is darned in."""
    run.bed.ends = tuple(replace(end, woven=True) for end in run.bed.ends)


def pull_cord(run: Run, step: op.PullCord) -> None:
    """From here the first edge must hold by itself."""
    run.cord_pulled = True
    if not has_cord(run):
        run.find(Code.NO_CORD)


def has_cord(run: Run) -> bool:
    """Whether one removable yarn lies between another, or the scrap, and the sock's first round."""
    courses, removable = run.recorder.courses, run.recorder.removable
    first = next((k for k, each in enumerate(courses) if not removable[each.yarn]), 0)
    return first > 1 and courses[first - 1].yarn != courses[first - 2].yarn


def bind_off(run: Run, step: op.BindOff) -> None:
    """Close the loops of a course by hand."""
    if 0 <= step.course < run.recorder.course:
        run.closed += run.recorder.course_loops(step.course).values()
    else:
        run.find(Code.NO_LOOP)


def open_waste(run: Run, step: op.OpenWaste) -> None:
    """Free the loops below and above the removable rows at `course`."""
    slots = run.valid(step.needles)
    courses = run.recorder.course
    if not 1 <= step.course < courses or not _is_removable(run, step.course):
        run.find(Code.NO_LOOP)
        return
    run.below = _nearest(run, slots, range(step.course - 1, -1, -1))
    run.above = _nearest(run, slots, range(step.course + 1, courses))
    if len(run.below) < len(slots) or len(run.above) < len(slots):
        run.find(Code.NO_LOOP)
    if not set(run.recorder.run_of(step.course).slots) <= set(slots):
        run.find(Code.WASTE_NOT_OPENED)
    run.opened += run.above.values()


def _nearest(run: Run, slots: list[int], courses: Iterable[int]) -> dict[int, int]:
    """The first loop of the sock on each slot in these courses: a row may lie in several."""
    found: dict[int, int] = {}
    for course in courses:
        if len(found) == len(slots):
            break
        if not _is_removable(run, course):
            loops = run.recorder.course_loops(course)
            found |= {slot: loops[slot] for slot in slots if slot in loops and slot not in found}
    return found


def _is_removable(run: Run, course: int) -> bool:
    return run.recorder.removable[run.recorder.run_of(course).yarn]


def rehang(run: Run, step: op.Rehang) -> None:
    """Hang both edges of an opening: live loops below, bars of the loops above."""
    bed = run.bed
    lower = run.valid(step.lower)
    upper = run.valid(step.upper)
    needles = (*step.lower, *step.upper)
    hung = any(loop != NONE for loop in bed.top)
    if hung or set(lower) != set(run.below) or not _in_turn(needles):
        run.find(Code.REHANG_ASKEW)
    bed.off = False
    for slot in range(bed.n):
        bed.needle[slot] = OUT_OF_SLOT
    for slot in lower:
        _hang(run, slot, run.below.get(slot))
    # The opening is a ring: its upper edge is met from the far end back.
    for slot, source in zip(upper, reversed(lower), strict=False):
        _hang(run, slot, run.above.get(source))


def _in_turn(needles: tuple[int, ...]) -> bool:
    """Whether each needle follows the one before it."""
    return all(after - before == 1 for before, after in pairwise(needles))


def _hang(run: Run, slot: int, loop: int | None) -> None:
    run.bed.needle[slot] = WORKING
    if loop is None:
        run.find(Code.NO_LOOP, [slot])
    else:
        run.bed.put(slot, [loop])


def loose_ends(
    table: LoopTable,
    step: int,
    cord_pulled: bool,
    on_needles: Sequence[int],
    opened: Sequence[int],
) -> list[Finding]:
    """Findings at the end of a program.

    `on_needles` are loops never taken off, `opened` loops whose bars were laid bare by drawing out
    waste rows; the latter must have been knitted or grafted again.
    """
    if not len(table):
        return []
    live = (
        table.stays & (table.kind != LoopKind.FLOAT) & (table.kind != LoopKind.WRAP) & ~_held(table)
    )
    if opened:
        bared = np.array(opened, np.int32)
        live[bared] |= _children(table)[bared] < 2
    live[table.closed] = False
    live[np.array(on_needles, np.int32)] |= table.stays[np.array(on_needles, np.int32)]
    found = []
    if live.any():
        first = int(np.flatnonzero(live)[0])
        needle = int(table.needle[first])
        on_dial = bool(table.bed[first] == Bed.DIAL)
        found.append(Finding(Code.LIVE_LOOP, step, needle, int(live.sum()), on_dial))
    if cord_pulled and not _edge_secure(table):
        found.append(Finding(Code.EDGE_RAVELS, step))
    on_waste = _on_waste(table)
    on_waste[np.array(opened, np.int32)] = False
    if on_waste.any():
        first = int(np.flatnonzero(on_waste)[0])
        needle, on_dial = int(table.needle[first]), bool(table.bed[first] == Bed.DIAL)
        step = next(run.step for run in reversed(table.runs) if run.first <= first)
        found.append(Finding(Code.WASTE_IN_SOCK, step, needle, int(on_waste.sum()), on_dial))
    return found


def _on_waste(table: LoopTable) -> NDArray[np.bool_]:
    """(n,) whether a staying loop was pulled through one that leaves the sock, but for the loops of
    its first edge."""
    gone = np.append(~table.stays, False)  # the last is what NONE, -1, points at
    start = int(np.argmax(table.stays))
    return np.asarray(table.stays & gone[table.parent] & (table.parent > start))


def _held(table: LoopTable) -> NDArray[np.bool_]:
    """(n,) whether a staying loop was pulled through each loop."""
    held = np.zeros(len(table) + 1, dtype=bool)  # the last takes what NONE, -1, points at
    held[table.parent[table.stays]] = True
    held[table.more_parents[table.stays[table.more_parents[:, 0]], 1]] = True
    return held[:-1]


def _children(table: LoopTable) -> NDArray[np.int64]:
    """(n,) how many staying loops were pulled through each loop."""
    pulled = table.parent[table.stays & (table.parent != NONE)]
    more = table.more_parents[table.stays[table.more_parents[:, 0]], 1]
    return np.bincount(pulled, minlength=len(table)) + np.bincount(more, minlength=len(table))


def _edge_secure(table: LoopTable) -> bool:
    """Whether the first staying course cannot ravel: begun on both beds, hung, or bound off."""
    staying = np.flatnonzero(table.stays & (table.kind != LoopKind.FLOAT))
    if not len(staying):
        return True
    first = int(table.course[staying[0]])
    edge = staying[table.course[staying] == first]
    if (table.bed[edge] == Bed.DIAL).any():
        return True
    secured = np.zeros(len(table.stays), bool)
    secured[table.more_parents[:, 1]] = secured[table.closed] = True
    return bool(secured[edge].all())
