"""Wrong programs, made from right ones by one slip each, and what of them comes out otherwise."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from itertools import groupby

import numpy as np

from programs_to_word import TWO_YARNS, Made, made_for, sock
from sockwright import steps as op
from sockwright.fabric.compare import compared
from sockwright.machine import DialKind
from sockwright.needlebed.execute import DryRun, dry_run
from sockwright.needlebed.findings import Finding, Level
from sockwright.needlebed.loops import LoopKind, LoopTable
from sockwright.order.model import Closing, CuffKind, HeelKind, RibEnd, ToeHalf, Widening

Steps = tuple[op.Step, ...]
Slip = Callable[[Steps, int], Iterator[op.Step | Steps]]
"""Tells what may stand in place of step `k` of a program."""


def socks() -> dict[str, Made]:
    """Small socks that hold every way to make a part between them."""
    half, two_thirds = DialKind.HALF, DialKind.TWO_THIRDS
    rib, after = CuffKind.TRUE_RIB, HeelKind.AFTERTHOUGHT
    far, two_down = Widening.WRAPPED_FAR, Widening.TWO_DOWN_ONE_UP
    return {
        "hung hem": made_for(24, sock(), length_mm=120.0),
        "picot hem, instep toe": made_for(
            25, sock(CuffKind.PICOT_HEM, half=ToeHalf.INSTEP), length_mm=120.0
        ),
        "mock-rib hem, two yarns": made_for(
            24, sock(CuffKind.MOCK_RIB_HEM), yarns=TWO_YARNS, length_mm=120.0
        ),
        "rolled edge, gathered": made_for(
            24, sock(CuffKind.ROLLED_EDGE, closing=Closing.GATHER), length_mm=120.0
        ),
        "1x1 rib": made_for(24, sock(rib), half, length_mm=120.0),
        "1x1 rib down the leg": made_for(24, sock(rib, rib_to=RibEnd.LEG), half, length_mm=120.0),
        "3x1 rib down the instep": made_for(
            32, sock(rib, rib=(3, 1), rib_to=RibEnd.INSTEP), half, length_mm=160.0
        ),
        "2x2 rib": made_for(24, sock(rib, rib=(2, 2)), two_thirds, length_mm=120.0),
        "lowered at the far end": made_for(
            24, sock(widening=far, first_raise=2), yarns=TWO_YARNS, length_mm=120.0
        ),
        "two down, one up": made_for(24, sock(widening=two_down), length_mm=120.0),
        "deep heel": made_for(32, sock(deep_kept=10), length_mm=160.0),
        "afterthought heel": made_for(24, sock(heel=after), length_mm=120.0),
        "shaped leg": made_for(24, sock(), shape=(1.08, 1.04, 0.97), length_mm=120.0),
    }


# Slips


def dropped(steps: Steps, k: int) -> Iterator[Steps]:
    """The step is left out."""
    yield ()


def doubled(steps: Steps, k: int) -> Iterator[Steps]:
    """The step is done twice."""
    yield steps[k], steps[k]


def needle_off(steps: Steps, k: int) -> Iterator[op.Step]:
    """The first needle named, or every one, is off by one."""
    step = steps[k]
    for by in (-1, 1):
        for name in ("needles", "slots", "between"):
            if numbers := getattr(step, name, ()):
                yield replace(step, **{name: (numbers[0] + by, *numbers[1:])})
                if len(numbers) > 1:
                    yield replace(step, **{name: tuple(number + by for number in numbers)})
        if moves := getattr(step, "moves", ()):
            (a, b), *rest = moves
            yield replace(step, moves=((a + by, b), *rest))
            yield replace(step, moves=tuple((a, b + by) for a, b in moves))
        for name in ("needle", "last"):
            if (number := getattr(step, name, None)) is not None:
                yield replace(step, **{name: number + by})


def rows_off(steps: Steps, k: int) -> Iterator[op.Step]:
    """One round more or less, or the course beside the one that is meant."""
    for name in ("count", "course"):
        if (number := getattr(steps[k], name, None)) is not None:
            yield from (replace(steps[k], **{name: number + by}) for by in (-1, 1))


def yarn_swapped(steps: Steps, k: int) -> Iterator[op.Step]:
    """Another of the program's yarns is threaded."""
    step = steps[k]
    if isinstance(step, op.Thread):
        others = {(one.yarn, one.removable) for one in steps if isinstance(one, op.Thread)}
        for yarn, removable in sorted(others - {(step.yarn, step.removable)}):
            yield replace(step, yarn=yarn, removable=removable)


