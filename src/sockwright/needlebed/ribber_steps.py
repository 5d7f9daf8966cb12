"""Steps between the cylinder and the dial of the ribber."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.needlebed.findings import Code
from sockwright.needlebed.loops import NONE
from sockwright.needlebed.run import Run
from sockwright.needlebed.state import OUT_OF_SLOT, WORKING


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
