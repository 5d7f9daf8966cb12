"""What the gauge makes of swatches: which it uses, what it says of them, what it asks for."""

from __future__ import annotations

from dataclasses import replace
from math import log

import pytest

from builders import spun
from sockwright.estimates import Estimate
from sockwright.machine import CamSlope, Cylinder, Machine, Turning
from sockwright.measure.gauge import Gauge, estimate_gauge
from sockwright.measure.next_reading import FOOT_AGAIN, NextReading, best_next_reading
from sockwright.measure.swatch import Kind
from sockwright.measure.swatches import Outfit, Way, cam_slope, sort_swatches
from sockwright.order.model import (
    Count,
    Drape,
    State,
    SwatchGiven,
    Unravelled,
    Weighed,
)

TEX = Estimate(250.0, 7.5, "tex")
MACHINE = Machine(
    "the station's", Turning.CARRIER, tuple(Cylinder(n, 114.3) for n in (54, 60, 64, 72))
)
OUTFIT = Outfit(MACHINE, TEX, Drape.MIDDLE)
COUNTED = SwatchGiven(
    "counted", State.WASHED, 60, wales=(Count(31, 100),), courses=(Count(42, 100),)
)


def gauge(
    *swatches: SwatchGiven, drape: Drape = Drape.MIDDLE, tex: Estimate = TEX, needles: int = 60
) -> Gauge:
    return estimate_gauge(swatches, spun(tex, 1.26), MACHINE, needles, drape)


def known(
    needles: int, wale: float, course: float, loop: float, cam: float | None = 14.0
) -> SwatchGiven:
    """A swatch measured at several places: 1.5 % of widths and heights, 1.2 % of the loop."""
    return SwatchGiven(
        f"of {needles} at {cam}",
        State.WASHED,
        needles,
        cam=cam,
        wales=(Count(2000 / wale, 2000.0),) * 2,
        courses=(Count(2000 / course, 2000.0),) * 2,
        unravelled=(Unravelled(1000, 1000 * loop),),
    )


def sizes(of: Gauge) -> tuple[float, float, float]:
    return of.wale.value, of.course.value, of.loop.value


def next_reading(
    swatches: list[SwatchGiven], courses: float, sd: float | None = None
) -> NextReading:
    return best_next_reading(sort_swatches(swatches, OUTFIT, 60), 60, courses, sd)


@pytest.mark.parametrize(
    ("diameter", "needles", "tex", "drape", "expected", "sds"),
    [
        (95.493, 60, 240.0, Drape.MIDDLE, (3.120, 2.311, 12.51), (0.065, 0.065, 0.089)),
        (114.3, 60, 250.0, Drape.MIDDLE, (3.413, 2.528, 13.69), (0.074, 0.074, 0.096)),
        (114.3, 60, 250.0, Drape.SOFT, (3.686, 2.731, 14.79), (0.074, 0.074, 0.096)),
        (114.3, 60, 250.0, Drape.FIRM, (3.160, 2.341, 12.68), (0.074, 0.074, 0.096)),
    ],
)
def test_without_a_swatch_pitch_and_yarn_tell_the_size(
    diameter: float,
    needles: int,
    tex: float,
    drape: Drape,
    expected: tuple[float, ...],
    sds: tuple[float, ...],
) -> None:
    """Worked by hand: 3.12 mm at a pitch of 5 mm and 240 tex; rings of 95.5 and 114.3 mm, 60
    needles, are 5.000 and 5.985 mm apart."""
    machine = Machine("", Turning.CARRIER, (Cylinder(needles, diameter),))
    yarn = spun(Estimate(tex, 0.03 * tex, "tex"), 1.26)
    found = estimate_gauge((), yarn, machine, needles, drape)
    assert sizes(found) == pytest.approx(expected, rel=0.001)
    assert [relative(one) for one in (found.wale, found.course, found.loop)] == pytest.approx(
        sds, abs=0.001
    )


@pytest.mark.parametrize(
    ("needles", "wale", "sd", "loop"),
    [(54, 3.432, 0.028, 14.04), (64, 3.306, 0.023, 13.54), (72, 3.215, 0.035, 13.17)],
)
def test_a_swatch_of_60_tells_other_cylinders_by_their_pitch(
    needles: int, wale: float, sd: float, loop: float
) -> None:
    """Worked by hand: a needle drawn as deep takes 2 sqrt(drop^2 + (pitch / 2)^2): wider wales on
    fewer needles."""
    found = gauge(known(60, 3.34, 2.50, 13.70), needles=needles)
    assert found.wale.value == pytest.approx(wale, rel=0.002)
    assert relative(found.wale) == pytest.approx(sd, abs=0.002)
    assert found.loop.value == pytest.approx(loop, rel=0.002)


