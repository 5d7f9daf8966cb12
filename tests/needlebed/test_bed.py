"""What each step does, needle by needle, on a tiny bed."""

from __future__ import annotations

import numpy as np
import pytest

from builders import (
    BEGUN,
    N,
    bed_run,
    into_rows,
    loops_on,
    loops_per_row,
    parents_of,
    rows_in,
    tube,
)
from sockwright import steps as op
from sockwright.needlebed.bed import Bed
from sockwright.needlebed.execute import HANDLERS
from sockwright.needlebed.findings import Code
from sockwright.needlebed.loops import Bed as On
from sockwright.needlebed.loops import LoopKind

LEG, HEEL, CLOSING = op.Section.LEG, op.Section.HEEL, op.Section.CLOSING
REVERSE, FORWARD = op.Row(HEEL, op.Way.REVERSE), op.Row(HEEL, op.Way.FORWARD)
ROUND = op.Rounds(LEG, 1)
HALF = 12
DIAL = tuple(float(place) for place in range(2, N + 1, 2))


def last_course(run, back: int = 1) -> np.ndarray:
    """Ids of the course `back` from the end (1: the last)."""
    table = run.loops
    return np.flatnonzero(table.course == table.courses - back)


def codes(run) -> set[Code]:
    return {finding.code for finding in run.findings}


def test_every_step_has_a_meaning() -> None:
    kinds = {kind for kind in vars(op).values() if isinstance(kind, type)}
    steps = {kind for kind in kinds if issubclass(kind, op.Step)} - {op.Step}
    assert steps == set(HANDLERS)


END_MM = 150.0
"""The end a yarn is threaded with."""


# Courses


def test_scrap_is_a_course_that_costs_no_yarn() -> None:
    run = bed_run(BEGUN)
    assert run.loops.courses == 1
    assert set(run.loops.kind) == {LoopKind.SCRAP}
    assert run.loops.used_mm == (0.0, END_MM)
    assert not run.loops.stays.any()


@pytest.mark.parametrize("needles", [24, 25, 61])
def test_each_round_is_pulled_through_the_one_before(needles: int) -> None:
    table = bed_run((*BEGUN, op.Rounds(LEG, 5)), needles=needles).loops
    assert table.courses == 6
    for course in range(1, 6):
        here = np.flatnonzero(table.course == course)
        assert table.needle[here].tolist() == list(range(1, needles + 1))
        assert table.needle[table.parent[here]].tolist() == list(range(1, needles + 1))
        assert set(table.course[table.parent[here]]) == {course - 1}


def test_single_rounds_and_one_long_tube_make_the_same_loops() -> None:
    at_once = bed_run((*BEGUN, op.Rounds(LEG, 7))).loops
    one_by_one = bed_run((*BEGUN, *[ROUND] * 7)).loops
    for name in ("course", "needle", "bed", "yarn", "kind", "parent", "yarn_at"):
        assert np.array_equal(getattr(at_once, name), getattr(one_by_one, name)), name


def test_part_round_stops_past_its_needle_and_the_next_goes_on_from_there() -> None:
    table = bed_run(tube(op.PartRound(LEG, 7), op.PartRound(LEG, N), ROUND)).loops
    widths = [len(run.slots) for run in table.runs]
    assert widths == [N, N, 7, N - 7, N]
    first, second = table.runs[2], table.runs[3]
    assert first.slots == list(range(7))
    assert second.slots == list(range(7, N))


def test_round_from_the_middle_goes_once_about() -> None:
    table = bed_run(tube(op.PartRound(LEG, 7), ROUND)).loops
    assert table.runs[-1].slots == [*range(7, N), *range(7)]


def test_round_after_round_from_the_middle_starts_at_the_same_needle() -> None:
    table = bed_run(tube(op.PartRound(LEG, 7), op.Rounds(LEG, 3), op.PartRound(LEG, N))).loops
    assert table.runs[-1].slots == list(range(7, N))


