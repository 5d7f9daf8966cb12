"""Laws of the plan: any sound order is planned and proven, or refused with a reason."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from amounts import amount
from orders import FOOT, longer, order, random_order, random_orders
from sockwright.errors import CannotMake, OrderError
from sockwright.order.changes import changed
from sockwright.order.model import FootGiven, LegGiven, Order, Sex, SockGiven, WearerGiven
from sockwright.plan.make import SockPlan, make_plan

orders = st.integers(0, 2**32 - 1).map(lambda number: random_order(np.random.default_rng(number)))


def planned(asked: Order) -> list[SockPlan]:
    """The plans of an order, one a sock; none where it is refused."""
    try:
        pair = make_plan(asked)
    except (CannotMake, OrderError):
        return []
    return list(pair.socks)


def worn_by(asked: Order, left: FootGiven, right: FootGiven) -> Order:
    """The same order for a grown-up with these feet."""
    wearer = WearerGiven("station doctor", Sex.WOMAN, left=left, right=right)
    return replace(asked, wearer=wearer)


def sound(refused: CannotMake | OrderError) -> bool:
    """Whether a refusal says why, and what would do."""
    if isinstance(refused, OrderError):
        return all(problem.wrong and problem.right for problem in refused.problems)
    offers = [text for offer in refused.offers for text in (offer.change, offer.effect)]
    return bool(
        str(refused.reason).strip() and offers and all(str(text).strip() for text in offers)
    )


@given(orders)
@settings(max_examples=amount(50, 1200))
def test_an_order_is_proven_or_refused_with_a_reason(asked: Order) -> None:
    try:
        pair = make_plan(asked)
    except (CannotMake, OrderError) as error:
        plans, refused = [], error
    else:
        plans, refused = list(pair.socks), None
    assert refused is None or sound(refused)
    for each in plans:
        assert proven(each)
        assert_knitted_as_sized(each)
    if plans:
        assert_no_yarn_is_lost(*plans)


def proven(plan: SockPlan) -> bool:
    """Whether nothing is wrong with a plan; too little yarn is no error."""
    asked = plan.order.sock.needles
    return plan.ok and plan.fit.fits and asked in (None, plan.sizing.needles)


def assert_knitted_as_sized(plan: SockPlan) -> None:
    """The knitted sock is the sized sock."""
    half = plan.gauge.course.value / 2
    sizing, fabric = plan.sizing, plan.fabric
    assert abs(fabric.foot_length.value - sizing.foot_length.value) <= half
    assert abs(fabric.leg_length.value - sizing.leg_height.value) <= half
    assert abs(fabric.girth.value - plan.fit.girth.value) < 1e-6
    assert abs(fabric.foot_length.value - sizing.length_wish_mm) <= half + 1e-6
    assert fabric.foot_length.sd > 0


def assert_no_yarn_is_lost(*plans: SockPlan) -> None:
    """The yarns' loops are all the loops there are; a pair is its two socks."""
    for plan in plans:
        table = plan.dry_run.loops
        told = sum(use.loops for name, use in plan.use.items() if name in table.yarns)
        assert told == int(table.is_loop.sum())
        for use in plan.use.values():
            assert 0 < use.length.sd < use.length.value
    first, other = plans[0], plans[-1]
    for name, use in first.pair_use.items():
        both = first.use[name].mass.value + other.use[name].mass.value
        assert abs(use.mass.value - both) < 1e-9


@given(orders, st.floats(5.0, 30.0))
@settings(max_examples=amount(15, 600))
def test_a_longer_foot_never_gets_a_shorter_sock(asked: Order, more_mm: float) -> None:
    one, other = planned(worn_by(asked, FOOT, FOOT)), []
    if one:
        bigger = longer(FOOT, more_mm)
        other = planned(worn_by(asked, bigger, bigger))
    if other and one[0].sizing.needles == other[0].sizing.needles:
        assert other[0].sizing.foot_rounds >= one[0].sizing.foot_rounds


@given(orders, st.floats(5.0, 15.0))
@settings(max_examples=amount(15, 600))
def test_feet_changed_about_change_the_plans_about(asked: Order, more_mm: float) -> None:
    feet = (FOOT, longer(FOOT, more_mm))
    plans, turned = planned(worn_by(asked, *feet)), planned(worn_by(asked, *reversed(feet)))
    assert [plan.program for plan in plans] == [plan.program for plan in reversed(turned)]


@given(st.integers(10, 120), st.integers(1, 40))
@settings(max_examples=amount(10, 240))
def test_leg_rounds_more_are_only_leg_rounds_more(rounds: int, more: int) -> None:
    one, other = (
        make_plan(order(sock=SockGiven(leg=LegGiven(rounds=n)))).first
        for n in (rounds, rounds + more)
    )
    assert other.sizing.foot_rounds == one.sizing.foot_rounds
    higher = other.fabric.leg_courses.value - one.fabric.leg_courses.value
    assert abs(higher - more) < 1e-9
    yarn = other.use["main"].length.value - one.use["main"].length.value
    assert abs(yarn - 60 * more * one.gauge.loop.value) < 1e-6 * yarn


@given(st.floats(-2.0, 2.0))
@settings(max_examples=amount(8, 200))
def test_feet_within_a_course_share_a_sock(by_mm: float) -> None:
    assert make_plan(order(right=longer(FOOT, by_mm))).second is None


def test_random_orders_are_of_every_kind() -> None:
    """What the laws above are tried on: both ways of every choice."""
    asked = random_orders(0, 400)
    for name in ("cuff.kind", "heel.kind", "toe.half", "toe.closing", "drape", "leg.shaped"):
        part, _, field = name.partition(".")
        values = {
            getattr(getattr(each.sock, part), field) if field else getattr(each.sock, part)
            for each in asked
        }
        assert len(values) >= 2, name
    counts = {c.needles for each in asked for c in each.machine.cylinders}
    assert {n % 4 for n in counts} == {0, 1, 2, 3}
    assert {each.units for each in asked} == {"cm", "in"}
    assert {len(each.swatches) for each in asked} == {0, 1, 2, 3}
    assert {each.wearer.age_years is None for each in asked} == {True, False}


def test_most_random_orders_can_be_made_and_what_the_others_are_offered_can_be_had() -> None:
    asked = random_orders(0, amount(90, 400))
    made = refused = helped = 0
    for each in asked:
        try:
            make_plan(each)
        except OrderError:
            continue
        except CannotMake as error:
            refused += 1
            offers = [offer.what for offer in error.offers if offer.what]
            helped += bool(offers)
            for what in offers:
                sizing = make_plan(changed(each, what)).first.sizing
                assert sizing.needles == what.get("needles", sizing.needles)
                assert sizing.leg_rounds == what.get("leg.rounds", sizing.leg_rounds)
        else:
            made += 1
    assert made > 0.6 * len(asked)
    assert refused >= 0.1 * len(asked)
    assert helped >= 0.9 * refused
