"""What the operator sees from above at one moment of a program."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

from sockwright import steps as op
from sockwright.drawing.base.places import PlacedMark, limits_of_program, place_marks
from sockwright.drawing.base.theme import UNKNOWN_YARN, paint
from sockwright.machine import HOURS, Direction, Landmark, Machine, Turning, home_hour
from sockwright.needlebed.bed import OUT_OF_SLOT, RAISED, WORKING, State
from sockwright.needlebed.execute import Execution
from sockwright.plan.make import SockPlan


class Needle(StrEnum):
    """How a needle stands."""

    WORKING = "working"
    RAISED = "raised"
    OUT = "out"


STATES = {OUT_OF_SLOT: Needle.OUT, RAISED: Needle.RAISED, WORKING: Needle.WORKING}


class DialNeedle(NamedTuple):
    """A needle of the dial: its place in numbers of the cylinder's, and whether it is in work."""

    place: float
    works: bool


@dataclass(frozen=True)
class CylinderView:
    """A ring of needles seen from above, six o'clock nearest the operator.

    `states` (N,) from needle 1 on; needles 1..`heel_needles` are the heel half. `gap` is the
    needle the carrier stands past in forward counting (0: the home gap); `way` that of the next
    pass, None where none follows. `home_hour` is where the home gap stands now. `dial` (D,) holds
    the place of each dial slot in needle numbers with whether its needle works. `now` are the
    needles to be touched next.
    """

    states: tuple[Needle, ...]
    heel_needles: int
    gap: int
    way: op.Way | None
    turning: Turning
    forward: Direction
    home_hour: float
    marks: tuple[PlacedMark, ...]
    landmarks: tuple[Landmark, ...] = ()
    dial: tuple[DialNeedle, ...] = ()
    yarn: str | None = None
    yarn_paint: str = UNKNOWN_YARN
    now: tuple[int, ...] = ()

    @property
    def needles(self) -> int:
        """Needles of the cylinder, in their slots or not."""
        return len(self.states)

    @property
    def sense(self) -> int:
        """1 where needle numbers run clockwise, -1 where they run anticlockwise."""
        return 1 if self.forward is Direction.CLOCKWISE else -1

    def hour(self, place: float) -> float:
        """Hour (0 to 12) of a place in needle numbers; x.5 is the gap after needle x."""
        return (self.home_hour + self.sense * HOURS * (place - 0.5) / self.needles) % HOURS

    @property
    def carrier_hour(self) -> float:
        """Hour where the carrier stands."""
        return self.hour(self.gap + 0.5)


def view_at(
    source: SockPlan | Execution, machine: Machine, step_number: int, *, after: bool = False
) -> CylinderView:
    """The cylinder of `machine` as it stands before step `step_number` (from 1), or `after` it.

    Yarn colours are known only of a plan. IndexError where there is no such step.
    """
    run = source if isinstance(source, Execution) else source.execution
    done = run.at(step_number)
    state = done.after if after else done.before
    needles = state.needles
    coming = run.program.steps[state.steps :]
    return CylinderView(
        states=tuple(STATES[needle] for needle in state.cylinder),
        heel_needles=needles // 2,
        gap=state.gap % needles,
        way=_next_way(coming),
        turning=machine.turns,
        forward=machine.forward,
        home_hour=_home_now(machine, needles, state.gap),
        marks=place_marks(machine, needles, limits_of_program(run)),
        landmarks=machine.landmarks,
        dial=_dial(run.program, state),
        yarn=state.yarn,
        yarn_paint=UNKNOWN_YARN if state.yarn is None else _yarn_paint(source, state.yarn),
        now=_touched(coming[0]) if coming else (),
    )


def _home_now(machine: Machine, needles: int, gap: int) -> float:
    """Hour of the home gap; a turning cylinder has brought its gap to the standing carrier, which
    stands where the machine says or, by default, where the home gap rests."""
    rest = home_hour(machine)
    if machine.turns is Turning.CARRIER:
        return rest
    sense = 1 if machine.forward is Direction.CLOCKWISE else -1
    return (rest - sense * HOURS * gap / needles) % HOURS


def _dial(program: op.Program, state: State) -> tuple[DialNeedle, ...]:
    if not any(needle == WORKING for needle in state.dial):
        return ()
    working = (needle == WORKING for needle in state.dial)
    return tuple(map(DialNeedle, program.dial, working))


def _next_way(coming: tuple[op.Step, ...]) -> op.Way | None:
    """The way of the next pass, unless the work leaves the machine before it."""
    for step in coming:
        if isinstance(step, op.Row):
            return step.way
        if isinstance(step, op.Rounds | op.PartRound):
            return op.Way.FORWARD
        if isinstance(step, op.TakeOff):
            return None
    return None


def _touched(step: op.Step) -> tuple[int, ...]:
    """The cylinder needles that a step asks the hands to touch."""
    if isinstance(step, op.Raise | op.Lower | op.RemoveNeedles | op.ReplaceNeedles | op.LiftBars):
        return tuple(sorted(step.needles))
    if isinstance(step, op.Wrap):
        return (step.needle,)
    if isinstance(step, op.MoveLoops | op.ToDial):
        return tuple(sorted(source for source, _ in step.moves))
    if isinstance(step, op.ToCylinder):
        return tuple(sorted(target for _, target in step.moves))
    return ()


def _yarn_paint(source: SockPlan | Execution, yarn: str) -> str:
    if isinstance(source, Execution):
        return UNKNOWN_YARN
    given = {one.role: one.colour for one in source.order.yarns}
    return paint(given.get(yarn, ""))
