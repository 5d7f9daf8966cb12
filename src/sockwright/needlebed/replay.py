"""The bed between two steps: how needles, loops and carrier stand after part of a program."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sockwright.needlebed.dryrun import HANDLERS
from sockwright.needlebed.loops import NONE
from sockwright.needlebed.run import Run
from sockwright.program.steps import Program


@dataclass(frozen=True)
class BedState:
    """The bed after `steps` steps.

    `needles` (N,) and `dial` (D,) hold OUT_OF_SLOT, RAISED or WORKING for each slot; `loops` (N,)
    and `dial_loops` (D,) how many loops hang there. `gap` is the number of cylinder needles
    between home and the carrier, counted forward (0..N, both ends home); `way` is 1 after a
    forward pass, -1 after one in reverse, 0 before any. `yarn` is None where none is threaded.
    """

    steps: int
    needles: tuple[int, ...]
    dial: tuple[int, ...]
    loops: tuple[int, ...]
    dial_loops: tuple[int, ...]
    gap: int
    way: int
    yarn: str | None
    ribber: bool
    spring: bool
    main_weight: bool
    heel_weight: bool
    courses: int


def state_after(program: Program, steps: int) -> BedState:
    """The bed after the first `steps` steps (0: as the program finds it); IndexError where the
    program has not so many."""
    if not 0 <= steps <= len(program.steps):
        raise IndexError(f"step {steps} of a program of {len(program.steps)}")
    run = Run(program, 1.0, {})
    for run.step, step in enumerate(program.steps[:steps], 1):
        run.section = step.section.value
        HANDLERS[type(step)](run, step)
    return _state(run, steps)


def every_state(program: Program) -> Iterator[BedState]:
    """The bed as the program finds it, and then after each of its steps."""
    run = Run(program, 1.0, {})
    yield _state(run, 0)
    for run.step, step in enumerate(program.steps, 1):
        run.section = step.section.value
        HANDLERS[type(step)](run, step)
        yield _state(run, run.step)


def _state(run: Run, steps: int) -> BedState:
    bed, n = run.bed, run.bed.n
    loops = tuple(len(bed.loops_on(slot)) for slot in range(len(bed.top)))
    return BedState(
        steps=steps,
        needles=tuple(bed.needle[:n]),
        dial=tuple(bed.needle[n:]),
        loops=loops[:n],
        dial_loops=loops[n:],
        gap=bed.gap,
        way=bed.way,
        yarn=None if bed.yarn == NONE else run.recorder.yarns[bed.yarn],
        ribber=bed.ribber,
        spring=bed.spring,
        main_weight=bed.main_weight,
        heel_weight=bed.heel_weight,
        courses=run.recorder.course,
    )
