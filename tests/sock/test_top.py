"""The top of a sock: it goes over heel and calf, and it stays up."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builders import gauge
from orders import FOOT, order
from sockwright.errors import CannotMake
from sockwright.estimates import Estimate
from sockwright.machine import Cylinder, DialKind
from sockwright.measure.fabrics import by_ratios, fabric_word, ratios_of
from sockwright.measure.foot import Foot, estimate_foot
from sockwright.order.model import (
    CuffGiven,
    CuffKind,
    FootGiven,
    LegGiven,
    RibEnd,
    Sex,
    SockGiven,
    WearerGiven,
)
from sockwright.plan.make import SockPlan, make_plan
from sockwright.plan.notes import cures_of_top, look_again
from sockwright.sock.passing import PuttingOn
from sockwright.sock.top import TopFit, fit_top


def woman(calf_mm: float = 373.3, ankle_mm: float = 215.7, heel_mm: float = 304.0) -> Foot:
    given = FootGiven(
        length_mm=246.0,
        ball_girth_mm=224.0,
        heel_girth_mm=heel_mm,
        ankle_girth_mm=ankle_mm,
        calf_girth_mm=calf_mm,
    )
    return estimate_foot(WearerGiven("station doctor", Sex.WOMAN, left=given, right=given), given)


FABRIC = replace(gauge(wale_mm=3.3333), open_ratio=Estimate(1.811, 0.127, "1"))


def top(kind: str, height: float = 215.0, foot: Foot | None = None, **more: object) -> TopFit:
    return fit_top(foot or woman(), FABRIC, 60, height, kind, **more)  # type: ignore[arg-type]


def test_a_hem_and_a_rib_at_215_mm_on_a_womans_leg() -> None:
    """Worked by hand: straight from ankle to calf the leg is 287.5 mm round at 215 mm; 60 wales of
    3.333 mm are 200 mm, of a 1x1 rib a third less."""
    hem, rib = top("hem"), top("1x1")
    assert hem.leg.value == pytest.approx(287.5, abs=0.6)
    assert hem.leg.sd == pytest.approx(6.9, abs=0.5)
    assert hem.girth.value == pytest.approx(200.0, abs=0.1)
    assert hem.worn.value == pytest.approx(1.44, abs=0.005)
    assert hem.stays > 0.97
    assert rib.girth.value == pytest.approx(134.0, abs=0.1)
    assert rib.worn.value == pytest.approx(2.15, abs=0.01)
    assert rib.press == pytest.approx(0.87, abs=0.01)
    assert rib.opens.value == pytest.approx(2.97, abs=0.01)
    assert rib.passing.word is PuttingOn.EASILY


def test_a_top_as_wide_as_the_leg_slips_and_a_rib_holds() -> None:
    thin = woman(calf_mm=300.0, ankle_mm=190.0)
    plain = top("plain", 110.0, thin)
    assert plain.worn.value < 1.0
    assert plain.slips
    assert top("1x1", 110.0, thin).stays > 0.95
    assert not plain.presses


def test_one_that_needs_more_than_comfort_presses() -> None:
    """400 mm on 200: worn twice its width; a rib of 134 mm, three times, which it may."""
    thick = woman(calf_mm=460.0)
    assert top("plain", 320.0, thick).presses
    assert top("plain", 320.0, thick).press > top("1x1", 320.0, thick).press


def test_above_the_calf_the_top_must_pass_it_and_may_be_knitted_looser() -> None:
    """The calf, at 1.31 of the foot's length, is 322 mm up."""
    low, high = top("hem", 300.0, woman(400.0)), top("hem", 390.0, woman(400.0))
    assert low.calf is None
    assert high.calf is not None
    assert high.looser is not None
    assert high.needed.value == pytest.approx(400 / 200, rel=0.001)
    assert high.looser.needed.value == pytest.approx(400 / 220, rel=0.001)
    loosened = top("hem", 390.0, woman(400.0), factor=1.1)
    assert loosened.needed.value == pytest.approx(400 / 220, rel=0.001)


@pytest.mark.parametrize(
    ("kind", "width", "opened"),
    [
        ("hem", 1.00, 0.97),
        ("mock rib", 0.90, 1.00),
        ("3x1", 0.82, 1.05),
        ("2x2", 0.70, 1.05),
        ("1x1", 0.67, 1.10),
    ],
)
def test_what_nobody_measured_has_the_ratios_of_the_trade(
    kind: str, width: float, opened: float
) -> None:
    plain = FABRIC.of("plain")
    fabric = by_ratios(kind, plain.wale, plain.course, plain.loop, plain.open_ratio)
    assert fabric.wale.value == pytest.approx(3.3333 * width)
    assert fabric.open_ratio.value == pytest.approx(1.811 * opened / width)
    assert not fabric.measured


@pytest.mark.parametrize("rib", ["2x1", "4x2", "5x1", "3x2", "7x1"])
def test_other_ribs_lie_between_those_known(rib: str) -> None:
    known = [ratios_of(one).wide for one in ("1x1", "3x1")]
    assert min(known) - 0.02 < ratios_of(rib).wide < 1
    assert rib in fabric_word(rib)


def planned(cuff: CuffGiven, height_mm: float = 220.0, **foot: float) -> SockPlan:
    sock = SockGiven(cuff=cuff, leg=LegGiven(height_mm=height_mm))
    given = FOOT if not foot else FootGiven(**{f"{n}_mm": v for n, v in FOOT.measures_mm} | foot)
    cylinders = (Cylinder(60, 114.3, DialKind.HALF), Cylinder(54, 114.3))
    return make_plan(order(*cylinders, foot=given, sock=sock)).first


RIB = CuffGiven(CuffKind.TRUE_RIB, depth_mm=50.0, rib=(3, 1), rib_to=RibEnd.LEG)


def test_rounds_lengths_and_girth_of_a_ribbed_part_come_from_its_fabric() -> None:
    plan = planned(RIB)
    rib = plan.gauge.of("3x1")
    assert plan.top.girth.value == pytest.approx(60 * rib.wale.value)
    assert plan.top.girth.value < 0.9 * plan.fit.girth.value
    assert plan.sizing.cuff.rounds == pytest.approx(50.0 / rib.course.value, abs=0.5)
    assert plan.fabric.leg_length.value == pytest.approx(220.0, abs=1.5)
    assert plan.fabric.leg_length.sd > planned(CuffGiven()).fabric.leg_length.sd


def test_a_top_that_slips_is_doubted_and_cured() -> None:
    plan = planned(CuffGiven(), 110.0, ankle_girth_mm=185.0, calf_girth_mm=290.0)
    assert plan.top.slips
    assert any("slip" in doubt for doubt in look_again(plan))
    first = cures_of_top(plan)[0]
    assert "1x1" in first.change
    changed = planned(
        CuffGiven(CuffKind.TRUE_RIB), 110.0, ankle_girth_mm=185.0, calf_girth_mm=290.0
    )
    assert not changed.top.slips
    assert look_again(changed) == ()


def test_a_sock_above_the_knee_is_refused_and_a_knee_sock_offered() -> None:
    with pytest.raises(CannotMake) as refused:
        planned(CuffGiven(), 600.0)
    assert refused.value.offers
