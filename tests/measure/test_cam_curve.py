"""The curve of a stitch cam: worked numbers of the model, what counts, where it says nothing."""

from __future__ import annotations

from dataclasses import replace
from math import pi, sqrt

import numpy as np
import pytest

from sockwright.estimates import Estimate
from sockwright.machine import Cylinder, Machine, Turning
from sockwright.measure.belief import pitch_of
from sockwright.measure.cam_curve import CamCurve, fit_curve
from sockwright.measure.cam_points import (
    CurvePoint,
    YarnClass,
    noted_step,
    yarn_class,
)

SIXTY = Estimate(5.985, 0.0, "mm")
FIFTY_FOUR = Estimate(6.650, 0.0, "mm")


def point(
    cam: float,
    loop: float,
    relative: float = 0.012,
    pitch: Estimate = SIXTY,
    stale: bool = False,
    pull: float = 0.0,
    wale: Estimate | None = None,
) -> CurvePoint:
    """A point of a curve, named by its setting."""
    of_loop = Estimate(loop, relative * loop, "mm")
    return CurvePoint(f"at {cam:g}", 60, pitch, cam, of_loop, stale=stale, pull=pull, wale=wale)


WORKED = (point(12, 13.1), point(14, 13.7), point(16, 14.2, 0.015, FIFTY_FOUR))
"""The points of the worked example of the model: three settings on two cylinders."""


def curve_of(*points: CurvePoint) -> CamCurve:
    """The curve of points that make one."""
    curve = fit_curve(points)
    assert curve is not None
    return curve


def test_the_worked_example_comes_out_as_worked_by_hand() -> None:
    curve = curve_of(*WORKED)
    assert curve.drop.value == pytest.approx(6.09, abs=0.005)
    assert curve.drop_a_unit.value == pytest.approx(0.116, abs=0.0005)
    told = {cam: curve.reading(cam, SIXTY).loop for cam in (14, 15)}
    assert told[14].value == pytest.approx(13.57, abs=0.005)
    assert told[14].sd == pytest.approx(0.13, abs=0.005)
    assert told[15].value == pytest.approx(13.78, abs=0.005)
    assert told[15].sd == pytest.approx(0.17, abs=0.005)


def test_it_agrees_with_least_squares_where_the_points_say_much_more_than_the_prior() -> None:
    rng = np.random.default_rng(5)
    cams = np.repeat(np.arange(8.0, 21.0), 4)
    loops = 2 * np.sqrt((6 + 0.25 * (cams - 14)) ** 2 + (SIXTY.value / 2) ** 2)
    loops *= np.exp(rng.normal(0, 0.002, len(cams)))
    curve = curve_of(*(point(cam, loop, 0.002) for cam, loop in zip(cams, loops, strict=True)))
    drops = np.sqrt(loops**2 / 4 - SIXTY.value**2 / 4)
    slope, level = np.polyfit(cams - cams.mean(), drops, 1)
    assert curve.drop_a_unit.value == pytest.approx(slope, rel=0.01)
    assert curve.drop.value == pytest.approx(level, rel=0.001)


def test_a_drop_is_the_same_on_every_cylinder() -> None:
    """At one setting the coarser pitch takes the longer loop, by geometry alone."""
    curve = curve_of(*WORKED)
    for cam in (12, 14, 16):
        on = [curve.reading(cam, pitch).loop.value for pitch in (SIXTY, FIFTY_FOUR)]
        squares = [
            (loop / 2) ** 2 - (p / 2) ** 2 for loop, p in zip(on, (5.985, 6.650), strict=True)
        ]
        assert squares[0] == pytest.approx(squares[1])
        assert on[0] < on[1]


def test_settings_that_were_knitted_are_not_outside() -> None:
    curve = curve_of(*WORKED)
    assert [curve.reading(cam, SIXTY).outside for cam in (12, 13, 16)] == [0, 0, 0]
    assert curve.reading(10, SIXTY).outside == 2
    assert curve.reading(17.5, SIXTY).outside == pytest.approx(1.5)
    assert not curve.reading(17, SIXTY).beyond
    assert curve.reading(17.5, SIXTY).beyond
    assert curve.reading(9, SIXTY).beyond


def test_outside_a_step_of_half_a_click_is_half_a_click() -> None:
    curve = fit_curve(WORKED, step=0.5)
    assert curve is not None
    assert curve.reading(17, SIXTY).outside == pytest.approx(2)
    assert curve.reading(17, SIXTY).beyond


def test_beyond_the_range_the_slope_s_sd_is_added_for_every_step() -> None:
    curve = curve_of(*WORKED)
    at_edge, beyond = curve.reading(16, SIXTY).loop, curve.reading(20, SIXTY).loop
    by_drop = 4 * curve.drop.value / curve.reading(14, SIXTY).loop.value
    assert beyond.sd > at_edge.sd + 4 * curve.drop_a_unit.sd * by_drop