def side_flipped(steps: Steps, k: int) -> Iterator[op.Step]:
    """A row the other way; needles of the other side of a cup."""
    step = steps[k]
    if isinstance(step, op.Row):
        forward = step.way is op.Way.FORWARD
        yield replace(step, way=op.Way.REVERSE if forward else op.Way.FORWARD)
    if isinstance(step, op.Raise | op.Lower) and len(step.needles) < 3:
        yield replace(step, needles=tuple(_opposite(steps, k, n) for n in step.needles))
    if isinstance(step, op.Wrap):
        yield replace(step, needle=_opposite(steps, k, step.needle))


def _opposite(steps: Steps, k: int, needle: int) -> int:
    """The needle as far from the other end of the run on which the rows are knitted: that beside
    the needles last raised together."""
    raised = [step.needles for step in steps[:k] if isinstance(step, op.Raise)]
    held = next(needles for needles in reversed(raised) if len(needles) > 2)
    return held[0] - needle if held[0] > 1 else 3 * held[-1] + 1 - needle


def graft_shifted(steps: Steps, k: int) -> Iterator[op.Step]:
    """The pairs of a graft, or of an opening hung again, rotated, crossed or mirrored."""
    step = steps[k]
    names = ("a", "b") if isinstance(step, op.Graft) else ("lower", "upper")
    if not isinstance(step, op.Graft | op.Rehang):
        return
    for name in names:
        needles = getattr(step, name)
        yield replace(step, **{name: needles[1:] + needles[:1]})
        yield replace(step, **{name: needles[::-1]})
        yield replace(step, **{name: (needles[1], needles[0], *needles[2:])})
        yield replace(step, **{name: tuple(needle + 1 for needle in needles)})
        yield replace(step, **{name: needles[:-1]})
    yield replace(step, **{name: getattr(step, name)[::-1] for name in names})


def weights_dropped(steps: Steps, k: int) -> Iterator[Steps]:
    """A weight not hung, not moved or not taken off."""
    if isinstance(steps[k], op.Weigh | op.Unweigh):
        yield ()


def ribber_dropped(steps: Steps, k: int) -> Iterator[Steps]:
    """The ribber not put on or taken off, not connected or disconnected, its loops not moved."""
    if isinstance(steps[k], op.Mount | op.Ribber | op.ToDial | op.FillDial | op.ToCylinder):
        yield ()


def swapped(steps: Steps, k: int) -> Iterator[Steps]:
    """The step and the next in the wrong order (the next then stands here, too)."""
    if k + 1 < len(steps):
        yield steps[k + 1], steps[k]


SLIPS: dict[str, Slip] = {
    "step dropped": dropped,
    "step doubled": doubled,
    "steps swapped": swapped,
    "needle off by one": needle_off,
    "rounds off by one": rows_off,
    "yarn swapped": yarn_swapped,
    "side flipped": side_flipped,
    "graft or rehang shifted": graft_shifted,
    "weight dropped": weights_dropped,
    "ribber dropped": ribber_dropped,
}


def mutants(program: op.Program) -> Iterator[tuple[str, int, op.Program]]:
    """Every program that one slip makes of `program`, with the slip's name and the step."""
    steps = program.steps
    for name, slip in SLIPS.items():
        for k in range(len(steps)):
            for other in slip(steps, k):
                instead = other if isinstance(other, tuple) else (other,)
                rest = k + (2 if slip is swapped else 1)
                if steps[k:rest] != instead:
                    changed = (*steps[:k], *instead, *steps[rest:])
                    yield name, k + 1, replace(program, steps=changed)


# What comes out

Setting = tuple[float, bool, bool, bool, bool]


def outcome(program: op.Program, table: LoopTable) -> tuple[object, ...]:
    """Everything by which a sock is what it is: two programs with like outcomes knit like socks and
    leave as little to do.

    Every loop that stays, in the order of knitting, with its needle, yarn, kind and length and the
    loops that it was pulled through; what was grafted, gathered and bound off; the weights and the
    heel spring at each of these loops; what holds the first edge and the last; and what is still
    to do at the end. Where a round is parted, how much waste there is and in which order things
    are done besides, all that may differ.
    """
    stays = table.stays & (table.kind != LoopKind.FLOAT)
    place = np.full(len(table) + 1, -1)
    place[:-1][stays] = np.arange(int(stays.sum()))
    sizes = [len(run.slots) * run.rounds for run in table.runs]
    settings = _settings(program)
    at = np.repeat([run.step for run in table.runs], sizes)
    yarns = np.array(table.yarns)[table.yarn]
    more = table.more_parents[stays[table.more_parents[:, 0]]]
    return (
        *(column[stays].tolist() for column in (table.needle, table.bed, table.kind, yarns)),
        place[table.parent][stays].tolist(),
        [settings[step][0] for step in at[stays].tolist()],
        _ways(table, settings),
        {(int(place[a]), int(place[b])) for a, b in more},
        {frozenset(place[pair].tolist()) for pair in table.grafts},
        set(place[table.closed].tolist()),
        _edge(table),
        _left_to_do(program),
    )


