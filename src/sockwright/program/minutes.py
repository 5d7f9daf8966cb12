"""How long a program takes at the machine and after it."""

from __future__ import annotations

from math import hypot

from sockwright import steps as op
from sockwright.estimates import Estimate
from sockwright.facts import Fact, fact

SECONDS = 60.0
HANDED = (op.HangHem, op.MoveLoops, op.ToDial, op.ToCylinder, op.LiftBars, op.HangScrap, op.Rehang)
CHANGES = (
    op.Thread,
    op.CutYarn,
    op.Weigh,
    op.HeelSpring,
    op.Mount,
    op.Ribber,
    op.Check,
    op.TakeOff,
)


def minutes(program: op.Program) -> Estimate:
    """Minutes for one sock, cranking, handwork and closing; the paces are facts/pace.toml's."""
    work = work_of(program)
    parts = [duration(fact("pace", pace), amount) for pace, amount in work.items()]
    parts.append(fact("pace", "finishing_minutes").estimate)
    return Estimate(sum(p.value for p in parts), hypot(*(p.sd for p in parts)), "min")


def work_of(program: op.Program, gap: int = 0) -> dict[str, float]:
    """How much of each kind of work a program holds, by the name of its pace in facts/pace.toml:
    rounds, rows, loops moved, changes, loops grafted. The carrier begins past needle `gap`."""
    tally = _Tally()
    ribbed = False
    for step in program.steps:
        if isinstance(step, op.Ribber):
            ribbed = step.on
        if isinstance(step, op.Rounds):
            tally.rounds(step.count, ribbed=ribbed)
        elif isinstance(step, op.PartRound):
            gone = (step.last - gap) % program.needles or program.needles
            tally.rounds(gone / program.needles, ribbed=ribbed)
            gap = step.last
        elif isinstance(step, op.Row):
            tally.add("seconds_per_row", 1)
            gap = step.last or gap
        elif isinstance(step, HANDED):
            tally.add("seconds_per_loop_moved", _loops(step, program.needles))
        elif isinstance(step, op.Graft):
            tally.add("seconds_per_graft", len(step.a))
        elif isinstance(step, op.Gather | op.BindOff):
            tally.add("seconds_per_loop_moved", program.needles)
        elif isinstance(step, CHANGES):
            tally.add("seconds_per_change", 1)
    return tally.work


def _loops(step: op.Step, needles: int) -> int:
    """Loops that a step moves by hand; all of the cylinder's where it names none."""
    named = [getattr(step, name, ()) for name in ("moves", "needles", "lower", "upper")]
    return sum(map(len, named)) or needles


class _Tally:
    """Adds up kinds of work; the pace of each kind errs as a whole, not step by step."""

    def __init__(self) -> None:
        self.work: dict[str, float] = {}

    def add(self, pace: str, amount: float) -> None:
        self.work[pace] = self.work.get(pace, 0.0) + amount

    def rounds(self, count: float, *, ribbed: bool) -> None:
        self.add("rib_rounds_per_minute" if ribbed else "plain_rounds_per_minute", count)


def duration(pace: Fact, amount: float) -> Estimate:
    """Minutes for so much work at a pace given in rounds a minute or seconds each."""
    sd = pace.sd or 0.0
    if pace.unit == "1/min":
        value = amount / pace.number
        return Estimate(value, value * sd / pace.number, "min")
    return Estimate(amount * pace.number / SECONDS, amount * sd / SECONDS, "min")