def test_two_cylinders_teach_a_third() -> None:
    found = gauge(known(54, 3.55, 2.64, 14.4), known(72, 3.20, 2.37, 13.0))
    assert found.wale.value == pytest.approx(3.410, rel=0.002)
    assert found.loop.value == pytest.approx(13.84, rel=0.002)
    assert relative(found.wale) < 0.018


def test_before_a_service_a_swatch_counts_for_less_and_is_told() -> None:
    machine = replace(MACHINE, serviced="2026-03-01")
    old = replace(known(60, 3.34, 2.50, 13.7), date="2026-01-01")
    yarn = spun(TEX, 1.26)
    before, after = (
        estimate_gauge((one,), yarn, machine, 60, Drape.MIDDLE)
        for one in (old, replace(old, date="2026-04-01"))
    )
    assert relative(before.course) > 2 * relative(after.course)
    assert any("service" in note for note in before.notes)


def test_a_heavier_swatch_makes_heavier_socks_whatever_the_label_says() -> None:
    """2400 loops of 9 g are 3.684 mg each, of 10 g 4.046: 9.8 % more."""
    plain = replace(known(60, 3.34, 2.50, 13.7), unravelled=())
    light, heavy = (
        gauge(replace(plain, weighed=(Weighed(2400, grams),))).loop_mass.value
        for grams in (9.0, 10.0)
    )
    assert light == pytest.approx(3.684, rel=0.012)
    assert heavy / light == pytest.approx(1.098, abs=0.012)


def relative(estimate: Estimate) -> float:
    return estimate.sd / estimate.value


def test_without_a_swatch_yarn_needles_and_wish_speak_and_say_so() -> None:
    soft, middle, firm = (gauge(drape=drape) for drape in Drape)
    assert soft.loop.value > middle.loop.value > firm.loop.value
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
    # Makers do not knit a fine yarn as tight on the same needles: tightness ~ tex^(0.5 - 0.35).
    assert fine.tightness.value / gauge().tightness.value == pytest.approx(0.72**0.15, rel=0.001)


def test_swatches_of_other_yarns_are_not_used() -> None:
    other = replace(COUNTED, name="heel piece", yarn="heel")
    found = gauge(other)
    assert found.readings_used == 0
    assert any("'heel piece' is of the heel" in note for note in found.notes)


def test_another_cylinder_tells_the_shape_and_less_of_the_size() -> None:
    other = gauge(replace(COUNTED, needles=54))
    own, none = gauge(COUNTED), gauge()
    assert relative(own.wale) < relative(other.wale) < relative(none.wale)
    shape = log(other.wale.value / other.course.value)
    assert shape == pytest.approx(log(42 / 31), abs=0.03)
    assert any("on 54 needles" in note for note in other.notes)


def test_of_a_swatch_on_the_machine_widths_and_heights_are_not_used() -> None:
    hanging = replace(COUNTED, needles=54, state=State.ON_MACHINE)
    notes = [note for note in gauge(hanging).notes if "'counted'" in note]
    assert any("widths and heights" in note for note in notes)
    assert any("on 54 needles" in note for note in notes)
    assert gauge(hanging).readings_used == 0


def test_of_several_settings_the_one_near_the_wish_is_taken() -> None:
    def at(cam: float, loop_mm: float) -> SwatchGiven:
        yarn = (Unravelled(600, 600 * loop_mm),)
        return SwatchGiven(f"at {cam:g}", State.WASHED, 60, cam=cam, unravelled=yarn)

    swatches = [at(8, 12.1), at(10, 13.2), at(12, 14.3)]
    # sqrt(250) / K is 14.2, 13.2 and 12.2 mm for K of 1.11, 1.2 and 1.3.
    for drape, setting, loop_mm in ((Drape.SOFT, 12, 14.3), (Drape.FIRM, 8, 12.1)):
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
    """Wales of 3.6 mm are ln 0.0533 above the 3.413 mm that pitch and yarn let expect.

    Size errs by 0.06^2 + (0.2 ln 1.197)^2 + (0.35 x 3 %)^2 = 0.0050, half a shape by 0.0225^2, one
    count by 2 %: the courses take (0.0050 - 0.0005) / (0.0055 + 0.0004) = 0.76 along, and
    2.528 mm x e^0.0405 = 2.63 mm.
    """
    squat = replace(COUNTED, wales=(Count(50, 180),), courses=(Count(100, 160),))
    (conflict,) = gauge(squat).conflicts
    expected = float(str(conflict).split("lets expect ")[1].split()[0])
    assert conflict.startswith("The course count of swatch 'counted' gives 1.60 mm")
    assert expected == pytest.approx(2.63, abs=0.01)


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
    assert any("wales to the inch" in note for note in gauge(tight).notes)
    assert not any("to the inch" in note for note in gauge(COUNTED).notes)
    thick = gauge(tight, tex=Estimate(400.0, 12.0, "tex"))
    assert not any("to the inch" in note for note in thick.notes)


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
    slope = cam_slope(swatches, OUTFIT, 60)
    assert slope is not None
    assert slope.value == pytest.approx(log(1.1) / 2, rel=0.001)
    # 1 % of scatter at either end of four steps.
    assert slope.sd == pytest.approx(0.01 * 2**0.5 / 4, rel=0.05)