def test_rows_go_to_and_fro_over_the_needles_in_work() -> None:
    run = bed_run(tube(*into_rows(HALF), op.Wrap(HEEL, 13), REVERSE, op.Wrap(HEEL, 24), FORWARD))
    there, back = last_course(run, 2), last_course(run, 1)
    assert run.loops.needle[there].tolist() == [13, *range(12, 0, -1)]
    assert run.loops.needle[back].tolist() == [24, *range(1, 13)]
    assert run.loops.parent[back][1:].tolist() == there[::-1][:-1].tolist()
    assert rows_in(run.loops, "heel") == [4, 5]
    assert loops_per_row(run.loops, "heel") == [12, 12]
    assert codes(run) == {Code.LIVE_LOOP}


def test_course_sections_follow_the_steps() -> None:
    run = bed_run(tube(*into_rows(HALF), REVERSE))
    assert run.loops.course_sections() == ("set-up", "leg", "heel", "heel", "heel")


def test_yarn_is_used_as_loops_are_made() -> None:
    steps = tube(op.SetCam(LEG, 1.1), op.Rounds(LEG, 2), op.SetCam(LEG, 1.0), op.CutYarn(LEG, 80.0))
    table = bed_run(steps, loop_mm=10.0).loops
    knitted = END_MM + N * 10 + 2 * N * 11
    assert table.used_mm == pytest.approx((0.0, knitted + 80))
    assert table.yarn_at[-1] == pytest.approx(knitted)
    main = table.yarn == 1
    assert np.diff(table.yarn_at[main]).min() > 0


def test_each_yarn_keeps_its_own_length() -> None:
    steps = tube(op.Thread(LEG, "cuff yarn"), op.Rounds(LEG, 2), op.Thread(LEG, "main"), ROUND)
    table = bed_run(steps).loops
    assert dict(zip(table.yarns, table.used_mm, strict=True)) == {
        "scrap": 0.0,
        "main": 2 * END_MM + 2.0 * N,
        "cuff yarn": END_MM + 2.0 * N,
    }


# Wraps


def test_raised_needle_wraps_itself_when_the_row_turns() -> None:
    raises = op.Raise(HEEL, (12,))
    run = bed_run(
        tube(*into_rows(HALF), raises, REVERSE, op.Lower(HEEL, (12,)), op.Wrap(HEEL, 24), FORWARD)
    )
    row = last_course(run, 2)
    assert run.loops.kind[row].tolist() == [LoopKind.WRAP] + [LoopKind.KNIT] * 11
    assert run.loops.needle[row[0]] == 12
    cleared = last_course(run)[-1]
    assert run.loops.needle[cleared] == 12
    assert parents_of(run.loops, cleared) == [loops_on(run.loops, 12)[-2], row[0]]
    assert Code.NO_WRAP not in codes(run)


def test_needle_wrapped_twice_clears_three() -> None:
    """Hand-knitting instructions (Simply Knitting, October 2018): with both wraps."""
    run = bed_run(
        tube(
            op.Raise(LEG, (20,)),
            op.Wrap(LEG, 20),
            ROUND,
            op.Wrap(LEG, 20),
            ROUND,
            op.Lower(LEG, (20,)),
            ROUND,
        )
    )
    cleared = loops_on(run.loops, 20)[-1]
    parents = parents_of(run.loops, cleared)
    assert run.loops.kind[parents].tolist() == [LoopKind.KNIT, LoopKind.WRAP, LoopKind.WRAP]
    assert Code.TOO_MANY_LOOPS not in codes(run)


def test_wrap_takes_half_a_loop_of_yarn() -> None:
    plain = bed_run(tube(*into_rows(HALF), REVERSE)).loops.used_mm[1]
    wrapped = bed_run(tube(*into_rows(HALF), op.Wrap(HEEL, 13), REVERSE)).loops.used_mm[1]
    assert wrapped - plain == pytest.approx(0.5)


