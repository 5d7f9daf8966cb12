"""What the gauge makes of swatches: which it uses, what it says of them, what it asks for."""

from __future__ import annotations

from dataclasses import replace
from math import log

import pytest

from builders import spun
from sockwright.estimates import Estimate
from sockwright.measure.gauge import Gauge, estimate_gauge
from sockwright.measure.next_reading import FOOT_AGAIN, best_next_reading
from sockwright.measure.swatch import Kind
from sockwright.measure.swatches import cam_slope
from sockwright.order.model import (
    Count,
    Drape,
    State,
    Stretch,
    SwatchGiven,
    Unravelled,
    Weighed,
)

TEX = Estimate(250.0, 7.5, "tex")
COUNTED = SwatchGiven(
    "counted", State.WASHED, 60, wales=(Count(31, 100),), courses=(Count(42, 100),)
)


def gauge(*swatches: SwatchGiven, drape: Drape = Drape.MIDDLE, tex: Estimate = TEX) -> Gauge:
    return estimate_gauge(swatches, spun(tex, 1.26), 60, drape)


def relative(estimate: Estimate) -> float:
    return estimate.sd / estimate.value


def test_without_a_swatch_the_yarn_and_the_wish_speak_and_say_so() -> None:
    soft, middle, firm = (gauge(drape=drape) for drape in Drape)
    assert soft.loop.value > middle.loop.value > firm.loop.value
    assert relative(middle.wale) > 0.1
    assert middle.readings_used == 0
    assert "The fabric was not measured" in middle.notes[0]


def test_the_fabric_weighs_what_its_loops_weigh() -> None:
    """32 by 40 in 10 cm are 12.8 loops in a cm2, of 12.5 mm of 250 tex each: 400 g in a m2."""
    known = SwatchGiven(
        "tube",
        State.WASHED,
        60,
        wales=(Count(640, 2000),) * 5,
        courses=(Count(800, 2000),) * 5,
        unravelled=(Unravelled(6000, 75000),) * 5,
    )
    mass = gauge(known).areal_mass
    assert (mass.value, mass.unit) == (pytest.approx(400, rel=0.01), "g/m2")
    # The label's fineness alone errs by 3 %; without a swatch nothing is known to better than that.
    assert 0.01 < mass.sd / mass.value < 0.05
    assert gauge().areal_mass.sd > 2 * mass.sd


def test_a_finer_yarn_gives_a_finer_gauge() -> None:
    fine = gauge(tex=Estimate(180.0, 5.0, "tex"))
    assert fine.wale.value < gauge().wale.value
    assert fine.tightness.value == pytest.approx(gauge().tightness.value)


def test_swatches_of_other_yarns_are_not_used() -> None:
    other = replace(COUNTED, name="heel piece", yarn="heel")
    found = gauge(other)
    assert found.readings_used == 0
    assert any("'heel piece' is of the heel" in note for note in found.notes)


def test_another_cylinder_tells_the_shape_and_hardly_the_size() -> None:
    other = gauge(replace(COUNTED, needles=54))
    own, none = gauge(COUNTED), gauge()
    assert relative(own.wale) < relative(other.wale) / 2 < relative(none.wale) / 2
    shape = log(other.wale.value / other.course.value)
    assert shape == pytest.approx(log(42 / 31), abs=0.01)
    assert any("on 54 needles, not 60" in note for note in other.notes)


@pytest.mark.parametrize("reading", [{}, {"unravelled": (Unravelled(540, 6750),)}])
def test_of_a_swatch_on_the_machine_nothing_is_said_to_tell_the_shape(
    reading: dict[str, tuple[Unravelled, ...]],
) -> None:
    hanging = replace(COUNTED, needles=54, state=State.ON_MACHINE, **reading)
    notes = [note for note in gauge(hanging).notes if "'counted'" in note]
    assert any("widths and heights" in note for note in notes)
    assert any("on 54 needles, not 60" in note for note in notes)
    assert not any("shape of the loop" in note for note in notes)
    assert any("loop's length" in note for note in notes) == bool(reading)


def test_of_several_settings_the_one_near_the_wish_is_taken() -> None:
    def at(cam: float, loop_mm: float) -> SwatchGiven:
        yarn = (Unravelled(600, 600 * loop_mm),)
        return SwatchGiven(f"at {cam:g}", State.WASHED, 60, cam=cam, unravelled=yarn)

    swatches = [at(8, 11.0), at(10, 12.2), at(12, 13.4)]
    # sqrt(250) / K is 13.2, 12.2 and 11.1 mm for K of 1.2, 1.3 and 1.42.
    for drape, setting, loop_mm in ((Drape.SOFT, 12, 13.4), (Drape.FIRM, 8, 11.0)):
        found = gauge(*swatches, drape=drape)
        assert found.loop.value == pytest.approx(loop_mm, rel=0.01)
        assert any(f"that of setting {setting}" in note for note in found.notes)
        assert found.conflicts == ()


