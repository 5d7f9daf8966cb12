"""Steps that hands do at the machine: needles, their loops, ribber, yarn, weights, spring, cam."""

from __future__ import annotations

from dataclasses import replace

from sockwright import steps as op
from sockwright.needlebed.bed import OUT_OF_SLOT, RAISED, WORKING, Bed, End, Run, fork_places
from sockwright.needlebed.findings import Code
from sockwright.needlebed.loops import NONE, LoopKind

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


def dial_slot(run: Run, slot: int) -> int | None:
    """Place of dial `slot`, or None after reporting that there is none."""
    if 1 <= slot <= len(run.bed.dial):
        return run.bed.n + slot - 1
    run.find_at(Code.NO_NEEDLE, [(slot, True)])
    return None


def _check_mounted(run: Run) -> None:
    if not run.bed.mounted:
        run.find(Code.NO_RIBBER)


def to_dial(run: Run, step: op.ToDial) -> None:
    """Loops go from the cylinder to the dial; the emptied cylinder needles come out."""
    _check_mounted(run)
    bed = run.bed
    for needle, slot in step.moves:
        place = dial_slot(run, slot)
        if place is None or not run.valid((needle,)):
            continue
        loops = bed.clear(needle - 1)
        if not loops:
            run.find(Code.NO_LOOP, [needle - 1])
        bed.put(place, loops)
        bed.needle[needle - 1] = OUT_OF_SLOT
        bed.needle[place] = WORKING


def fill_dial(run: Run, step: op.FillDial) -> None:
    """Empty dial needles are put to work; their first yarn is a tuck."""
    _check_mounted(run)
    for slot in step.slots:
        place = dial_slot(run, slot)
        if place is not None:
            run.bed.needle[place] = WORKING
            run.bed.eyelets.add(place)


def to_cylinder(run: Run, step: op.ToCylinder) -> None:
    """Loops go from the dial to the cylinder; the emptied dial needles come out."""
    bed = run.bed
    for slot, needle in step.moves:
        place = dial_slot(run, slot)
        if place is None or not run.valid((needle,)):
            continue
        loops = bed.clear(place)
        if not loops:
            run.find(Code.NO_LOOP, [place])
        if bed.needle[needle - 1] == OUT_OF_SLOT:
            bed.needle[needle - 1] = WORKING
        bed.put(needle - 1, loops)
        bed.needle[place] = OUT_OF_SLOT


def mount(run: Run, step: op.Mount) -> None:
    """The ribber on the machine, or off it with whatever its needles hold."""
    bed = run.bed
    if not step.on and bed.loops_on_dial():
        holding = [slot for slot in range(bed.n, len(bed.top)) if bed.top[slot] != NONE]
        run.find(Code.LOOP_ON_NEEDLE, holding)
        for slot in holding:
            bed.clear(slot)
    bed.mounted, bed.ribber = step.on, False


def set_ribber(run: Run, step: op.Ribber) -> None:
    """Connect or disconnect the dial."""
    _check_mounted(run)
    run.bed.ribber, run.bed.idle_rounds = step.on, 0


def hang_scrap(run: Run, step: op.HangScrap) -> None:
    """A scrap loop on every working needle, as a course of its own."""
    bed = run.bed
    yarn = run.recorder.yarn("scrap", removable=True)
    where = (run.section, run.step, yarn, "round")
    slots = [slot for slot in range(bed.n) if bed.needle[slot] == WORKING]
    kinds = bytes([LoopKind.SCRAP]) * len(slots)
    first = run.recorder.row(slots, kinds, [NONE] * len(slots), 0.0, where)
    for place, slot in enumerate(slots):
        bed.top[slot] = first + place
    run.recorder.break_block()


def thread_yarn(run: Run, step: op.Thread) -> None:
    """A yarn in the carrier; before a removable one, what the needles hold is remembered."""
    if run.bed.yarn != NONE:
        run.find(Code.YARN_NOT_CUT)
    if step.between and set(step.between) != set(run.bed.beside()):
        run.find(Code.ENDS_ASIDE)
    if step.removable and not run.bed.removable:
        run.bed.note_loops()
    run.bed.yarn = run.recorder.yarn(step.yarn, removable=step.removable)
    run.bed.removable = step.removable
    run.bed.knitted, run.bed.end_held = False, bool(step.between)
    if not step.removable:
        _note_beginning(run.bed, step)
    run.recorder.used_mm[run.bed.yarn] += step.tail_mm
    run.recorder.break_block()


def _note_beginning(bed: Bed, step: op.Thread) -> None:
    """The new yarn's end; where it is held, that of the yarn cut just before is held with it."""
    if step.between and bed.ends and bed.ends[-1].cut:
        bed.ends = (*bed.ends[:-1], replace(bed.ends[-1], between=step.between))
    bed.ends += (End(step.yarn, bed.gap or bed.n, cut=False, between=step.between),)


def cut_yarn(run: Run, step: op.CutYarn) -> None:
    """The carrier and the spring are empty; the tail counts as used."""
    if run.bed.yarn == NONE:
        run.find(Code.NO_YARN)
        return
    if not run.bed.knitted:
        run.find(Code.TAIL_ON_NOTHING)
    run.recorder.used_mm[run.bed.yarn] += step.tail_mm
    if not run.bed.removable:
        name = run.recorder.yarns[run.bed.yarn]
        run.bed.ends += (End(name, run.bed.end_slot + 1, cut=True),)
    run.bed.yarn, run.bed.spring = NONE, False
    run.recorder.break_block()


def hang_weight(run: Run, step: op.Weigh) -> None:
    """Hang a weight or move it higher; the forked ones below the needles in work."""
    if step.kind is op.Weight.MAIN:
        run.bed.main_weight = True
        return
    low, high, _ = run.bed.span()
    run.bed.forks, run.bed.fork_rows = fork_places(low, high), 0
    run.bed.forks_far = False


def take_weight(run: Run, step: op.Unweigh) -> None:
    """Take a weight off."""
    if step.kind is op.Weight.MAIN:
        run.bed.main_weight = False
    else:
        run.bed.forks = ()


def heel_spring(run: Run, step: op.HeelSpring) -> None:
    """The yarn through the heel spring, or out of it."""
    if step.on and run.bed.yarn == NONE:
        run.find(Code.NO_YARN)
    run.bed.spring = step.on and run.bed.yarn != NONE


def set_cam(run: Run, step: op.SetCam) -> None:
    """A new loop length from here on."""
    run.bed.factor = step.factor
    run.recorder.loop_mm = run.base_mm * step.factor
    run.recorder.break_block()


def do_nothing(run: Run, step: op.Step) -> None:
    """A step for the hands that changes nothing on the bed."""