def test_two_needles_raised_in_one_row_are_both_wrapped() -> None:
    run = bed_run(tube(*into_rows(HALF), op.Raise(HEEL, (12, 11)), REVERSE))
    row = last_course(run)
    assert run.loops.kind[row].tolist() == [LoopKind.WRAP] * 2 + [LoopKind.KNIT] * 10
    assert sorted(run.loops.needle[row[:2]]) == [11, 12]
    assert Code.NO_WRAP not in codes(run)


def test_turn_looks_past_an_empty_slot_for_the_needle_to_wrap() -> None:
    gone = (op.MoveLoops(LEG, ((13, 14),)), op.RemoveNeedles(LEG, (13,)))
    held = op.Raise(HEEL, tuple(range(14, N + 1)))
    weights = into_rows(HALF)[2:]
    steps = tube(*gone, op.PartRound(LEG, HALF), held, *weights)
    assert Code.NO_WRAP in codes(bed_run((*steps, REVERSE)))
    assert Code.NO_WRAP not in codes(bed_run((*steps, op.Wrap(HEEL, 14), REVERSE)))


# Moving loops


def test_hem_needles_knit_their_loop_with_the_bar_of_their_own_wale() -> None:
    run = bed_run(tube(op.Rounds(LEG, 6), op.HangHem(LEG, 1), ROUND))
    for loop in last_course(run):
        top, bar = parents_of(run.loops, loop)
        assert run.loops.course[[top, bar]].tolist() == [7, 1]
        assert set(run.loops.needle[[loop, top, bar]]) == {run.loops.needle[loop]}


def test_hem_hung_one_off_takes_the_neighbours_bar() -> None:
    run = bed_run(tube(op.Rounds(LEG, 6), op.HangHem(LEG, 1, 1), ROUND))
    last = last_course(run)
    bars = [parents_of(run.loops, loop)[1] for loop in last]
    assert run.loops.needle[bars].tolist() == [N, *range(1, N)]


def test_picot_needle_begins_again_with_a_tuck() -> None:
    run = bed_run(tube(op.MoveLoops(LEG, ((6, 5),), True), ROUND, ROUND))
    eyelet_round, after = last_course(run, 2), last_course(run, 1)
    assert run.loops.kind[eyelet_round[5]] == LoopKind.TUCK
    assert run.loops.parent[eyelet_round[5]] == -1
    two = parents_of(run.loops, eyelet_round[4])
    assert run.loops.needle[two].tolist() == [5, 6]
    assert run.loops.kind[after[5]] == LoopKind.KNIT
    assert run.loops.parent[after[5]] == eyelet_round[5]
    assert codes(run) == {Code.LIVE_LOOP}


def test_eyelet_is_forgiven_once() -> None:
    move = op.MoveLoops(LEG, ((6, 5),), True)
    run = bed_run(tube(move, ROUND, op.MoveLoops(LEG, ((6, 5),)), ROUND))
    assert Code.EMPTY_NEEDLE in codes(run)


def test_eyelet_is_none_once_a_loop_hangs_there_again() -> None:
    there, back = op.MoveLoops(LEG, ((6, 5),), True), op.MoveLoops(LEG, ((5, 6),))
    bars = bed_run(tube(there, back, op.LiftBars(LEG, (5,)), op.MoveLoops(LEG, ((6, 7),)), ROUND))
    assert [(f.code, f.needle) for f in bars.findings if f.code is Code.EMPTY_NEEDLE] == [
        (Code.EMPTY_NEEDLE, 6)
    ]


def test_needle_left_out_floats_and_comes_back_on_the_bar() -> None:
    """Mock rib: the loop to the neighbour, the needle out, later back on the strand below."""
    run = bed_run(
        tube(
            op.MoveLoops(LEG, ((6, 5),)),
            op.RemoveNeedles(LEG, (6,)),
            op.Rounds(LEG, 3),
            op.ReplaceNeedles(LEG, (6,)),
            op.LiftBars(LEG, (6,)),
            ROUND,
        )
    )
    floats = np.flatnonzero(run.loops.kind == LoopKind.FLOAT)
    assert run.loops.needle[floats].tolist() == [6, 6, 6]
    assert run.loops.course[floats].tolist() == [2, 3, 4]
    assert run.loops.parent[floats].tolist() == [-1] * 3
    back = last_course(run)[5]
    assert (run.loops.kind[back], run.loops.parent[back]) == (LoopKind.KNIT, floats[-1])
    assert codes(run) == {Code.LIVE_LOOP}


