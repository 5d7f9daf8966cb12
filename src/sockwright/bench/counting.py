"""A sock as counts: all that is counted or done once, in order, with how the bed then stands.

One round is one count, one row is one count, and so is everything else that the hands do at once.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

from sockwright import steps as op
from sockwright.fabric.use import duration, work_of
from sockwright.needlebed.bed import State
from sockwright.once import once
from sockwright.plan.data import instructions
from sockwright.plan.make import SockPlan
from sockwright.wording.instructions import Instruction

ROUND, ROW, DO = "round", "row", "do"
SECONDS = 60.0


@dataclass(frozen=True)
class NeedleTouch:
    """Needles to be touched in a count: `deed` is "raise", "lower", "wrap" or "other"."""

    deed: str
    needles: tuple[int, ...]


@dataclass(frozen=True)
class CountStep:
    """One thing counted.

    `place` is its number from 1; it is the `nth` of `count_steps` of the `instruction` (a number).
    `count` of `of` is how far the section's rounds or the cup's rows are after it, (0, 0) where
    nothing is counted. `bed` is the number of the bed's look after it in `Sock.beds`; `before`
    that while the hands work; the carrier goes from `gap_before` to `gap`, `way` 1 forward, -1 in
    reverse, 0 not at all; `passed` is the needle it then stands past. `length_mm` is the section's
    relaxed length so far, `used_mm` how much of the yarn in the carrier is used since the sock
    began, `seconds` what it usually takes.
    """

    place: int
    instruction: int
    section: str
    kind: str
    nth: int
    count_steps: int
    count: int
    of: int
    before: int
    bed: int
    gap_before: int
    gap: int
    passed: int
    way: int
    touches: tuple[NeedleTouch, ...]
    yarn: str | None
    used_mm: float
    length_mm: float
    seconds: float


@dataclass(frozen=True)
class Sock:
    """The counts of one sock, its instructions, and the looks of its bed.

    `beds` are (cylinder, dial) with a letter for each slot: "w" in work, "r" raised, "o" out.
    When `off` counts are done the sock is off the needles for good.
    """

    needles: int
    instructions: tuple[Instruction, ...]
    count_steps: tuple[CountStep, ...]
    beds: tuple[tuple[str, str], ...]
    off: int

    def passed(self, done: int) -> int:
        """The needle that the carrier passed last when so many counts are done."""
        return self.count_steps[done - 1].passed if done else self.needles


LETTERS = "orw"
"""Of a needle's state: OUT_OF_SLOT, RAISED, WORKING."""


@once
def sock_of(plan: SockPlan) -> Sock:
    """The counts of a plan's sock."""
    return _Counting(plan).sock()


def count_steps_in(plan: SockPlan) -> int:
    """How many counts a plan's sock has."""
    steps = plan.program.steps
    return sum(_rounds(steps[each.steps[0] - 1 : each.steps[-1]]) for each in instructions(plan))


class _Counting:
    """Goes through a plan's instructions once, following bed, yarn and length."""

    def __init__(self, plan: SockPlan) -> None:
        self.plan = plan
        self.steps = plan.program.steps
        self.states = plan.execution.states
        self.looks: dict[tuple[str, str], int] = {}
        self.used = _used_after_steps(plan)
        self.length = 0.0
        self.section = ""

    def sock(self) -> Sock:
        told = instructions(self.plan)
        count_steps = [count_step for each in told for count_step in self._count_steps(each)]
        placed = tuple(
            replace(count_step, place=place) for place, count_step in enumerate(count_steps, 1)
        )
        taking = {
            each.number
            for each in told
            if any(isinstance(self.steps[number - 1], op.TakeOff) for number in each.steps)
        }
        off = [count_step.place for count_step in placed if count_step.instruction in taking]
        looks = tuple(self.looks)
        return Sock(self.plan.program.needles, told, placed, looks, max(off, default=len(placed)))

    def _count_steps(self, each: Instruction) -> Iterator[CountStep]:
        if each.section.value != self.section:
            self.section, self.length = each.section.value, 0.0
        first, last = each.steps[0], each.steps[-1]
        covered = self.steps[first - 1 : last]
        start, end = self.states[first - 1], self.states[last]
        knitting, many = _knitting(covered), _rounds(covered)
        course = 0.0 if knitting is None else self.plan.gauge.course.value
        work = work_of_instruction(self.plan, each)
        own = self.plan.order.machine.pace
        seconds = SECONDS * sum(duration(pace, by, own).value for pace, by in work.items())
        used = (self._used(start), self._used(end) if end.yarn == start.yarn else None)
        before = self._look(self._ready(first, last))
        for nth in range(1, many + 1):
            gone = (end.gap - start.gap) % end.needles or end.needles
            part = isinstance(knitting, op.PartRound)
            self.length += course * gone / end.needles if part else course
            yield CountStep(
                place=0,
                instruction=each.number,
                section=self.section,
                kind=ROW if isinstance(knitting, op.Row) else ROUND if knitting else DO,
                nth=nth,
                count_steps=many,
                count=0 if each.count is None else each.count.first + nth - 1,
                of=0 if each.count is None else each.count.of,
                before=before,
                bed=self._look(end),
                gap_before=(start.gap if nth == 1 else end.gap) % end.needles,
                gap=end.gap % end.needles,
                passed=end.passed(),
                way=_way(knitting, covered),
                touches=tuple(touches(covered)),
                yarn=end.yarn,
                used_mm=_between(used, nth / many) if used[1] is not None else self._used(end),
                length_mm=self.length,
                seconds=seconds / many,
            )

    def _ready(self, first: int, last: int) -> State:
        """The bed when hands have done their part and the crank has not yet moved."""
        place = next(
            (n for n in range(first, last + 1) if isinstance(self.steps[n - 1], _KNITTING)), last
        )
        return self.states[place - 1 if isinstance(self.steps[place - 1], _KNITTING) else place]

    def _look(self, state: State) -> int:
        key = (_letters(state.cylinder), _letters(state.dial))
        return self.looks.setdefault(key, len(self.looks))

    def _used(self, state: State) -> float:
        return 0.0 if state.yarn is None else self.used[state.steps].get(state.yarn, 0.0)


