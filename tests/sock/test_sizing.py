"""Sizing: rounds of cuff, leg and foot, and refusals whose offers can be made."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from builders import gauge, knit, rib, size, sock
from sockwright.errors import CannotMake
from sockwright.machine import DialKind
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    CupGiven,
    HeelKind,
    LegGiven,
    RibEnd,
    SockGiven,
    ToeGiven,
    Widening,
)
from sockwright.sock.leg import split_leg

FABRIC = gauge(3.0, 2.0)


def refusal(needles: int, design: SockGiven, foot_mm: float = 260.0) -> CannotMake:
    with pytest.raises(CannotMake) as refused:
        size(needles, design, fabric=FABRIC, foot_mm=foot_mm)
    return refused.value


@pytest.mark.parametrize(
    ("kind", "depth_mm", "rounds", "visible"),
    [
        (CuffKind.HUNG_HEM, 24.0, 25, 12),
        (CuffKind.PICOT_HEM, 24.0, 25, 12),
        (CuffKind.MOCK_RIB_HEM, 24.0, 25, 12),
        (CuffKind.TRUE_RIB, 24.0, 12, 12),
        (CuffKind.ROLLED_EDGE, 24.0, 24, 12),
        (CuffKind.HUNG_HEM, 1.0, 5, 2),
        (CuffKind.MOCK_RIB_HEM, 1.0, 9, 4),
    ],
)
def test_cuff_of_a_depth(kind: CuffKind, depth_mm: float, rounds: int, visible: float) -> None:
    design = sock(cuff=CuffGiven(kind, depth_mm))
    cuff = size(60, design, dial=DialKind.HALF, fabric=FABRIC).cuff
    assert (cuff.rounds, cuff.visible) == (rounds, visible)


def test_hem_counts_once_in_the_height() -> None:
    """Floor to top: half the heel's rows, the leg, and the hem that shows (common practice)."""
    sizing = size(
        60, sock(cuff=CuffGiven(depth_mm=20.0), leg=LegGiven(height_mm=200.0)), fabric=FABRIC
    )
    assert sizing.heel.share + sizing.leg_rounds + 10 == 100
    assert sizing.leg_height.value == pytest.approx(200.0)


def test_leg_alone_is_measured_below_the_cuff() -> None:
    assert size(60, sock(leg=LegGiven(leg_mm=120.0)), fabric=FABRIC).leg_rounds == 60


def test_foot_comes_nearest_the_wish() -> None:
    for foot_mm in (221.0, 247.3, 260.0, 281.9):
        sizing = size(61, sock(), fabric=FABRIC, foot_mm=foot_mm)
        assert abs(sizing.foot_length.value - 0.96 * foot_mm) <= 1.0
        assert sizing.length_wish_mm == pytest.approx(0.96 * foot_mm)


def test_gathered_toe_loses_half_the_radius_of_the_tube() -> None:
    """60 wales of 3 mm make a disc of radius 28.6 mm or 14.3 courses; half of that (derived)."""
    cup = size(60, sock(), fabric=FABRIC)
    gathered = size(60, sock(closing=Closing.GATHER), fabric=FABRIC)
    more = gathered.foot_rounds - cup.foot_rounds
    assert more == pytest.approx(20 + 7.16, abs=1.0)
    assert gathered.foot_length.sd == pytest.approx(2 * 7.16 / 3**0.5, abs=0.01)


def test_toe_is_as_the_heel_unless_it_has_its_own() -> None:
    design = sock(kept=8, widening=Widening.WRAPPED_FAR, first_raise=2)
    assert size(60, design).toe.cup == size(60, design).heel.cup
    own = replace(design, toe=ToeGiven(cup=CupGiven(12)))
    toe = size(60, own).toe.cup
    assert toe is not None
    assert (toe.kept, toe.first_raise, toe.widening) == (12, 1, Widening.WRAPPED_NEAR)


def test_deep_heel_is_worth_both_cups_and_half_the_wedge() -> None:
    heel = size(60, sock(kept=10, deep_kept=16, wedge_rounds=3)).heel
    assert heel.share == 20 + 14 + 1.5


def test_afterthought_heel_has_a_round_more_on_each_side() -> None:
    assert size(60, sock(kept=10, heel=HeelKind.AFTERTHOUGHT)).heel.share == 21


