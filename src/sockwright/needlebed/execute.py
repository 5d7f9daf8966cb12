"""Programs executed on a virtual needle bed: loops and findings, or all states between steps."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeVar, cast

from sockwright import steps as op
from sockwright.needlebed import closing, hands, knitting
from sockwright.needlebed.bed import Run, State
from sockwright.needlebed.closing import loose_ends
from sockwright.needlebed.findings import Code, Finding, Level
from sockwright.needlebed.loops import NONE, LoopTable
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
    if not run.cord_pulled and closing.has_cord(run):
        run.find(Code.CORD_LEFT_IN)


def take(run: Run, steps: Sequence[op.Step]) -> Iterator[None]:
    """Take the steps one by one; gives a breath after each."""
    for run.step, step in enumerate(steps, 1):
        run.section = step.section.value
        HANDLERS[type(step)](run, step)
        yield


Handler = Callable[[Run, Step], None]
Kind = TypeVar("Kind", bound=Step)


def _by(kind: type[Kind], carry_out: Callable[[Run, Kind], None]) -> tuple[type[Step], Handler]:
    """A kind of step and what carries it out, which takes that kind and is given no other."""
    return kind, cast("Handler", carry_out)


HANDLERS: Mapping[type[Step], Handler] = dict(
    (
        _by(op.HangScrap, hands.hang_scrap),
        _by(op.Thread, hands.thread_yarn),
        _by(op.CutYarn, hands.cut_yarn),
        _by(op.Rounds, knitting.knit_rounds),
        _by(op.PartRound, knitting.knit_part_round),
        _by(op.Row, knitting.knit_row),
        _by(op.Raise, hands.raise_needles),
        _by(op.Lower, hands.lower_needles),
        _by(op.Wrap, hands.wrap_needle),
        _by(op.MoveLoops, hands.move_loops),
        _by(op.RemoveNeedles, hands.remove_needles),
        _by(op.ReplaceNeedles, hands.replace_needles),
        _by(op.LiftBars, hands.lift_bars),
        _by(op.HangHem, hands.hang_hem),
        _by(op.ToDial, hands.to_dial),
        _by(op.FillDial, hands.fill_dial),
        _by(op.ToCylinder, hands.to_cylinder),
        _by(op.Mount, hands.mount),
        _by(op.Ribber, hands.set_ribber),
        _by(op.Weigh, hands.hang_weight),
        _by(op.Unweigh, hands.take_weight),
        _by(op.HeelSpring, hands.heel_spring),
        _by(op.SetCam, hands.set_cam),
        _by(op.Check, hands.do_nothing),
        _by(op.TakeOff, closing.take_off),
        _by(op.Graft, closing.graft),
        _by(op.Gather, closing.gather),
        _by(op.PullCord, closing.pull_cord),
        _by(op.BindOff, closing.bind_off),
        _by(op.OpenWaste, closing.open_waste),
        _by(op.Rehang, closing.rehang),
        _by(op.Finish, closing.finish),
    )
)


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
