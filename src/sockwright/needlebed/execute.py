"""Programs executed on a virtual needle bed: loops and findings, or all states between steps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from sockwright import steps as op
from sockwright.needlebed import closing as closing_steps
from sockwright.needlebed import hands as needle_steps
from sockwright.needlebed import hands as ribber_steps
from sockwright.needlebed import hands as setting_steps
from sockwright.needlebed import knitting as knitting_steps
from sockwright.needlebed.bed import Run
from sockwright.needlebed.closing import loose_ends
from sockwright.needlebed.findings import Code, Finding, Level
from sockwright.needlebed.loops import NONE, LoopTable
from sockwright.needlebed.state import State
from sockwright.steps import Program, Step


@dataclass(frozen=True)
class DryRun:
    """What a dry run gives: the loop table and the findings."""

    loops: LoopTable
    findings: tuple[Finding, ...]

    @property
    def ok(self) -> bool:
        """True without an error-level finding."""
        return not self.errors

    @property
    def errors(self) -> tuple[Finding, ...]:
        """The findings that spoil the sock."""
        return tuple(f for f in self.findings if f.level is Level.ERROR)


def dry_run(
    program: op.Program,
    loop_mm: float = 1.0,
    supply_mm: Mapping[str, float] | None = None,
) -> DryRun:
    """Execute `program` step by step.

    `loop_mm` is the yarn in one loop at cam factor 1, mm; `supply_mm` the yarn there is of each
    name, mm (a yarn not named has no end). Never raises for a wrong program: that is a finding.
    """
    run = Run(program, loop_mm, dict(supply_mm or {}))
    for _ in take(run, program.steps):
        pass
    table = run.recorder.table(program.dial, run.grafts, run.closed)
    bed = run.bed
    on_needles = [loop for slot in range(len(bed.top)) for loop in bed.loops_on(slot)]
    if bed.off:
        close(run, program.steps[-1])
    ends = loose_ends(table, run.step, run.cord_pulled, on_needles, run.opened)
    return DryRun(table, (*run.findings, *ends))


def close(run: Run, last: op.Step) -> None:
    """Report what is left to do once the work is off."""
    if not isinstance(last, op.Finish):
        run.find(Code.NOT_FINISHED)
    if run.bed.yarn != NONE:
        run.find(Code.YARN_NOT_CUT)
    if not run.cord_pulled and closing_steps.has_cord(run):
        run.find(Code.CORD_LEFT_IN)


def take(run: Run, steps: Sequence[op.Step]) -> Iterator[None]:
    """Take the steps one by one; gives a breath after each."""
    for run.step, step in enumerate(steps, 1):
        run.section = step.section.value
        HANDLERS[type(step)](run, step)
        yield


HANDLERS: dict[type, Callable[[Run, Any], None]] = {
    op.HangScrap: setting_steps.hang_scrap,
    op.Thread: setting_steps.thread_yarn,
    op.CutYarn: setting_steps.cut_yarn,
    op.Rounds: knitting_steps.knit_rounds,
    op.PartRound: knitting_steps.knit_part_round,
    op.Row: knitting_steps.knit_row,
    op.Raise: needle_steps.raise_needles,
    op.Lower: needle_steps.lower_needles,
    op.Wrap: needle_steps.wrap_needle,
    op.MoveLoops: needle_steps.move_loops,
    op.RemoveNeedles: needle_steps.remove_needles,
    op.ReplaceNeedles: needle_steps.replace_needles,
    op.LiftBars: needle_steps.lift_bars,
    op.HangHem: needle_steps.hang_hem,
    op.ToDial: ribber_steps.to_dial,
    op.FillDial: ribber_steps.fill_dial,
    op.ToCylinder: ribber_steps.to_cylinder,
    op.Mount: ribber_steps.mount,
    op.Ribber: ribber_steps.set_ribber,
    op.Weigh: setting_steps.hang_weight,
    op.Unweigh: setting_steps.take_weight,
    op.HeelSpring: setting_steps.heel_spring,
    op.SetCam: setting_steps.set_cam,
    op.Check: setting_steps.do_nothing,
    op.TakeOff: closing_steps.take_off,
    op.Graft: closing_steps.graft,
    op.Gather: closing_steps.gather,
    op.PullCord: closing_steps.pull_cord,
    op.BindOff: closing_steps.bind_off,
    op.OpenWaste: closing_steps.open_waste,
    op.Rehang: closing_steps.rehang,
    op.Finish: closing_steps.finish,
}


@dataclass(frozen=True, slots=True)
class Executed:
    """Step `number` (from 1) of a program, with the machine before and after it."""

    run: Execution
    number: int
    step: Step
    before: State
    after: State


@dataclass(frozen=True)
class Execution:
    """A program with its states: as it finds the machine, and then after each step."""

    program: Program
    states: tuple[State, ...]
    course_yarns: tuple[str, ...]

    def __len__(self) -> int:
        return len(self.program.steps)

    def __iter__(self) -> Iterator[Executed]:
        return map(self.at, range(1, len(self) + 1))

    def yarn_of(self, course: int) -> str | None:
        """The yarn that a course was knitted in; None where there is no such course."""
        return self.course_yarns[course] if 0 <= course < len(self.course_yarns) else None

    def at(self, number: int) -> Executed:
        """Step `number`, from 1; IndexError where there is none."""
        if not 1 <= number <= len(self):
            raise IndexError(f"step {number} of a program of {len(self)}")
        step = self.program.steps[number - 1]
        return Executed(self, number, step, self.states[number - 1], self.states[number])


def execute(program: Program) -> Execution:
    """Execute `program` and keep every state. Never raises for a wrong program: `dry_run` finds
    what is wrong with it."""
    run = Run(program, 1.0, {})
    states = [_state(run, None)]
    for _ in take(run, program.steps):
        states.append(_state(run, states[-1]))
    names = run.recorder.yarns
    yarns = (names[one.yarn] for one in run.recorder.courses for _ in range(one.rounds))
    return Execution(program, tuple(states), tuple(yarns))


def _state(run: Run, last: State | None) -> State:
    bed, n = run.bed, run.bed.n
    cylinder, dial = bytes(bed.needle[:n]), bytes(bed.needle[n:])
    if last is not None:  # most steps move no needle: the same bytes serve
        cylinder = last.cylinder if last.cylinder == cylinder else cylinder
        dial = last.dial if last.dial == dial else dial
    return State(
        steps=run.step,
        cylinder=cylinder,
        dial=dial,
        gap=bed.gap,
        way=bed.way,
        yarn=None if bed.yarn == NONE else run.recorder.yarns[bed.yarn],
        mounted=bed.mounted,
        ribber=bed.ribber,
        spring=bed.spring,
        main_weight=bed.main_weight,
        forks=tuple(slot + 1 for slot in bed.forks),
        factor=bed.factor,
        courses=run.recorder.course,
        ends=bed.ends,
    )
