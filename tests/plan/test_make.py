"""The plan: which sock for which foot, whose yarn runs out where, and the same answer each time."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from orders import FOOT, YARN, longer, order
from sockwright import steps as op
from sockwright.errors import CannotMake, OrderError
from sockwright.machine import Cylinder, DialKind
from sockwright.needlebed.execute import DryRun
from sockwright.needlebed.findings import Code
from sockwright.order.model import (
    CuffGiven,
    CuffKind,
    CupGiven,
    EaseGiven,
    FootGiven,
    HeelGiven,
    HeelKind,
    LegGiven,
    Order,
    SockGiven,
    Widening,
    YarnGiven,
)
from sockwright.plan.make import SockPlan, make_plan, with_program


def with_yarn(grams: float | None, *others: YarnGiven, sock: SockGiven | None = None) -> Order:
    return order(yarns=(replace(YARN, on_hand_g=grams), *others), sock=sock)


def gone(run: DryRun) -> list[int]:
    """The steps at which a yarn runs out."""
    return [finding.step for finding in run.findings if finding.code is Code.YARN_GONE]


def step_where_used(run: DryRun, program: op.Program, yarn: str, grams: float, tex: float) -> int:
    """The first knitting step after which more of `yarn` is used than so many grams.

    Counted from the kinds of loops alone, and the ends left, without the table's own sums.
    """
    table, loop_mm = run.loops, 0.0
    number = table.yarns.index(yarn)
    shares = np.array([1.0, 1.0, 0.5, 0.5, 0.25, 0.0])
    mine = table.yarn == number
    loop_mm = float(np.diff(table.yarn_at[mine])[0])  # the first two loops are whole ones
    knitted: dict[int, float] = {}
    for run_of in table.runs:
        if run_of.yarn == number:
            last = run_of.first + run_of.rounds * len(run_of.slots)
            kinds = table.kind[run_of.first : last]
            knitted[run_of.step] = knitted.get(run_of.step, 0.0) + shares[kinds].sum() * loop_mm
    used, threaded = 0.0, ""
    for place, step in enumerate(program.steps, 1):
        if isinstance(step, op.Thread):
            threaded = step.yarn
            used += step.tail_mm if step.yarn == yarn else 0.0
        elif isinstance(step, op.CutYarn) and threaded == yarn:
            used += step.tail_mm
        used += knitted.get(place, 0.0)
        if place in knitted and used > grams / tex * 1e6:
            return place
    raise AssertionError("it reaches")


# One sock or two.


def test_like_feet_share_one_plan() -> None:
    pair = make_plan(order(right=longer(FOOT, 3.0)))
    assert (pair.first.side, pair.second) == ("both", None)
    assert pair.both == (pair.first, pair.first)


def test_unlike_feet_get_a_plan_each() -> None:
    pair = make_plan(order(right=longer(FOOT, 9.0)))
    left, right = pair.both
    assert (left.side, right.side) == ("left", "right")
    assert pair.socks == (left, right)
    more = right.sizing.foot_rounds - left.sizing.foot_rounds
    assert more * left.gauge.course.value == pytest.approx(9.0 * 0.96, abs=2.6)
    assert right.sizing.leg_rounds != 0
    assert pair.ok


def test_each_foot_is_planned_as_if_alone() -> None:
    right_foot = longer(FOOT, 9.0)
    pair = make_plan(order(right=right_foot))
    alone = make_plan(order(foot=right_foot)).first
    assert pair.second is not None
    assert pair.second.program == alone.program


def test_a_foot_of_which_nothing_is_known_is_an_order_error() -> None:
    with pytest.raises(OrderError, match=r"foot\.length"):
        make_plan(order(foot=FootGiven()))


# Yarn.


def test_a_pair_uses_what_both_its_socks_use() -> None:
    one = make_plan(order()).first
    assert one.pair_use["main"].mass.value == pytest.approx(2 * one.use["main"].mass.value)
    # Two socks err together: whoever knits loosely does so twice.
    assert one.pair_use["main"].mass.sd == pytest.approx(2 * one.use["main"].mass.sd)


def test_a_pair_of_two_plans_adds_them_up() -> None:
    left, right = make_plan(order(right=longer(FOOT, 12.0))).socks
    both = left.use["main"].mass.value + right.use["main"].mass.value
    assert left.pair_use["main"].mass.value == pytest.approx(both)
    assert right.pair_use["main"].mass.value == pytest.approx(both)
    assert right.use["main"].mass.value > left.use["main"].mass.value


def test_enough_yarn_is_no_finding() -> None:
    need = make_plan(order()).first.pair_use["main"].mass.value
    assert make_plan(with_yarn(need * 1.01)).ok


@pytest.mark.parametrize("share", [0.98, 0.9, 0.75, 0.6])
def test_yarn_gives_out_in_the_second_sock_at_the_step_that_is_one_loop_too_many(
    share: float,
) -> None:
    plenty = make_plan(order()).first
    have = plenty.pair_use["main"].mass.value * share
    short = make_plan(with_yarn(have)).first
    left_over = have - plenty.use["main"].mass.value
    expected = step_where_used(plenty.dry_run, plenty.program, "main", left_over, YARN.tex)
    assert gone(short.dry_run) == [expected]
    assert short.ok


def test_yarn_for_less_than_one_sock_is_gone_at_once() -> None:
    plan = make_plan(with_yarn(10.0)).first
    (step,) = gone(plan.dry_run)
    first = next(
        place
        for place, one in enumerate(plan.program.steps, 1)
        if isinstance(one, op.Rounds) and one.section is op.Section.CUFF
    )
    assert step == first


def test_the_heels_own_yarn_is_counted_apart() -> None:
    heel = YarnGiven("heel", "charcoal heel yarn", 277.0, tex_sd=1.0, on_hand_g=5.0)
    plan = make_plan(with_yarn(200.0, heel)).first
    plain = make_plan(order()).first
    assert plan.use["heel"].mass.value == pytest.approx(800 / 2 * 13.7 * 277 * 2 / 1e6, rel=0.08)
    assert plan.use["main"].loops + plan.use["heel"].loops == plain.use["main"].loops
    (step,) = gone(plan.dry_run)
    assert plan.program.steps[step - 1].section is op.Section.HEEL
    enough = replace(heel, on_hand_g=10.0)
    assert make_plan(with_yarn(200.0, enough)).ok


def test_a_cuff_yarn_that_runs_out_does_not_stop_the_rest() -> None:
    cuff = YarnGiven("cuff", "orange cuff yarn", 277.0, tex_sd=1.0, on_hand_g=8.0)
    plan = make_plan(with_yarn(200.0, cuff)).first
    (step,) = gone(plan.dry_run)
    assert plan.program.steps[step - 1].section is op.Section.CUFF


def test_waste_and_cord_are_not_measured_against_the_skein() -> None:
    waste = YarnGiven("waste", "cotton ends", 300.0, on_hand_g=1.0)
    assert make_plan(with_yarn(200.0, waste)).ok


def test_two_plans_of_unlike_feet_share_the_skein() -> None:
    plenty = make_plan(order(right=longer(FOOT, 12.0))).socks
    have = 0.97 * plenty[0].pair_use["main"].mass.value
    short = make_plan(
        replace(order(right=longer(FOOT, 12.0)), yarns=(replace(YARN, on_hand_g=have),))
    )
    assert short.ok
    for plan, mine, other in zip(short.socks, plenty, reversed(plenty), strict=True):
        left_over = have - other.use["main"].mass.value
        expected = step_where_used(mine.dry_run, mine.program, "main", left_over, YARN.tex)
        assert gone(plan.dry_run) == [expected]


# The cylinder.


def ten_kept(**more: object) -> SockGiven:
    heel = HeelGiven(cup=CupGiven(kept=10))
    return SockGiven(heel=heel, ease=EaseGiven(girth=0.13), **more)  # type: ignore[arg-type]


def test_the_choice_falls_to_the_next_cylinder_where_the_best_cannot_make_the_heel() -> None:
    """Half of 58 is 29, of which 10 cannot be kept; 60 needles fit a little less well."""
    asked = order(58, 60, wale_mm=3.4, stretch=1.7, sock=ten_kept())
    plan = make_plan(asked).first
    assert plan.ranking[0].cylinder.needles == 58
    assert plan.sizing.needles == plan.fit.cylinder.needles == 60
    free = make_plan(replace(asked, sock=replace(ten_kept(), heel=HeelGiven()))).first
    assert free.sizing.needles == 58


def test_the_cylinder_asked_for_is_not_swapped() -> None:
    with pytest.raises(CannotMake, match=r"sock\.heel\.kept"):
        make_plan(order(58, 60, sock=ten_kept(needles=58)))


def test_the_best_cylinders_refusal_is_told_where_none_will_do() -> None:
    with pytest.raises(CannotMake, match="10 of 29 needles cannot stay in work") as caught:
        make_plan(order(58, 62, stretch=1.7, sock=ten_kept()))
    assert [offer.change for offer in caught.value.offers] == [
        "leave 9 in work",
        "leave 11 in work",
    ]


def test_a_rib_offers_only_cylinders_that_the_foot_can_wear() -> None:
    rib = CuffGiven(CuffKind.TRUE_RIB, rib=(3, 1))
    half = DialKind.HALF
    mounted = (Cylinder(62, None, half), Cylinder(60, None, half), Cylinder(96, None, half))
    with pytest.raises(CannotMake, match="does not divide 62") as caught:
        make_plan(order(*mounted, sock=SockGiven(needles=62, cuff=rib)))
    changes = [offer.change for offer in caught.value.offers]
    assert "the 60-needle cylinder" in changes
    only_wide = (mounted[0], mounted[2])
    with pytest.raises(CannotMake) as caught:
        make_plan(order(*only_wide, sock=SockGiven(needles=62, cuff=rib)))
    assert not any("96" in offer.change for offer in caught.value.offers)


# The whole.


def same(one: SockPlan, other: SockPlan) -> bool:
    """Whether two plans say the same, loop tables included."""
    tables = (one.dry_run.loops, other.dry_run.loops)
    columns = ("course", "needle", "bed", "yarn", "kind", "parent", "yarn_at", "grafts", "closed")
    alike = all(np.array_equal(*(getattr(table, name) for table in tables)) for name in columns)
    values = ("program", "sizing", "fit", "ranking", "fabric", "use", "pair_use", "minutes")
    return alike and all(getattr(one, name) == getattr(other, name) for name in values)


def test_the_same_order_gives_the_same_plan() -> None:
    asked = order(54, 60, 66, right=longer(FOOT, 8.0))
    one, other = make_plan(asked).both, make_plan(asked).both
    assert all(map(same, one, other))
    assert not same(*one)


def test_the_units_of_the_sheets_change_no_round() -> None:
    assert same(make_plan(order()).first, make_plan(replace(order(), units="in")).first)


@pytest.mark.parametrize("widening", list(Widening))
@pytest.mark.parametrize("kind", list(HeelKind))
def test_every_heel_is_proven(kind: HeelKind, widening: Widening) -> None:
    heel = HeelGiven(kind, CupGiven(widening=widening))
    plan = make_plan(order(sock=SockGiven(heel=heel, leg=LegGiven(rounds=40)))).first
    assert plan.ok
    warned = {finding.code for finding in plan.dry_run.findings}
    assert warned == ({Code.NO_WRAP} if widening is Widening.PLAIN else set())


def test_what_differs_from_the_sizing_is_among_the_findings(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """Of a plan of its own, short of yarn or not; never of a sock knitted otherwise on purpose."""
    right = make_plan(order()).first
    steps = list(right.program.steps)
    wrap = next(k for k, step in enumerate(steps) if isinstance(step, op.Wrap))
    program = replace(right.program, steps=(*steps[:wrap], *steps[wrap + 1 :]))
    monkeypatch.setattr("sockwright.plan.make.build_program", lambda *given: program)
    for plan in (make_plan(order()).first, make_plan(with_yarn(1.0)).first):
        assert Code.WRAP_MISSED in {finding.code for finding in plan.dry_run.errors}
    rounds = [k for k, step in enumerate(steps) if isinstance(step, op.Rounds)]
    leg = next(k for k in rounds if steps[k].section is op.Section.LEG)
    steps[leg] = replace(steps[leg], count=steps[leg].count + 1)
    longer_leg = with_program(right, replace(right.program, steps=tuple(steps)))
    assert longer_leg.dry_run.findings == ()