def test_a_single_setting_needs_no_choice() -> None:
    assert not any("setting" in note for note in gauge(replace(COUNTED, cam=9.0)).notes)


def test_readings_that_disagree_are_both_named() -> None:
    wide = SwatchGiven("flat", State.WASHED, 60, flat_widths_mm=(75.0,))
    (conflict,) = gauge(COUNTED, wide).conflicts
    assert "wale count of swatch 'counted'" in conflict
    assert "flat width of the tube of swatch 'flat'" in conflict
    assert "again" in conflict


def test_the_odd_one_of_three_is_found() -> None:
    good = replace(COUNTED, name="good", courses=())
    odd = SwatchGiven("odd", State.WASHED, 60, wales=(Count(24, 100),))
    (conflict,) = gauge(good, odd, replace(good, name="also good")).conflicts
    assert conflict.startswith("The wale count of swatch 'odd' gives 4.17 mm")


def test_a_conflict_tells_what_was_to_be_expected() -> None:
    """Wales of 3.6 mm are ln 0.194 above the 2.966 mm that the yarn predicts.

    0.733 of that (prior covariance 0.01463 over variance 0.01996) is passed on to the courses,
    2.295 mm by the yarn alone: 2.65 mm.
    """
    squat = replace(COUNTED, wales=(Count(50, 180),), courses=(Count(100, 160),))
    (conflict,) = gauge(squat).conflicts
    expected = float(str(conflict).split("lets expect ")[1].split()[0])
    assert conflict.startswith("The course count of swatch 'counted' gives 1.60 mm")
    assert expected == pytest.approx(2.645, abs=0.01)


def test_places_that_differ_too_much_are_said() -> None:
    torn = replace(COUNTED, wales=(Count(31, 100), Count(22, 100)), courses=())
    (conflict,) = gauge(torn).conflicts
    assert "3.23 mm at one place and 4.55 mm at another" in conflict


def test_a_gauge_no_such_yarn_gives_is_said() -> None:
    in_inches = replace(COUNTED, wales=(Count(31, 39.4),), courses=(Count(42, 39.4),))
    assert any("yarn's fineness" in conflict for conflict in gauge(in_inches).conflicts)
    assert gauge(COUNTED).conflicts == ()


def test_a_gauge_odd_for_its_cylinder_is_noted() -> None:
    tight = replace(COUNTED, wales=(Count(40, 100),))
    assert any("10.1 wales to the inch" in note for note in gauge(tight).notes)
    assert not any("to the inch" in note for note in gauge(COUNTED).notes)
    thick = gauge(tight, tex=Estimate(400.0, 12.0, "tex"))
    assert not any("to the inch" in note for note in thick.notes)


def test_a_stretched_swatch_tells_how_far_the_fabric_opens() -> None:
    stretched = gauge(replace(COUNTED, stretch=(Stretch(80, 128), Stretch(100, 160))))
    assert stretched.open_ratio.value == pytest.approx(1.6)
    assert 0.04 < relative(stretched.open_ratio) < 0.045
    expected = gauge(COUNTED)
    assert relative(expected.open_ratio) == pytest.approx(0.12)
    assert any("not measured but estimated" in note for note in expected.notes)


def test_stretch_of_other_states_and_swatches() -> None:
    pulled = replace(COUNTED, stretch=(Stretch(80, 120),))
    on_machine = gauge(replace(pulled, state=State.ON_MACHINE))
    assert any("stretched on the machine" in note for note in on_machine.notes)
    assert relative(on_machine.open_ratio) == pytest.approx(0.12)
    # Washing narrows what was relaxed by 7.3 %, so the same opening is 1.5 / 0.927 times that.
    rested = gauge(replace(pulled, state=State.RESTED))
    assert rested.open_ratio.value == pytest.approx(1.5 / 0.927, abs=0.002)
    other = gauge(replace(pulled, needles=72))
    assert other.open_ratio.value == pytest.approx(1.5)
    assert relative(other.open_ratio) > 0.08
    own_first = gauge(replace(pulled, needles=72), replace(COUNTED, stretch=(Stretch(80, 136),)))
    assert own_first.open_ratio.value == pytest.approx(1.7)


