"""How long a program takes at the machine and after it."""

from __future__ import annotations

from sockwright import steps as op
from sockwright.estimates import Estimate, Propagated
from sockwright.facts import fact
from sockwright.words import numeral, phrase, said

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


WORK = {
    "plain_rounds_per_minute": phrase("{amount} plain rounds, so many a minute"),
    "rib_rounds_per_minute": phrase("{amount} rounds of rib, so many a minute"),
    "seconds_per_row": phrase("{amount} rows, each so many seconds"),
    "seconds_per_loop_moved": phrase("{amount} loops moved by hand, each so many seconds"),
    "seconds_per_change": phrase("{amount} changes and checks, each so many seconds"),
    "seconds_per_graft": phrase("{amount} stitches grafted, each so many seconds"),
}


def minutes(program: op.Program) -> Estimate:
    """Minutes for one sock, cranking, handwork and closing; the paces are facts/pace.toml's."""
    finishing = fact("pace", "finishing_minutes").called(
        "pace.finishing", said("ends darned, laid out to dry")
    )
    spent = finishing.propagated()
    for pace, amount in work_of(program).items():
        spent += duration(pace, amount)
    return spent.named(
        "minutes",
        said("time for one sock"),
        "min",
        said("every kind of work × its pace, and the finishing"),
        said("paces of a practised maker; each kind of work errs as a whole"),
        "from memory",
    )


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


def duration(name: str, amount: float) -> Propagated:
    """Minutes for so much work at a pace of facts/pace.toml, in rounds a minute or seconds each."""
    label = said(WORK[name], amount=numeral(f"{amount:g}"))
    pace = fact("pace", name).called(f"pace.{name}", label)
    if pace.unit == "1/min":
        return pace**-1 * amount
    return pace * (amount / SECONDS)
