"""Yarn that does not reach for the pair: how short it is, where it gives out, and what would do.

What would do is held against plans that are made with it, with all the yarn in the world.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from orders import FOOT, YARN, longer, order
from sockwright.estimates import Estimate
from sockwright.machine import Cylinder, DialKind
from sockwright.order.changes import changed
from sockwright.order.model import (
    CuffGiven,
    CuffKind,
    LegGiven,
    Order,
    RibEnd,
    SockGiven,
    YarnGiven,
)
from sockwright.plan.make import PairPlan, make_plan
from sockwright.plan.notes import look_again, plan_notes
from sockwright.plan.short_yarn import (
    Cure,
    Reach,
    Shortage,
    Supply,
    part_shares,
    reach_of,
    short_words,
    shortages,
)

CYLINDERS = (60, 54, 50)


def asked(grams: float | None, *others: YarnGiven, **more: object) -> Order:
    given = order(*CYLINDERS, stretch=1.75, **more)  # type: ignore[arg-type]
    return replace(given, yarns=(replace(YARN, on_hand_g=grams), *others))


def shortage(given: Order, role: str = "main") -> Shortage:
    (found,) = (one for one in shortages(make_plan(given).first) if one.supply.role == role)
    return found


def grams(pair: PairPlan, role: str = "main") -> Estimate:
    """What the pair takes."""
    return pair.first.pair_use[role].mass


def of_leg(found: Shortage) -> Cure:
    (cure,) = (one for one in found.cures if "leg.rounds" in one.what)
    return cure


ALL = make_plan(asked(None))
NEED = grams(ALL)


@pytest.mark.parametrize(
    ("left", "reach"),
    [(-0.1, Reach.SHORT), (0.0, Reach.TIGHT), (1.9, Reach.TIGHT), (2.0, Reach.ENOUGH)],
)
def test_how_far_a_yarn_reaches(left: float, reach: Reach) -> None:
    assert reach_of(Estimate(left, 1.0, "g")) is reach


@pytest.mark.parametrize(("sds", "odds"), [(0.0, 0.5), (1.0, 0.8413), (2.0, 0.9772)])
def test_the_odds_are_those_of_a_normal_error(sds: float, odds: float) -> None:
    supply = Supply("main", NEED, NEED.value + sds * NEED.sd)
    assert supply.odds == pytest.approx(odds, abs=1e-4)


@pytest.mark.parametrize("grams_short", [1.0, 9.0, 18.0, 33.0])
def test_a_plan_that_lacks_yarn_is_proven_and_says_so_before_all_else(grams_short: float) -> None:
    pair = make_plan(asked(NEED.value - grams_short))
    assert pair.ok
    (found,) = shortages(pair.first)
    assert found.short.value == pytest.approx(grams_short)
    assert found.short.sd == NEED.sd
    assert found.second == (NEED.value - grams_short >= ALL.first.use["main"].mass.value)
    told = look_again(pair.first)
    assert len(told) == len(short_words(pair.first)) == 2
    assert f"step {found.step} " in told[0]
    assert not any("Main yarn" in note for note in plan_notes(pair.first))


@pytest.mark.parametrize("grams_short", [1.0, 9.0])
def test_as_few_rounds_fewer_in_the_leg_as_do(grams_short: float) -> None:
    """What is said to be left then is what a plan with so few leaves; one more is too many."""
    have = NEED.value - grams_short
    cure = of_leg(shortage(asked(have)))
    assert cure.reach is Reach.ENOUGH
    rounds = int(cure.what["leg.rounds"])
    shorter = make_plan(changed(asked(have), cure.what))
    assert shorter.first.sizing.leg_rounds == rounds
    assert have - grams(shorter).value == pytest.approx(cure.left.value)
    assert grams(shorter).sd == pytest.approx(cure.left.sd)
    more = grams(make_plan(changed(asked(have), {"leg.rounds": rounds + 1})))
    assert have - more.value < 2 * more.sd


def test_no_leg_is_shorter_than_what_it_must_hold() -> None:
    """Two rounds of a plain leg; five more where a rib goes on to the instep."""
    plain = of_leg(shortage(asked(NEED.value - 30.0)))
    assert plain.what["leg.rounds"] == 2
    assert plain.left.value < 0
    ribbed = SockGiven(CuffGiven(CuffKind.TRUE_RIB, rib_to=RibEnd.INSTEP))
    given = asked(NEED.value - 30.0, sock=ribbed)
    dials = tuple(Cylinder(n, dial=DialKind.HALF) for n in CYLINDERS[:1])
    given = replace(given, machine=replace(given.machine, cylinders=dials))
    assert of_leg(shortage(given)).what["leg.rounds"] == 7


@pytest.mark.parametrize("part", ["cuff", "heel", "toe"])
def test_what_a_part_takes_is_what_its_own_yarn_takes(part: str) -> None:
    """Own tails aside, 0.1 g each."""
    own = YarnGiven(part, "other", YARN.tex, tex_sd=1.0)
    apart = make_plan(asked(None, own))
    share = part_shares(ALL.first)[part]
    assert NEED.value * share == pytest.approx(grams(apart, part).value, rel=0.02, abs=0.3)
    assert NEED.value * (1 - share) == pytest.approx(grams(apart).value, rel=0.01, abs=0.3)


def test_parts_in_another_yarn_alone_or_together() -> None:
    """The heel takes 6 g of the pair's 63, heel and toe 13, with the cuff 22."""
    shares = part_shares(ALL.first)
    for short, parts in [
        (1.0, ("heel",)),
        (9.0, ("heel", "toe")),
        (18.0, ("cuff", "heel", "toe")),
        (32.0, ("cuff", "heel", "toe")),
    ]:
        cures = shortage(asked(NEED.value - short)).cures
        (cure,) = (one for one in cures if not one.what)
        taken = NEED.value * sum(shares[name] for name in parts)
        assert cure.left.value == pytest.approx(taken - short)
    heel = YarnGiven("heel", "charcoal", 277.0, tex_sd=1.0, on_hand_g=50.0)
    rest = grams(make_plan(asked(None, heel))).value
    cures = shortage(asked(rest - 1.0, heel)).cures
    assert all("heel" not in str(one.change) for one in cures)