@pytest.mark.parametrize(
    ("rounds", "factors", "parts"),
    [
        (10, (1.0,), (10,)),
        (10, (1.1, 1.0), (5, 5)),
        (11, (1.2, 1.1, 1.0), (4, 4, 3)),
        (1, (1.1, 1.0), (1,)),
    ],
)
def test_leg_is_shared_among_cam_settings(
    rounds: int, factors: tuple[float, ...], parts: tuple[int, ...]
) -> None:
    shape = split_leg(rounds, factors)
    assert tuple(part for part, _ in shape) == parts
    assert sum(parts) == rounds


# Refusals: what is offered is tried.


@pytest.mark.parametrize("foot_mm", [40.0, 50.0, 55.0])
@pytest.mark.parametrize("first_raise", [1, 2])
@pytest.mark.parametrize("toe_kept", [None, 6, 20])
@pytest.mark.parametrize("deep", [None, 24])
def test_short_foot_is_offered_kept_counts_that_fit(
    foot_mm: float, first_raise: int, toe_kept: int | None, deep: int | None
) -> None:
    design = sock(first_raise=first_raise, deep_kept=deep)
    toe = None if toe_kept is None else CupGiven(toe_kept)
    error = refusal(60, replace(design, toe=ToeGiven(cup=toe)), foot_mm)
    assert "too short" in error.reason
    assert deep is not None or error.offers[0].change.startswith("leave")
    for offer in error.offers:
        if number := re.fullmatch(r"leave (\d+) needles in work at heel and toe", offer.change):
            heel = replace(design.heel.cup, kept=int(number[1]))
            both = replace(design, heel=replace(design.heel, cup=heel))
            if toe is not None:
                both = replace(both, toe=ToeGiven(cup=replace(toe, kept=int(number[1]))))
            assert size(60, both, fabric=FABRIC, foot_mm=foot_mm).foot_rounds >= 2


def test_short_foot_names_what_is_missing_and_a_kept_count() -> None:
    error = refusal(60, sock(kept=10), 75.0)
    assert "by 6 rounds, 12 mm (0.5 in)" in error.reason
    assert error.offers[0].change.startswith("leave 14 needles")


@pytest.mark.parametrize("kind", CuffKind)
@pytest.mark.parametrize("rib_to", RibEnd)
@pytest.mark.parametrize("height_mm", [30.0, 60.0, 80.0])
def test_low_sock_is_offered_a_height_or_a_cuff_that_fits(
    kind: CuffKind, rib_to: RibEnd, height_mm: float
) -> None:
    given = CuffGiven(kind, 44.0, rib=(1, 1), rib_to=rib_to)
    design = sock(cuff=given, leg=LegGiven(height_mm=height_mm))
    with pytest.raises(CannotMake) as refused:
        size(72, design, fabric=FABRIC, dial=DialKind.HALF)
    tried = 0
    for offer in refused.value.offers:
        rounds = int(str(offer.effect).split()[0])
        if number := re.fullmatch(r"a height of (\d+) mm \(.+ in\)", offer.change):
            other = replace(design, leg=LegGiven(height_mm=float(number[1])))
        else:
            number = re.fullmatch(r"a cuff (\d+) mm \(.+ in\) deep", offer.change)
            assert number is not None, offer
            other = replace(design, cuff=replace(given, depth_mm=float(number[1])))
        assert size(72, other, fabric=FABRIC, dial=DialKind.HALF).leg_rounds == rounds
        tried += 1
    assert tried >= 1


def test_leg_of_too_few_rounds_is_told_how_many() -> None:
    design = sock(cuff=rib(1, 1, RibEnd.LEG), leg=LegGiven(rounds=3))
    with pytest.raises(CannotMake) as refused:
        size(60, design, dial=DialKind.HALF)
    assert [offer.change for offer in refused.value.offers] == ["7 leg rounds"]
    enough = replace(design, leg=LegGiven(rounds=7))
    assert knit(size(60, enough, dial=DialKind.HALF)).run.findings == ()


@pytest.mark.parametrize("kept", [6, 10, 22, 26, 28])
def test_outer_limits_inside_the_heel_are_refused_with_limits_that_fit(kept: int) -> None:
    error = refusal(60, sock(kept=kept, deep_kept=kept))
    assert "deep_kept" in error.reason
    (offer,) = error.offers
    if number := re.fullmatch(r"leave (\d+) in work at the outer limits", offer.change):
        deep = int(number[1])
    else:
        assert (offer.change, kept) == ("no outer limits", 28)
        deep = None
    heel = size(60, sock(kept=kept, deep_kept=deep)).heel
    assert (heel.deep is None) == (deep is None)
