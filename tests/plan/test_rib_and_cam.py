"""What a plan says of a rib on the instep, and of settings of the stitch cam."""

from __future__ import annotations

from dataclasses import replace

import pytest

from orders import order, swatch
from sockwright.machine import CamNaming, Cylinder, DialKind
from sockwright.order.model import CuffGiven, CuffKind, LegGiven, RibEnd, SockGiven
from sockwright.plan.cam import setting_near
from sockwright.plan.make import SockPlan, make_plan
from sockwright.plan.notes import plan_notes
from sockwright.steps import SetCam

CYLINDER = Cylinder(60, 114.3, DialKind.HALF)
RIBBED = CuffGiven(CuffKind.TRUE_RIB, rib=(3, 1), rib_to=RibEnd.INSTEP)


def noted(plan: SockPlan, words: str) -> str:
    """The only note with these words."""
    (note,) = (note for note in plan_notes(plan) if words in note)
    return note


def test_the_plan_names_the_needles_of_a_rib_on_the_instep() -> None:
    plan = make_plan(order(CYLINDER, sock=SockGiven(cuff=RIBBED))).first
    assert plan.ok
    note = noted(plan, "of the instep")
    assert "needles 34 to 58" in note
    assert "0.5 needles off" in note


def test_a_rib_that_ends_above_the_heel_needs_no_place_on_the_instep() -> None:
    plan = make_plan(order(CYLINDER, sock=SockGiven(cuff=replace(RIBBED, rib_to=RibEnd.LEG)))).first
    assert not [note for note in plan_notes(plan) if "of the instep" in note]


@pytest.mark.parametrize(
    ("exact", "step", "nearest"), [(14.26, None, 14.3), (14.26, 0.25, 14.25), (14.26, 1.0, 14.0)]
)
def test_a_setting_is_one_that_the_cam_has(exact: float, step: float, nearest: float) -> None:
    assert setting_near(exact, step) == nearest


def shaped(step: float | None) -> SockPlan:
    """A sock with a leg wide at the top, of two swatches a click apart."""
    swatches = tuple(
        swatch(60, 3.0 * times, 2.3 * times, 12.4 * times, None, cam=cam)
        for cam, times in ((14.0, 1.0), (15.0, 1.03))
    )
    wide = order(CYLINDER, sock=SockGiven(leg=LegGiven(height_mm=330.0, shaped=True)))
    cam = CamNaming("clicks", step=step)
    return make_plan(replace(wide, swatches=swatches, machine=replace(wide.machine, cam=cam))).first


def settings(plan: SockPlan) -> list[float]:
    steps = (step for step in plan.program.steps if isinstance(step, SetCam))
    return [step.setting for step in steps if step.setting is not None]


def test_settings_of_a_shaped_leg_keep_to_the_cams_step() -> None:
    assert [one for one in settings(shaped(None)) if not one.is_integer()]
    told = settings(shaped(1.0))
    assert told
    assert all(one.is_integer() for one in told)


def test_a_setting_beyond_the_swatches_is_said() -> None:
    plan = shaped(1.0)
    beyond = [one for one in settings(plan) if not 14 <= one <= 15]
    assert beyond
    note = noted(plan, "only from 14 to 15")
    assert all(f"{one:g}" in note for one in beyond)


def test_a_cuff_is_as_deep_as_asked_in_the_loosened_loops_of_a_shaped_leg() -> None:
    """Rounds and the fabric that they make: the depth within half a round."""
    cuff = CuffGiven(CuffKind.ROLLED_EDGE, depth_mm=40.0)
    leg = LegGiven(height_mm=330.0, shaped=True)
    plan = make_plan(order(CYLINDER, sock=SockGiven(cuff=cuff, leg=leg))).first
    looser = plan.sizing.leg_shape[0][1]
    assert looser > 1.05
    round_mm = looser * plan.gauge.course.value
    assert abs(plan.sizing.cuff.visible * round_mm - 40.0) <= round_mm / 2
