"""Where yarns change and end: what holds, what goes through the spring, where the graft begins."""

from __future__ import annotations

import pytest

from builders import sock
from programs_to_word import TWO_YARNS, program_for
from sockwright import steps as op
from sockwright.needlebed.execute import Execution, dry_run, execute
from sockwright.order.model import HeelKind, ToeHalf
from sockwright.program.draft import YarnPlan

PLANS = (YarnPlan(), TWO_YARNS)


@pytest.fixture(params=[(n, half, yarns) for n in (60, 61) for half in ToeHalf for yarns in PLANS])
def run(request: pytest.FixtureRequest) -> Execution:
    """A short-row sock, executed: needles, half of the toe, yarns."""
    needles, half, yarns = request.param
    return execute(program_for(needles, sock(toe_half=half), yarns=yarns))


def test_the_graft_begins_beside_the_tail(run: Execution) -> None:
    (graft,) = (step for step in run.program.steps if isinstance(step, op.Graft))
    table = dry_run(run.program).loops
    last = int((table.stays & table.is_loop).nonzero()[0][-1])
    assert int(table.needle[last]) in (graft.a[0], graft.b[0])


def test_the_yarn_that_closes_the_toe_has_knitted_to_the_corner(run: Execution) -> None:
    long = [one for one in run if isinstance(one.step, op.CutYarn) and one.step.tail_mm > 150]
    (closing,) = long
    half = run.program.needles // 2
    assert closing.before.passed() in (2 * half, run.program.needles)
    on_instep = any(
        isinstance(one.step, op.Row)
        and one.step.section is op.Section.TOE
        and one.before.span()[0] > half
        for one in run
    )
    own_toe = "toe" in run.course_yarns
    assert closing.before.yarn == ("toe" if own_toe and on_instep else "main")


def test_the_yarn_of_every_row_goes_through_the_spring(run: Execution) -> None:
    rows = [one for one in run if isinstance(one.step, op.Row)]
    assert rows
    assert all(one.before.spring for one in rows)


def test_ends_are_held_where_rows_begin_in_a_new_yarn(run: Execution) -> None:
    for one in run:
        if not isinstance(one.step, op.Thread) or one.step.removable:
            continue
        cranks = (op.Row, op.Rounds, op.PartRound)
        after = next(step for step in run.program.steps[one.number :] if isinstance(step, cranks))
        if isinstance(after, op.Row):
            beside = one.before.passed()
            assert one.step.between == (beside, beside % (2 * (run.program.needles // 2)) + 1)
        else:
            assert not one.step.between


@pytest.mark.parametrize("half", ToeHalf)
def test_an_afterthought_heel_is_grafted_from_its_tail_too(half: ToeHalf) -> None:
    given = sock(heel=HeelKind.AFTERTHOUGHT, toe_half=half)
    assert dry_run(program_for(60, given, yarns=TWO_YARNS)).ok


def test_the_bed_knows_where_every_end_is() -> None:
    """By hand, 60 needles: the heel's yarn comes in at the corner between 30 and 31, where both
    ends are clipped; it goes out there again, inside the tube; in the end all are darned in."""
    program = program_for(60, sock(), yarns=YarnPlan(heel="heel"))
    run = execute(program)
    states = {type(step): [] for step in program.steps}
    for number, step in enumerate(program.steps, 1):
        states[type(step)].append(run.states[number])
    into_heel = next(at for at in states[op.Thread] if at.yarn == "heel")
    old, new = into_heel.ends[-2:]
    assert (old.yarn, old.cut, old.needle, old.between) == ("main", True, 30, (30, 31))
    assert (new.yarn, new.cut, new.needle, new.between) == ("heel", False, 30, (30, 31))
    (out,) = [end for end in run.states[-1].ends if end.yarn == "heel" and end.cut]
    assert (out.needle, out.between) == (30, ())
    (grafted,) = [at.ends[-1] for at in states[op.Graft]]
    assert (grafted.yarn, grafted.cut, grafted.needle, grafted.woven) == ("main", True, 60, True)
    assert not all(end.woven for end in states[op.Graft][-1].ends)
    assert all(end.woven for end in run.states[-1].ends)
    assert {end.yarn for end in run.states[-1].ends} == {"main", "heel"}