@pytest.mark.parametrize("sense", [1, -1])
def test_the_setting_for_a_loop_gives_that_loop(sense: int) -> None:
    points = [point(sense * cam + 30, loop) for cam, loop in ((12, 12.9), (14, 13.7), (17, 15.0))]
    curve = curve_of(*points)
    assert (curve.drop_a_unit.value > 0) is (sense > 0)
    choice = curve.setting_for(14.0, SIXTY)
    assert choice is not None
    assert curve.reading(choice.exact.value, SIXTY).loop.value == pytest.approx(14.0)
    assert choice.reading.cam == round(choice.exact.value)
    half = fit_curve(points, step=0.5)
    assert half is not None
    finer = half.setting_for(14.0, SIXTY)
    assert finer is not None
    assert (2 * finer.reading.cam).is_integer()
    assert abs(finer.reading.cam - finer.exact.value) <= 0.25


def test_a_tighter_fabric_takes_the_setting_of_its_shorter_loop() -> None:
    curve = curve_of(*WORKED)
    choice = curve.setting_for_tightness(sqrt(250) / 13.78, 250, SIXTY)
    assert choice is not None
    assert choice.exact.value == pytest.approx(14.99, abs=0.01)
    assert choice.reading.cam == 15


def test_one_setting_tells_of_no_other() -> None:
    curve = curve_of(point(14, 13.7), point(14, 13.6))
    assert curve.one_setting
    assert not curve.tells_slope
    assert curve.setting_for(14.0, SIXTY) is None
    assert curve.reading(14, SIXTY).loop.sd < 0.2
    assert curve.reading(17, SIXTY).loop.sd > 3


def test_settings_that_give_the_same_loop_do_not_tell_which_way_is_looser() -> None:
    curve = curve_of(point(14, 13.7), point(15, 13.7))
    assert not curve.one_setting
    assert not curve.tells_slope
    assert curve.setting_for(14.0, SIXTY) is None


def test_what_is_stale_counts_only_where_nothing_is_fresh() -> None:
    old = [point(12, 13.4, stale=True), point(16, 14.6, stale=True)]
    both = curve_of(*old, point(14, 13.7), point(15, 14.0))
    fresh = curve_of(point(14, 13.7), point(15, 14.0))
    assert both.reading(14.5, SIXTY).loop == fresh.reading(14.5, SIXTY).loop
    assert len(both.points) == 4
    assert len(both.counted) == 2
    assert not both.outdated
    alone = curve_of(*old)
    assert alone.outdated
    as_new = curve_of(point(12, 13.4), point(16, 14.6))
    assert alone.reading(14, SIXTY).loop.sd == pytest.approx(
        sqrt(as_new.reading(14, SIXTY).loop.sd ** 2 + (0.03 * 14) ** 2), rel=0.1
    )


def test_a_service_shifts_all_old_points_alike_however_many_they_are() -> None:
    many = curve_of(*(point(cam, 10 + 0.25 * cam, stale=True) for cam in range(10, 20)))
    assert many.reading(15, SIXTY).loop.sd > 0.9 * 0.03 * 13.75


def test_a_hand_s_pull_is_not_averaged_away() -> None:
    cams = [cam for cam in range(10, 20) for _ in range(5)]
    shared = curve_of(*(point(cam, 10 + 0.25 * cam, 0.012, pull=0.01) for cam in cams))
    own = curve_of(*(point(cam, 10 + 0.25 * cam, 0.012) for cam in cams))
    assert own.reading(15, SIXTY).loop.sd < 0.05
    assert shared.reading(15, SIXTY).loop.sd == pytest.approx(0.01 * 13.75, rel=0.15)


def test_an_unknown_diameter_matters_only_between_cylinders() -> None:
    machine = Machine("plain", Turning.CARRIER, (Cylinder(60), Cylinder(54)))
    sixty, fifty_four = pitch_of(machine, 60), pitch_of(machine, 54)
    assert sixty.value == pytest.approx(pi * 111 / 60)
    assert sixty.sd / sixty.value == pytest.approx(4.5 / 111)
    exact = {one: Estimate(one.value, 0.0, "mm") for one in (sixty, fifty_four)}
    points = [(12, 13.0), (15, 13.8), (18, 14.6)]
    unknown = curve_of(*(point(cam, loop, pitch=sixty) for cam, loop in points))
    known = curve_of(*(point(cam, loop, pitch=exact[sixty]) for cam, loop in points))
    wider = {
        pitch: unknown.reading(15, pitch).loop.sd / known.reading(15, exact[pitch]).loop.sd
        for pitch in exact
    }
    assert wider[sixty] == pytest.approx(1, abs=0.01)
    assert wider[fifty_four] > wider[sixty] + 0.005