def test_yarn_weighed_and_unravelled_mend_a_wrong_label() -> None:
    """12.5 mm loops that weigh as 280 tex: the tightness follows the yarn, not its label."""
    swatch = SwatchGiven(
        "both",
        State.WASHED,
        60,
        unravelled=(Unravelled(600, 7500),),
        weighed=(Weighed(4000, 14.0),),
        balance_g=0.01,
    )
    found = gauge(swatch, tex=Estimate(250.0, 25.0, "tex"))
    assert found.tightness.value == pytest.approx(280**0.5 / 12.5, rel=0.01)


def test_the_cam_changes_the_loop_by_a_slope() -> None:
    """Loops of 11, 12.1 and 13.31 mm at 8, 10 and 12: ln 1.1 in two steps."""
    swatches = [
        SwatchGiven(
            "s", State.ON_MACHINE, 60, cam=cam, unravelled=(Unravelled(600, 600 * loop_mm),)
        )
        for cam, loop_mm in ((8, 11.0), (10, 12.1), (12, 13.31))
    ]
    slope = cam_slope(swatches, TEX, 60)
    assert slope is not None
    assert slope.value == pytest.approx(log(1.1) / 2, rel=0.001)
    # 1 % of scatter at either end of four steps.
    assert slope.sd == pytest.approx(0.01 * 2**0.5 / 4, rel=0.05)


def test_different_readings_at_two_settings_still_give_a_slope() -> None:
    tight = SwatchGiven("t", State.WASHED, 60, cam=1, wales=(Count(34, 100),))
    slack = SwatchGiven("s", State.WASHED, 60, cam=3, courses=(Count(38, 100),))
    slope = cam_slope([tight, slack], TEX, 60)
    assert slope is not None
    assert slope.sd > 0.03


@pytest.mark.parametrize(
    "second",
    [
        replace(COUNTED, cam=8.0),
        replace(COUNTED, cam=None),
        replace(COUNTED, cam=9.0, needles=72),
        replace(COUNTED, cam=9.0, yarn="heel"),
        replace(COUNTED, cam=9.0, state=State.ON_MACHINE),
    ],
    ids=["same setting", "no setting", "other cylinder", "other yarn", "on the machine"],
)
def test_no_slope_without_two_settings(second: SwatchGiven) -> None:
    assert cam_slope([replace(COUNTED, cam=8.0), second], TEX, 60) is None


def test_without_a_swatch_courses_are_to_be_counted_next() -> None:
    advice = best_next_reading([], TEX, 60, Drape.MIDDLE, 100, foot_length_sd=2.0)
    assert advice.best.kind in (Kind.COURSES, Kind.ROUNDS_LENGTH)
    assert advice.best.sd_after_mm < advice.best.sd_before_mm / 5
    assert advice.foot_share is not None
    assert advice.foot_share < 0.01
    assert [gain.sd_after_mm for gain in advice.ranking] == sorted(
        gain.sd_after_mm for gain in advice.ranking
    )
    assert {gain.kind for gain in advice.ranking} == {*Kind, None}


def test_with_many_counts_the_foot_is_to_be_measured_again() -> None:
    courses = tuple(Count(number, 100) for number in (41.75, 42, 42.25) * 5)
    swatch = SwatchGiven("much counted", State.WASHED, 60, courses=courses)
    advice = best_next_reading([swatch], TEX, 60, Drape.MIDDLE, 100, foot_length_sd=4.0)
    assert advice.best.phrase == FOOT_AGAIN
    # The mean of two measurings has half the variance of one: 16 mm2 become 8 mm2.
    best = advice.best
    assert best.sd_before_mm**2 - best.sd_after_mm**2 == pytest.approx(8.0)
    assert advice.foot_share is not None
    assert advice.foot_share > 0.8


def test_the_sd_before_is_that_of_the_gauge() -> None:
    advice = best_next_reading([COUNTED], TEX, 60, Drape.MIDDLE, 100)
    assert advice.best.sd_before_mm == pytest.approx(100 * gauge(COUNTED).course.sd)
    assert advice.foot_share is None
    assert None not in {gain.kind for gain in advice.ranking}


def test_what_was_predicted_of_a_reading_comes_true() -> None:
    """Unravelling as planned leaves the sd that was promised (same loop, so no surprise)."""
    advice = best_next_reading([COUNTED], TEX, 60, Drape.MIDDLE, 100)
    (promised,) = (gain for gain in advice.ranking if gain.kind is Kind.UNRAVELLED)
    loop_mm = gauge(COUNTED).loop.value
    taken = SwatchGiven("next", State.WASHED, 60, unravelled=(Unravelled(600, 600 * loop_mm),))
    after = gauge(COUNTED, taken)
    assert 100 * after.course.sd == pytest.approx(promised.sd_after_mm, rel=1e-3)