# Ribber


def test_dial_needles_purl_between_their_neighbours() -> None:
    move = op.ToDial(LEG, tuple((2 * k, k) for k in range(1, HALF + 1)))
    run = bed_run(tube(move, op.Ribber(LEG, True), op.Rounds(LEG, 2)), DIAL)
    last = last_course(run)
    assert run.loops.kind[last].tolist() == [LoopKind.KNIT, LoopKind.PURL] * HALF
    assert run.loops.bed[last].tolist() == [On.CYLINDER, On.DIAL] * HALF
    assert run.loops.needle[last][1::2].tolist() == list(range(1, HALF + 1))
    first = last_course(run, 2)
    purls = run.loops.parent[first][1::2]
    assert run.loops.needle[purls].tolist() == list(range(2, N + 1, 2))


def test_disconnected_dial_keeps_its_loops() -> None:
    move = op.ToDial(LEG, ((2, 1),))
    steps = tube(
        move, op.Ribber(LEG, True), ROUND, op.Ribber(LEG, False), ROUND, op.Ribber(LEG, True), ROUND
    )
    table = bed_run(steps, DIAL).loops
    purls = np.flatnonzero(table.kind == LoopKind.PURL)
    assert table.course[purls].tolist() == [2, 4]
    assert table.parent[purls[1]] == purls[0]
    float_ = np.flatnonzero(table.kind == LoopKind.FLOAT)
    assert (table.course[float_].tolist(), table.needle[float_].tolist()) == ([3], [2])


def test_loop_comes_back_from_the_dial_to_a_needle_put_back() -> None:
    move, back = op.ToDial(LEG, ((2, 1),)), op.ToCylinder(LEG, ((1, 2),))
    run = bed_run(tube(move, op.Ribber(LEG, True), ROUND, back, op.Ribber(LEG, False), ROUND), DIAL)
    loop = last_course(run)[1]
    assert (run.loops.kind[loop], run.loops.needle[loop]) == (LoopKind.KNIT, 2)
    assert run.loops.kind[run.loops.parent[loop]] == LoopKind.PURL


