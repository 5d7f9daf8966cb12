"""The calf: the leg's girth by height, and how far the stitch cam follows it."""

from __future__ import annotations

from dataclasses import replace
from math import hypot, sqrt

import pytest

from builders import gauge
from orders import FOOT, order
from sockwright import steps as op
from sockwright.measure.foot import Foot, estimate_foot
from sockwright.order.model import LegGiven, Sex, SockGiven, WearerGiven
from sockwright.plan.make import make_plan
from sockwright.sock.leg import girth_at, shape_leg


def leg(ankle_mm: float, calf_mm: float) -> Foot:
    """A foot of 250 mm with a leg of these girths: by the survey of 1967 the ankle is thinnest at
    127 mm from the floor and the calf thickest at 328 mm."""
    given = replace(FOOT, length_mm=250.0, ankle_girth_mm=ankle_mm, calf_girth_mm=calf_mm)
    return estimate_foot(WearerGiven("night dispatcher", Sex.MAN, left=given, right=given), given)


@pytest.mark.parametrize(
    ("height", "girth"), [(60, 200), (127.25, 200), (227.4, 300), (327.5, 400), (450, 400)]
)
def test_the_leg_widens_evenly_from_ankle_to_calf(height: float, girth: float) -> None:
    assert girth_at(leg(200, 400), height).value == pytest.approx(girth, abs=0.5)


def test_half_way_up_the_leg_its_girth_is_least_certain() -> None:
    """Girths are known to 2.5 mm; half way up 100 mm of widening over 100 mm of height are
    uncertain by half of each level's own spread, 0.034 and 0.061 of 250 mm."""
    whole = leg(200, 400)
    assert girth_at(whole, 60).sd == pytest.approx(2.5, abs=0.05)
    levels = hypot(0.5 * 0.034, 0.5 * 0.061) * 250 * 200 / (250 * (1.310 - 0.509))
    assert girth_at(whole, 227.4).sd == pytest.approx(hypot(levels, 2.5 / sqrt(2)), rel=0.01)


def test_a_tube_that_is_wide_enough_stays_plain() -> None:
    shape = shape_leg(leg(200, 260), gauge(wale_mm=4.0), 60, 400, 0.1)  # 240 mm for 234
    assert shape.factors == (1.0,)
    (note,) = shape.notes
    assert "wide enough" in note


def test_the_top_comes_to_the_wish_where_the_cam_can() -> None:
    shape = shape_leg(leg(200, 280), gauge(wale_mm=4.0), 60, 400, 0.1)  # 252 of 240 mm
    assert shape.factors == (1.05, 1.033, 1.017, 1.0)
    assert shape.notes == ()


def test_the_cam_goes_ten_per_cent_and_says_what_is_left_to_stretch() -> None:
    shape = shape_leg(leg(200, 400), gauge(wale_mm=4.0), 60, 400, 0.1)  # 360 wished of 240 mm
    assert shape.factors[0] == 1.10
    assert list(shape.factors) == sorted(shape.factors, reverse=True)
    assert shape.factors[-1] == 1.0
    (note,) = shape.notes
    assert "by 10 % at most" in note
    assert "400 mm" in note
    assert "1.52 times" in note  # 400 / (240 x 1.1) = 1.515


def test_a_low_sock_meets_only_the_ankle() -> None:
    assert shape_leg(leg(200, 400), gauge(wale_mm=4.0), 60, 120, 0.1).factors == (1.0,)


def test_the_program_loosens_above_and_comes_back_to_the_swatch_before_the_heel() -> None:
    knee = SockGiven(leg=LegGiven(height_mm=400.0, shaped=True))
    plan = make_plan(order(foot=replace(FOOT, calf_girth_mm=380.0), sock=knee)).first
    cams = [step.factor for step in plan.program.steps if isinstance(step, op.SetCam)]
    assert cams == [1.0, *plan.leg_shape.factors[:-1], 1.0]
    last = max(n for n, step in enumerate(plan.program.steps) if isinstance(step, op.SetCam))
    heel = min(n for n, step in enumerate(plan.program.steps) if isinstance(step, op.Row))
    assert last < heel


def test_a_shaped_leg_has_fewer_rounds_for_the_same_height() -> None:
    foot = replace(FOOT, calf_girth_mm=380.0)
    plain, shaped = (
        make_plan(order(foot=foot, sock=SockGiven(leg=LegGiven(height_mm=400.0, shaped=on)))).first
        for on in (False, True)
    )
    assert shaped.sizing.leg_rounds < plain.sizing.leg_rounds
    for plan in (plain, shaped):
        assert abs(plan.fabric.leg_length.value - 400) <= 0.55 * plan.gauge.course.value
