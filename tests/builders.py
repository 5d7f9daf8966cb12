"""Small things to prove the needle bed with: gauges, machines, sizings, programs and beds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from sockwright import steps as op
from sockwright.estimates import Estimate, exactly
from sockwright.machine import Cylinder, DialKind, Machine, Turning
from sockwright.measure.gauge import Gauge
from sockwright.measure.yarn import Yarn
from sockwright.needlebed.execute import DryRun, dry_run
from sockwright.needlebed.loops import LoopTable
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    CupGiven,
    EaseGiven,
    HeelGiven,
    HeelKind,
    LegGiven,
    RibEnd,
    SockGiven,
    ToeGiven,
    ToeHalf,
    Widening,
)
from sockwright.program.build import build_program
from sockwright.sock.sizing import Sizing, size_sock

INCH_MM = 25.4
N = 24
"""Needles of the tiny bed on which single steps are tried."""


def gauge(wale_mm: float = 3.1, course_mm: float = 2.35, loop_mm: float = 12.8) -> Gauge:
    """A gauge with nothing left to learn."""
    return Gauge(
        Estimate(wale_mm, 0.0, "mm"),
        Estimate(course_mm, 0.0, "mm"),
        Estimate(loop_mm, 0.0, "mm"),
        Estimate(1.3, 0.0, "tex^0.5/mm"),
        ((0.0, 0.0, 0.0),) * 3,
        Estimate(1.5, 0.0, "1"),
        areal_mass=Estimate(480.0, 0.0, "g/m2"),
        loop_mass=Estimate(loop_mm * 0.273, 0.0, "mg"),
        jam=Estimate(1.55, 0.08, "tex^0.5/mm"),
        ring=1.8,
    )


def gauge_per_inch(stitches: float, rounds: float) -> Gauge:
    """A gauge given as the trade gives it."""
    return gauge(INCH_MM / stitches, INCH_MM / rounds)


def machine(*cylinders: Cylinder) -> Machine:
    """The station's machine with these cylinders."""
    return Machine("the station's machine", Turning.CARRIER, cylinders)


def spun(tex: Estimate, density: float) -> Yarn:
    """A main yarn so fine, of fibres so dense (g/cm3)."""
    return Yarn("main", "", tex, exactly(density, "g/cm3"))


def size(
    needles: int,
    sock: SockGiven | None = None,
    *,
    dial: DialKind | None = None,
    fabric: Gauge | None = None,
    foot_mm: float = 260.0,
) -> Sizing:
    """A sizing on one cylinder."""
    cylinder = Cylinder(needles, 110.0, dial)
    long = exactly(foot_mm, "mm")
    return size_sock(sock or SockGiven(), cylinder, machine(cylinder), fabric or gauge(), long)


def sock(
    *,
    kept: int | None = None,
    widening: Widening = Widening.WRAPPED_NEAR,
    first_raise: int = 1,
    cuff: CuffGiven | None = None,
    leg: LegGiven | None = None,
    heel: HeelKind = HeelKind.SHORT_ROW,
    deep_kept: int | None = None,
    wedge_rounds: int = 2,
    toe_half: ToeHalf = ToeHalf.HEEL,
    closing: Closing = Closing.GRAFT,
    length_ease: float = 0.04,
) -> SockGiven:
    """A design whose toe is as its heel."""
    cup = CupGiven(kept, widening, first_raise)
    return SockGiven(
        cuff or CuffGiven(),
        leg or LegGiven(rounds=30),
        HeelGiven(heel, cup, deep_kept, wedge_rounds),
        ToeGiven(toe_half, None, closing),
        EaseGiven(length=length_ease),
    )


def rib(p: int, q: int, rib_to: RibEnd = RibEnd.CUFF) -> CuffGiven:
    """A true rib cuff."""
    return CuffGiven(CuffKind.TRUE_RIB, rib=(p, q), rib_to=rib_to)


@dataclass(frozen=True)
class Knitted:
    """A sizing, its program and what the dry run made of it."""

    sizing: Sizing
    program: op.Program
    run: DryRun


def knit(sizing: Sizing) -> Knitted:
    """Build the program of a sizing and run it dry."""
    program = build_program(sizing)
    return Knitted(sizing, program, dry_run(program))


# Hand-written programs on the tiny bed.


def tube(*steps: op.Step, section: op.Section = op.Section.LEG) -> tuple[op.Step, ...]:
    """`steps` on a bed that has scrap, weight, yarn and one round of the sock on it."""
    return (*BEGUN, op.Rounds(section, 1), *steps)


SET_UP = op.Section.SET_UP
BEGUN: tuple[op.Step, ...] = (
    op.HangScrap(SET_UP),
    op.Weigh(SET_UP, op.Weight.MAIN),
    op.Thread(SET_UP, "main"),
)


def into_rows(last: int, section: op.Section = op.Section.HEEL) -> tuple[op.Step, ...]:
    """From a round to rows over needles 1..last; the carrier stands past `last`."""
    return (
        op.PartRound(section, last // 2),
        op.Raise(section, tuple(range(last + 1, N + 1))),
        op.PartRound(section, last),
        op.Weigh(section, op.Weight.HEEL),
        op.HeelSpring(section, True),
    )


def bed_run(
    steps: Sequence[op.Step], dial: tuple[float, ...] = (), needles: int = N, **named: object
) -> DryRun:
    """Run hand-written steps on the tiny bed."""
    return dry_run(op.Program(needles, dial, tuple(steps)), **named)  # type: ignore[arg-type]


# Looking at a loop table.


def rows_in(table: LoopTable, section: str) -> list[int]:
    """Numbers of the courses of `section` that are rows."""
    numbers = []
    course = 0
    for run in table.runs:
        if run.shape == "row" and run.section == section:
            numbers += range(course, course + run.rounds)
        course += run.rounds
    return numbers


def row_of_loops(table: LoopTable, section: str) -> np.ndarray:
    """Number of the row of `section`, from 1, in which each staying loop was made; 0 for all
    others, waste rows too. A last row that stops half way, so that needles can be lowered, is
    finished by the part round after it."""
    good = table.is_loop & table.stays
    row_of = np.zeros(len(table.course), int)
    courses = [row for row in rows_in(table, section) if (good & (table.course == row)).any()]
    for number, course in enumerate(courses, 1):
        row_of[good & (table.course == course)] = number
    shapes = [run.shape for run in table.runs for _ in range(run.rounds)] + ["end"]
    if courses and shapes[courses[-1] + 1] == "part":
        # The part rounds before the first row tell the needles of the rows.
        before = [n for n in (courses[0] - 1, courses[0] - 2) if shapes[n] == "part"]
        run = table.needle[good & np.isin(table.course, before)]
        rest = good & (table.course == courses[-1] + 1) & np.isin(table.needle, run)
        row_of[rest] = len(courses)
    return row_of


def loops_per_row(table: LoopTable, section: str) -> list[int]:
    """Staying loops of each row of `section`, in order; waste rows are left out."""
    return [int(n) for n in np.bincount(row_of_loops(table, section))[1:]]


def loops_on(table: LoopTable, needle: int) -> list[int]:
    """Ids of the staying loops that cylinder needle `needle` made, oldest first."""
    here = table.is_loop & table.stays & (table.bed == 0) & (table.needle == needle)
    return [int(loop) for loop in np.flatnonzero(here)]


def parents_of(table: LoopTable, loop: int) -> list[int]:
    """Every loop that `loop` was pulled through."""
    first = [int(table.parent[loop])] if table.parent[loop] >= 0 else []
    return first + [int(b) for a, b in table.more_parents if a == loop]