def test_pair_of_dial_needles_fills_the_gap_of_one_cylinder_needle() -> None:
    dial = tuple(place for k in range(3, N + 1, 3) for place in (k - 0.75, k + 0.75))
    out = tuple((k, 2 * (k // 3) - 1) for k in range(3, N + 1, 3))
    fill = tuple(2 * (k // 3) for k in range(3, N + 1, 3))
    steps = tube(
        op.ToDial(LEG, out), op.FillDial(LEG, fill), op.Ribber(LEG, True), op.Rounds(LEG, 2)
    )
    table = bed_run(steps, dial).loops
    counts = np.bincount(table.kind[table.course == 3], minlength=6)
    assert counts[LoopKind.KNIT] == counts[LoopKind.PURL] == 16
    assert counts[LoopKind.FLOAT] == 0


# Off the machine

CUT, FINISH = op.CutYarn(LEG), op.Finish(CLOSING)
OFF = (CUT, op.Thread(CLOSING, "waste", True), op.Rounds(CLOSING, 9), CUT, op.TakeOff(CLOSING))


def test_waste_yarn_holds_and_graft_joins_the_last_loops_of_the_sock() -> None:
    a, b = tuple(range(1, 13)), tuple(range(24, 12, -1))
    run = bed_run(tube(ROUND, *OFF, op.Graft(CLOSING, a, b), FINISH))
    table = run.loops
    assert table.needle[table.grafts].tolist() == [list(pair) for pair in zip(a, b, strict=True)]
    assert set(table.course[table.grafts].flat) == {2}
    assert run.findings == ()


LOWER, UPPER = tuple(range(1, HALF + 1)), tuple(range(HALF + 1, N + 1))
OPENED: tuple[op.Step, ...] = (
    op.PartRound(LEG, 6),
    op.Raise(HEEL, UPPER),
    op.PartRound(LEG, HALF),
    CUT,
    op.Thread(HEEL, "waste", True),
    REVERSE,
    op.Row(HEEL, op.Way.FORWARD, 6),
    op.Lower(HEEL, UPPER),
    op.PartRound(HEEL, HALF),
    CUT,
    op.Thread(HEEL, "main"),
    op.PartRound(LEG, N),
    op.Rounds(LEG, 3),
    *OFF,
    op.Gather(CLOSING),
    op.OpenWaste(HEEL, 4, LOWER),
)
"""Two rows of waste in a tube that is knitted on and gathered, opened again."""


def test_opened_waste_rows_are_hung_the_near_edge_on_and_the_far_edge_round() -> None:
    steps = tube(
        *OPENED,
        op.Rehang(HEEL, LOWER, UPPER),
        op.Weigh(HEEL, op.Weight.MAIN),
        op.Thread(HEEL, "heel"),
        op.Rounds(HEEL, 2),
        *OFF,
        op.Graft(CLOSING, LOWER, UPPER[::-1]),
        FINISH,
    )
    run = bed_run(steps)
    table = run.loops
    first = last_course(run, 11)
    sources = table.parent[first]
    assert table.course[sources].tolist() == [2] * 6 + [3] * 6 + [8] * 12
    assert table.needle[sources].tolist() == [*range(1, 13), *range(12, 0, -1)]
    assert run.findings == ()


def test_opened_loops_that_are_not_hung_again_are_all_live() -> None:
    """Twelve below and twelve above, though the upper ones have the tube hanging on them."""
    (finding,) = bed_run(tube(*OPENED, FINISH)).findings
    assert (finding.code, finding.count) == (Code.LIVE_LOOP, 24)


@pytest.mark.parametrize("beside", [-0.75, 0.75])
def test_dial_needle_beside_an_idle_slot_leaves_no_float_there(beside: float) -> None:
    steps = tube(op.ToDial(LEG, ((6, 1),)), op.Ribber(LEG, True), ROUND)
    table = bed_run(steps, (6 + beside,)).loops
    assert LoopKind.FLOAT not in table.kind


def test_bound_off_edge_does_not_run() -> None:
    steps = (
        *BEGUN[:2],
        op.Thread(LEG, "cord", True),
        ROUND,
        CUT,
        op.Thread(LEG, "main"),
        op.Rounds(LEG, 4),
        *OFF,
        op.Gather(CLOSING),
        op.PullCord(CLOSING),
        op.BindOff(CLOSING, 2),
        FINISH,
    )
    assert bed_run(steps).findings == ()


# The carrier


@pytest.mark.parametrize(
    ("steps", "gap", "way"),
    [
        ((op.Rounds(LEG, 3),), N, 1),
        ((op.PartRound(LEG, 12),), 12, 1),
        ((*into_rows(12), REVERSE), 0, -1),
        ((*into_rows(12), REVERSE, FORWARD), 12, 1),
        ((*into_rows(12), op.Raise(HEEL, (12,)), REVERSE, op.Raise(HEEL, (1,)), FORWARD), 11, 1),
    ],
)
def test_carrier_stands_where_the_course_ended(
    steps: tuple[op.Step, ...], gap: int, way: int
) -> None:
    from sockwright.needlebed.bed import Run

    program = op.Program(N, (), (*BEGUN, *steps))
    run = Run(program, 1.0, {})
    for step in program.steps:
        HANDLERS[type(step)](run, step)
    assert (run.bed.gap, run.bed.way) == (gap, way)


def test_bed_takes_and_gives_loops_newest_first() -> None:
    bed = Bed(N, ())
    bed.put(3, [5])
    bed.put(3, [8, 9])
    assert bed.loops_on(3) == [5, 8, 9]
    assert bed.clear(3) == [5, 8, 9]
    assert bed.loops_on(3) == []
    assert bed.working(3)
