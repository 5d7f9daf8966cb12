"""How fast the dry run is: a whole sock, many rows, and a very long tube."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from benchmarks.figures import Line, median_of


def bench_dry_run() -> Iterator[Line]:
    """A whole 60-needle sock, against counting its loops one by one in Python."""
    from sockwright import steps as op
    from sockwright.needlebed.execute import dry_run

    program = op.Program(60, (), _sock(60, 30, 10))
    seconds = median_of(lambda: dry_run(program), 50)
    run = dry_run(program)
    assert run.findings == ()
    loops = len(run.loops)
    counting = median_of(lambda: _count(loops), 50)
    yield Line(
        f"dry run, 60-needle sock, {loops} loops",
        f"{seconds * 1e3:.2f} ms",
        f"a Python loop over as many, {counting * 1e3:.2f} ms",
        f"{seconds / counting:.2f}",
        "<= 2 ms",
    )


def bench_linear() -> Iterator[Line]:
    """Time a row with eight times as many rows: 1 when the dry run is linear."""
    from sockwright.needlebed.execute import dry_run

    each = {}
    for rows in (500, 4000):
        program = _rows(60, 30, rows)
        each[rows] = median_of(lambda program=program: dry_run(program), 9) / rows  # type: ignore[misc]
    yield Line(
        "dry run of 4000 rows, each",
        f"{each[4000] * 1e6:.1f} us",
        f"of 500 rows, each, {each[500] * 1e6:.1f} us",
        f"{each[4000] / each[500]:.2f}",
        "<= 1.5",
    )


def bench_tube() -> Iterator[Line]:
    """A tube of ten million loops, against numpy writing arrays of the same sizes."""
    from sockwright import steps as op
    from sockwright.needlebed.execute import dry_run

    needles, rounds = 100, 100_000
    steps = (*_begin(), op.Rounds(op.Section.LEG, rounds))
    program = op.Program(needles, (), steps)
    seconds = median_of(lambda: dry_run(program), 3)
    alone = median_of(lambda: _arrays(needles, rounds), 3)
    yield Line(
        f"tube of {needles * rounds / 1e6:.0f} million loops",
        f"{seconds:.2f} s",
        f"numpy writing the arrays, {alone:.2f} s",
        f"{seconds / alone:.1f}",
        "<= 5",
    )


def _count(loops: int) -> int:
    """The least a loop over every loop could do."""
    total = 0
    for loop in range(loops):
        total += loop
    return total


def _arrays(needles: int, rounds: int) -> tuple[np.ndarray, ...]:
    """The arrays of such a tube's loop table, written in the plainest way."""
    size = needles * rounds
    return (
        np.repeat(np.arange(rounds, dtype=np.int32), needles),
        np.tile(np.arange(1, needles + 1, dtype=np.int16), rounds),
        *(np.full(size, number, np.int8) for number in (1, 2, 3)),
        np.arange(-needles, size - needles, dtype=np.int32),
        np.arange(1.0, size + 1.0),
    )


def _begin() -> tuple:  # type: ignore[type-arg]
    from sockwright import steps as op

    section = op.Section.SET_UP
    return (
        op.HangScrap(section),
        op.Weigh(section, op.Weight.MAIN),
        op.Thread(section, "main"),
    )


def _sock(needles: int, half: int, kept: int) -> tuple:  # type: ignore[type-arg]
    """The steps of a plain sock with a hung hem, built as for an order."""
    from sockwright.estimates import Count, asked, exactly
    from sockwright.order.model import Closing as How
    from sockwright.order.model import CuffKind, RibEnd, ToeHalf
    from sockwright.program.build import build_program
    from sockwright.sock.cuff import Cuff
    from sockwright.sock.cup import Cup
    from sockwright.sock.heel import ShortRow
    from sockwright.sock.sizing import Sizing, Toe

    def count(number: int) -> Count:
        return asked("", "", number, "")

    cup, length = Cup(half, kept), exactly(0.0, "mm")
    sizing = Sizing(
        needles=count(needles),
        heel_needles=count(half),
        cuff=Cuff(CuffKind.HUNG_HEM, count(21), 3, None, RibEnd.CUFF),
        leg_rounds=count(60),
        leg_shape=((60, 1.0),),
        heel=ShortRow(cup),
        foot_rounds=count(55),
        toe=Toe(ToeHalf.HEEL, cup, How.GRAFT),
        foot_length=length,
        leg_height=length,
        length_wish_mm=0.0,
    )
    return build_program(sizing).steps


def _rows(needles: int, half: int, count: int):  # type: ignore[no-untyped-def]
    """A program of `count` rows over half the needles."""
    from sockwright import steps as op

    section = op.Section.HEEL
    steps = [
        *_begin(),
        op.Rounds(section, 1),
        op.PartRound(section, half),
        op.Raise(section, tuple(range(half + 1, needles + 1))),
        op.Weigh(section, op.Weight.HEEL),
        op.HeelSpring(section, True),
    ]
    ways = (op.Way.REVERSE, op.Way.FORWARD)
    steps += [op.Row(section, ways[k % 2]) for k in range(count)]
    return op.Program(needles, (), tuple(steps))