def test_a_known_diameter_gives_its_pitch() -> None:
    machine = Machine("plain", Turning.CARRIER, (Cylinder(60, 114.3),))
    assert pitch_of(machine, 60) == Estimate(pi * 114.3 / 60, 0.0, "mm")
    assert pitch_of(machine, 72).sd > 0
    assert pitch_of(replace(machine, cylinders=()), 72).sd > 0


def test_a_loop_no_longer_than_its_pitch_is_left_out() -> None:
    assert fit_curve([point(14, 5.9)]) is None
    curve = curve_of(point(14, 13.7), point(15, 5.99))
    assert [one.cam for one in curve.counted] == [14]


def test_a_wale_grows_as_the_loop_does() -> None:
    wale = Estimate(3.34, 0.05, "mm")
    curve = curve_of(point(12, 13.1, wale=wale), point(14, 13.7), point(16, 14.3), point(18, 14.9))
    here, there = curve.wale(12, SIXTY), curve.wale(18, SIXTY)
    assert here is not None
    assert there is not None
    assert here == Estimate(pytest.approx(3.34), pytest.approx(0.05), "mm")
    longer = curve.reading(18, SIXTY).loop.value / curve.reading(12, SIXTY).loop.value
    assert there.value / here.value == pytest.approx(longer)
    assert there.sd > here.sd
    assert curve_of(point(12, 13.1)).wale(12, SIXTY) is None


def test_on_fewer_needles_a_wale_is_wider() -> None:
    """The worked example of the model: a swatch on 60 of w 3.34 and l 13.70, a 4 1/2 in ring."""
    rings = {needles: Estimate(pi * 114.3 / needles, 0.0, "mm") for needles in (54, 60, 64, 72)}
    wale = Estimate(3.34, 0.015 * 3.34, "mm")
    curve = curve_of(point(14, 13.7, pitch=rings[60], wale=wale))
    told = {needles: curve.wale(14, pitch) for needles, pitch in rings.items()}
    worked = {54: 3.432, 60: 3.340, 64: 3.306, 72: 3.215}
    for needles, one in told.items():
        assert one is not None
        assert one.value == pytest.approx(worked[needles], rel=0.01)
    assert [one.value for one in told.values() if one] == sorted(
        (one.value for one in told.values() if one), reverse=True
    )


@pytest.mark.parametrize(
    ("settings", "step"),
    [((12, 14), 1), ((5.5, 6), 0.5), ((5.25,), 0.25), ((3.1, 3.2), 0.1), ((2.37,), 0.01)],
)
def test_a_cam_is_as_fine_as_its_settings_were_noted(
    settings: tuple[float, ...], step: float
) -> None:
    assert noted_step(settings) == step


def test_classes_of_yarn_part_where_the_facts_say() -> None:
    said = {tex: yarn_class(tex) for tex in (150, 204.9, 205, 238, 250, 275, 275.1, 400)}
    assert said == {
        150: YarnClass.FINE,
        204.9: YarnClass.FINE,
        205: YarnClass.FINGERING,
        238: YarnClass.FINGERING,
        250: YarnClass.FINGERING,
        275: YarnClass.FINGERING,
        275.1: YarnClass.HEAVY,
        400: YarnClass.HEAVY,
    }


def test_two_times_in_three_the_band_holds_the_loop() -> None:
    """Machines drawn as the model has them, with a hand that pulls; the band is one sd."""
    rng = np.random.default_rng(11)
    held = []
    for _ in range(400):
        level, slope, pull = rng.normal(6, 0.5), rng.normal(0, 0.3), rng.normal(0, 0.01)
        cams = rng.choice(np.arange(10, 19), 4, replace=False)
        drops = level + slope * (cams - 14)
        loops = 2 * np.sqrt(drops**2 + (SIXTY.value / 2) ** 2)
        read = loops * np.exp(pull + rng.normal(0, sqrt(0.007**2 + 0.01**2), len(cams)))
        sd = sqrt(0.01**2 + 0.007**2)
        curve = curve_of(*(point(*one, sd, pull=0.01) for one in zip(cams, read, strict=True)))
        asked = rng.uniform(min(cams), max(cams))
        true = 2 * sqrt((level + slope * (asked - 14)) ** 2 + (SIXTY.value / 2) ** 2)
        told = curve.reading(asked, SIXTY).loop
        held.append(abs(told.value - true) <= told.sd)
    assert 0.62 <= np.mean(held) <= 0.75