def test_different_readings_at_two_settings_still_give_a_slope() -> None:
    tight = SwatchGiven("t", State.WASHED, 60, cam=1, wales=(Count(34, 100),))
    slack = SwatchGiven("s", State.WASHED, 60, cam=3, courses=(Count(38, 100),))
    slope = cam_slope([tight, slack], OUTFIT, 60)
    assert slope is not None
    assert slope.sd > 0.02


def test_what_the_machine_knows_of_its_cam_brings_swatches_of_other_settings() -> None:
    """At 3 % a setting, two settings make loops 6 % longer."""
    at_14 = known(60, 3.3, 2.5, 13.4)
    outfit = replace(OUTFIT, machine=replace(MACHINE, cam_slope=CamSlope(0.03, 0.002)))

    def way(of: Outfit) -> Way:
        target = sort_swatches((at_14,), of, 60).target
        return replace(target, cam=16.0, step=2.0).way(60, 14.0, 13.4)

    assert way(outfit).shift == pytest.approx(0.06)
    assert way(OUTFIT).shift == 0
    assert ("cam step", 0.002, -2.0) in [(e.name, e.sd, n) for e, n in way(outfit).errors]
    assert ("cam step", 0.04, -2.0) in [(e.name, e.sd, n) for e, n in way(OUTFIT).errors]
    alone = cam_slope((at_14,), outfit, 60)
    assert alone is not None
    assert (alone.value, alone.sd) == (0.03, 0.002)
    assert cam_slope((at_14,), OUTFIT, 60) is None


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
    assert cam_slope([replace(COUNTED, cam=8.0), second], OUTFIT, 60) is None


def test_without_a_swatch_courses_are_to_be_counted_next() -> None:
    advice = next_reading([], 100, 2.0)
    assert advice.best.kind in (Kind.COURSES, Kind.ROUNDS_LENGTH)
    assert advice.best.sd_after_mm < advice.best.sd_before_mm / 4
    assert advice.foot_share is not None
    assert advice.foot_share < 0.02
    assert [gain.sd_after_mm for gain in advice.ranking] == sorted(
        gain.sd_after_mm for gain in advice.ranking
    )
    assert {gain.kind for gain in advice.ranking} == {*Kind, None}


def test_with_many_counts_the_foot_is_to_be_measured_again() -> None:
    courses = tuple(Count(number, 100) for number in (41.75, 42, 42.25) * 5)
    swatch = SwatchGiven("much counted", State.WASHED, 60, courses=courses)
    advice = next_reading([swatch], 100, 4.0)
    assert advice.best.phrase == FOOT_AGAIN
    # The mean of two measurings has half the variance of one: 16 mm2 become 8 mm2.
    best = advice.best
    assert best.sd_before_mm**2 - best.sd_after_mm**2 == pytest.approx(8.0)
    assert advice.foot_share is not None
    assert advice.foot_share > 0.8


def test_the_sd_before_is_that_of_the_gauge() -> None:
    advice = next_reading([COUNTED], 100)
    assert advice.best.sd_before_mm == pytest.approx(100 * gauge(COUNTED).course.sd)
    assert advice.foot_share is None
    assert None not in {gain.kind for gain in advice.ranking}


def test_what_was_predicted_of_a_reading_comes_true() -> None:
    """Unravelling as planned leaves the sd that was promised (same loop, so no surprise)."""
    advice = next_reading([COUNTED], 100)
    (promised,) = (gain for gain in advice.ranking if gain.kind is Kind.UNRAVELLED)
    loop_mm = gauge(COUNTED).loop.value
    taken = SwatchGiven("next", State.WASHED, 60, unravelled=(Unravelled(600, 600 * loop_mm),))
    after = gauge(COUNTED, taken)
    assert 100 * after.course.sd == pytest.approx(promised.sd_after_mm, rel=1e-3)