def test_a_cylinder_with_fewer_needles_is_planned_on() -> None:
    have = NEED.value - 5.0
    (cure,) = (one for one in shortage(asked(have)).cures if "needles" in one.what)
    smaller = make_plan(changed(asked(have), cure.what))
    assert smaller.first.sizing.needles == cure.what["needles"] < 60
    assert smaller.first.fit.fits
    assert have - grams(smaller).value == pytest.approx(cure.left.value)


def test_what_reaches_comes_first() -> None:
    for short in (1.0, 9.0, 18.0, 33.0):
        order_of = [
            list(Reach).index(one.reach) for one in shortage(asked(NEED.value - short)).cures
        ]
        assert order_of == sorted(order_of)
        assert order_of


def test_of_unlike_feet_each_sock_tells_what_the_pair_lacks() -> None:
    given = asked(None, right=longer(FOOT, 12.0))
    need = grams(make_plan(given))
    pair = make_plan(replace(given, yarns=(replace(YARN, on_hand_g=need.value - 8.0),)))
    assert pair.ok
    for sock in pair.socks:
        (found,) = shortages(sock)
        assert found.short.value == pytest.approx(8.0)
        cure = of_leg(found)
        shorter = make_plan(changed(pair.order, cure.what))
        assert need.value - 8.0 - grams(shorter).value == pytest.approx(cure.left.value)
        assert cure.reach is Reach.ENOUGH


def test_a_part_whose_own_yarn_is_short_is_offered_the_main_yarn() -> None:
    heel = YarnGiven("heel", "charcoal heel yarn", 277.0, tex_sd=1.0, on_hand_g=5.0)
    found = shortage(asked(200.0, heel), "heel")
    assert found.section == "heel"
    assert found.name == "charcoal heel yarn"
    assert any(one.left.value > 100 for one in found.cures)
    short_of_both = shortage(asked(58.0, heel), "heel")
    assert all(one.left.value < 10 for one in short_of_both.cures)


def test_a_leg_of_a_given_height_is_shortened_too() -> None:
    given = asked(45.0, sock=SockGiven(leg=LegGiven(height_mm=180.0)))
    cure = of_leg(shortage(given))
    assert make_plan(changed(given, cure.what)).first.sizing.leg_rounds == cure.what["leg.rounds"]


def test_enough_yarn_is_not_spoken_of_first() -> None:
    pair = make_plan(asked(NEED.value + 3 * NEED.sd))
    assert shortages(pair.first) == ()
    assert look_again(pair.first) == ()