_KNITTING = (op.Rounds, op.PartRound, op.Row)


def _knitting(covered: tuple[op.Step, ...]) -> op.Rounds | op.PartRound | op.Row | None:
    """The step of an instruction that knits, if one does."""
    return next((step for step in covered if isinstance(step, _KNITTING)), None)


def _rounds(covered: tuple[op.Step, ...]) -> int:
    """The rounds that an instruction counts, 1 for all else."""
    knitting = _knitting(covered)
    return knitting.count if isinstance(knitting, op.Rounds) else 1


def touches(steps: tuple[op.Step, ...]) -> Iterator[NeedleTouch]:
    """The needles that steps have the hands touch, in order."""
    for step in steps:
        if isinstance(step, op.Raise):
            yield NeedleTouch("raise", tuple(sorted(step.needles)))
        elif isinstance(step, op.Lower):
            yield NeedleTouch("lower", tuple(sorted(step.needles)))
        elif isinstance(step, op.Wrap):
            yield NeedleTouch("wrap", (step.needle,))
        elif isinstance(step, op.RemoveNeedles | op.ReplaceNeedles | op.LiftBars):
            yield NeedleTouch("other", tuple(sorted(step.needles)))
        elif isinstance(step, op.MoveLoops | op.ToDial):
            yield NeedleTouch("other", tuple(sorted(source for source, _ in step.moves)))
        elif isinstance(step, op.ToCylinder):
            yield NeedleTouch("other", tuple(sorted(target for _, target in step.moves)))


def _way(step: op.Step | None, covered: tuple[op.Step, ...]) -> int:
    if step is None:
        return int(any(isinstance(each, op.TakeOff) for each in covered))
    return -1 if isinstance(step, op.Row) and step.way is op.Way.REVERSE else 1


def _letters(states: bytes) -> str:
    return "".join(LETTERS[state] for state in states)


def _between(ends: tuple[float, float | None], share: float) -> float:
    start, end = ends[0], ends[1] or 0.0
    return min(start + (end - start) * share, end)  # rounding must not go past the end


def _used_after_steps(plan: SockPlan) -> list[dict[str, float]]:
    """Yarn used, mm by name, after each step (0 first)."""
    table = plan.dry_run.loops
    used: list[dict[str, float]] = [{} for _ in range(len(plan.program.steps) + 1)]
    ends = [run.first for run in table.runs[1:]] + [len(table)]
    for run, end in zip(table.runs, ends, strict=True):
        if run.yarn >= 0 and end:
            used[run.step][table.yarns[run.yarn]] = float(table.yarn_at[end - 1])
    for before, after in pairwise(used):
        after.update({name: mm for name, mm in before.items() if name not in after})
    return used


def work_of_instruction(plan: SockPlan, each: Instruction) -> dict[str, float]:
    """How much of each kind of work an instruction is, by the name of its pace."""
    program, first = plan.program, each.steps[0]
    before = [step for step in program.steps[: first - 1] if isinstance(step, op.Ribber)]
    covered = program.steps[first - 1 : each.steps[-1]]
    gap = plan.execution.states[first - 1].gap
    part = op.Program(program.needles, program.dial, covered)
    return work_of(part, gap, ribbed=bool(before) and before[-1].on)


def work_of_counts(plan: SockPlan) -> tuple[dict[str, float], ...]:
    """The work of each count, by the name of its pace."""
    steps = plan.program.steps
    found: list[dict[str, float]] = []
    for each in instructions(plan):
        many = _rounds(steps[each.steps[0] - 1 : each.steps[-1]])
        work = work_of_instruction(plan, each)
        found += [{pace: amount / many for pace, amount in work.items()}] * many
    return tuple(found)
