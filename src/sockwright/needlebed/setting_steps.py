"""Steps for yarn, weights, heel spring and stitch cam."""

from __future__ import annotations

from dataclasses import replace

from sockwright import steps as op
from sockwright.needlebed.bed import Bed
from sockwright.needlebed.findings import Code
from sockwright.needlebed.loops import NONE, Kind
from sockwright.needlebed.run import Run
from sockwright.needlebed.state import WORKING, End, fork_places


def hang_scrap(run: Run, step: op.HangScrap) -> None:
    """A scrap loop on every working needle, as a course of its own."""
    bed = run.bed
    yarn = run.recorder.yarn("scrap", removable=True)
    where = (run.section, run.step, yarn, "round")
    slots = [slot for slot in range(bed.n) if bed.needle[slot] == WORKING]
    kinds = bytes([Kind.SCRAP]) * len(slots)
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
