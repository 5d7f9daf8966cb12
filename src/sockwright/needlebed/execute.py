"""A program executed step by step: the state of the machine before and after each."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sockwright.needlebed.dryrun import take
from sockwright.needlebed.loops import NONE
from sockwright.needlebed.run import Run
from sockwright.needlebed.state import State
from sockwright.steps import Program, Step


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
