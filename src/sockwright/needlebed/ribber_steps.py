"""Steps between the cylinder and the dial of the ribber."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.needlebed.findings import Code
from sockwright.needlebed.run import Run
from sockwright.needlebed.state import OUT_OF_SLOT, WORKING


def dial_slot(run: Run, slot: int) -> int | None:
    """Place of dial `slot`, or None after reporting that there is none."""
    if 1 <= slot <= len(run.bed.dial):
        return run.bed.n + slot - 1
    run.find_at(Code.NO_NEEDLE, [(slot, True)])
    return None


def to_dial(run: Run, step: op.ToDial) -> None:
    """Loops go from the cylinder to the dial; the emptied cylinder needles come out."""
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


def set_ribber(run: Run, step: op.Ribber) -> None:
    """Connect or disconnect the dial."""
    run.bed.ribber = step.on