def _settings(program: op.Program) -> list[Setting]:
    """During each step, from number 1: the stitch cam, and whether the main weight and the heel
    weights hang, the yarn goes through the spring and the ribber is on the machine."""
    cam, main, heel, spring, ribber = 1.0, False, False, False, False
    found = [(cam, main, heel, spring, ribber)]
    for step in program.steps:
        match step:
            case op.SetCam():
                cam = step.factor
            case op.Weigh(kind=op.Weight.MAIN) | op.Unweigh(kind=op.Weight.MAIN):
                main = isinstance(step, op.Weigh)
            case op.Weigh() | op.Unweigh():
                heel = isinstance(step, op.Weigh)
            case op.HeelSpring():
                spring = step.on
            case op.CutYarn():
                spring = False
            case op.TakeOff():
                main = heel = False
            case op.Mount():
                ribber = step.on
        found.append((cam, main, heel, spring, ribber))
    return found


def _ways(table: LoopTable, settings: list[Setting]) -> list[object]:
    """How the courses of the sock are knitted, one after the other, like ones together: rows or
    rounds, whether there were weights and a spring; heel weights may hang or not at part rounds,
    and the ribber be on the machine at rounds of the cylinder alone."""
    runs = [
        (run.shape, *settings[run.step][1:]) for run in table.runs if not table.removable[run.yarn]
    ]
    pulled = [(shape == "row", main, spring) for shape, main, _, spring, _ in runs]
    forks = [(shape == "row", heel) for shape, _, heel, *_ in runs if shape != "part"]
    over = [ribber for shape, *_, ribber in runs if shape == "row"]
    return [[way for way, _ in groupby(ways)] for ways in (pulled, forks, over)]


def _edge(table: LoopTable) -> tuple[str, ...]:
    """The yarns of the two courses before the sock's first."""
    first = next((k for k, run in enumerate(table.runs) if not table.removable[run.yarn]), 0)
    return tuple(table.yarns[run.yarn] for run in table.runs[max(first - 2, 0) : first])[-2:]


def _left_to_do(program: op.Program) -> tuple[object, ...]:
    """At each taking off, and at the end: the yarn in the carrier, whether waste holds the loops
    and the heel weights hang; whether the cord is pulled and the ends are darned."""
    threaded, waste, heel = None, False, False
    found: list[object] = []
    for before, step in zip((None, *program.steps), program.steps, strict=False):
        match step:
            case op.Thread():
                threaded, waste = step.yarn, step.removable
            case op.CutYarn():
                threaded = None
            case op.Weigh(kind=op.Weight.HEEL) | op.Unweigh(kind=op.Weight.HEEL):
                heel = isinstance(step, op.Weigh)
            case op.TakeOff() if not isinstance(before, op.TakeOff):
                found.append((threaded, waste, heel))
                heel = False
    kinds = {type(step) for step in program.steps}
    return (*found, threaded, op.PullCord in kinds, isinstance(program.steps[-1], op.Finish))


@dataclass
class Tally:
    """Of the mutants of one slip: how many come out otherwise, how many of these are found, how
    many as errors, and how many do no harm."""

    harmful: int = 0
    found: int = 0
    errors: int = 0
    harmless: int = 0


@dataclass(frozen=True)
class Missed:
    """A mutant that comes out otherwise and is not found as an error."""

    sock: str
    slip: str
    step: int
    was: op.Step
    findings: tuple[Finding, ...]


def judge(
    made: dict[str, Made], take: Callable[[int], bool] = lambda number: True
) -> tuple[dict[str, Tally], list[Missed]]:
    """Run the mutants of `made` whose numbers `take` takes, and tell what the dry run, compared
    with the sizing, finds of them."""
    tallies = {name: Tally() for name in SLIPS}
    missed: list[Missed] = []
    number = 0
    for name, one in made.items():
        right = _run(one, one.program)
        whole = outcome(one.program, right.loops)
        for slip, step, program in mutants(one.program):
            number += 1
            if not take(number):
                continue
            run, tally = _run(one, program), tallies[slip]
            new = [finding for finding in run.findings if finding not in right.findings]
            if outcome(program, run.loops) == whole:
                tally.harmless += 1
                continue
            tally.harmful += 1
            tally.found += bool(new)
            error = any(finding.level is Level.ERROR for finding in new)
            tally.errors += error
            if not error:
                missed.append(Missed(name, slip, step, one.program.steps[step - 1], tuple(new)))
    return tallies, missed


def _run(made: Made, program: op.Program) -> DryRun:
    return compared(dry_run(program), made.sizing, program, made.yarns)


def total(tallies: Iterable[Tally]) -> Tally:
    """All slips together."""
    tallies = tuple(tallies)
    return Tally(
        sum(one.harmful for one in tallies),
        sum(one.found for one in tallies),
        sum(one.errors for one in tallies),
        sum(one.harmless for one in tallies),
    )
