"""Laws of the curve of a stitch cam, for any pitch, settings and sense."""

from __future__ import annotations

from itertools import pairwise
from math import isfinite, pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from amounts import amount
from drawing_reading import overlapping, size_mm, text_boxes
from sockwright.drawing.curve.picture import NARROW_MM, WIDE_MM, CurveView, curve_svg
from sockwright.estimates import Estimate
from sockwright.i18n import locale_of
from sockwright.machine import CamNaming
from sockwright.measure.cam_curve import CamCurve, fit_curve
from sockwright.measure.cam_points import CurvePoint

pitches = st.builds(
    lambda ring, needles, error: Estimate(pi * ring / needles, error * pi * ring / needles, "mm"),
    st.floats(80, 140),
    st.integers(48, 200),
    st.sampled_from([0.0, 0.0, 0.04]),
)
points = st.builds(
    lambda pitch, cam, longer, relative, stale, pull: CurvePoint(
        "tube",
        60,
        pitch,
        cam,
        Estimate(pitch.value * longer, pitch.value * longer * relative, "mm"),
        stale=stale,
        pull=pull,
        wale=Estimate(pitch.value * longer / 4.1, 0.1, "mm"),
    ),
    pitches,
    st.integers(0, 60).map(lambda half: half / 2),
    st.floats(1.3, 4),
    st.floats(0.005, 0.06),
    st.booleans(),
    st.sampled_from([0.0, 0.01]),
)
curves = (
    st.lists(points, min_size=1, max_size=6).map(fit_curve).filter(lambda curve: curve is not None)
)
steps_outside = st.lists(st.floats(0, 20), min_size=2, max_size=6).map(sorted)


@given(curves, pitches, st.floats(-20, 60))
def test_every_setting_of_every_curve_has_a_loop_longer_than_the_pitch(
    curve: CamCurve, pitch: Estimate, cam: float
) -> None:
    told = curve.reading(cam, pitch)
    assert told.loop.value > pitch.value
    assert isfinite(told.loop.value)
    assert 0 < told.loop.sd < float("inf")
    assert (told.outside == 0) is (curve.least <= cam <= curve.most)


@given(curves, pitches, st.lists(st.floats(0, 40), min_size=2, max_size=8).map(sorted))
def test_it_goes_one_way_that_of_its_slope(
    curve: CamCurve, pitch: Estimate, cams: list[float]
) -> None:
    loops = [curve.reading(cam, pitch).loop.value for cam in cams]
    sense = 1 if curve.drop_a_unit.value >= 0 else -1
    assert all(sense * (b - a) >= -1e-9 for a, b in pairwise(loops))


@given(curves, pitches, steps_outside, st.booleans())
def test_the_band_widens_the_further_outside(
    curve: CamCurve, pitch: Estimate, outside: list[float], above: bool
) -> None:
    edge, way = (curve.most, 1) if above else (curve.least, -1)
    exact = Estimate(pitch.value, 0.0, "mm")
    sds = [curve.reading(edge + way * far, exact).loop.sd for far in (0.0, *outside)]
    assert all(b >= a - 1e-9 for a, b in pairwise(sds))
    assert sds[-1] > sds[0] or outside[-1] < 1e-6


@given(curves, pitches)
def test_a_loop_asked_for_is_the_loop_of_the_setting_told(curve: CamCurve, pitch: Estimate) -> None:
    wished = curve.reading((curve.least + curve.most) / 2, pitch).loop.value
    choice = curve.setting_for(wished, pitch)
    assert (choice is None) is not curve.tells_slope
    if choice is not None:
        back = curve.reading(choice.exact.value, pitch).loop.value
        assert back == pytest.approx(wished, rel=1e-6)
        assert abs(choice.reading.cam - choice.exact.value) <= curve.step / 2 + 1e-6


@given(curves, pitches, st.floats(0, 30))
def test_the_slope_is_that_of_the_loops(curve: CamCurve, pitch: Estimate, cam: float) -> None:
    if curve.drop.value + curve.drop_a_unit.value * (cam - curve.middle) < 1:
        return
    low, high = (curve.reading(cam + by, pitch).loop.value for by in (-1e-4, 1e-4))
    told = curve.slope(cam, pitch)
    assert told.value == pytest.approx((high / low - 1) / 2e-4, rel=1e-2, abs=1e-6)
    assert (told.value >= 0) is (curve.drop_a_unit.value >= 0)


@given(st.lists(points, min_size=1, max_size=5), pitches, st.floats(0, 30))
def test_a_machine_whose_numbers_run_the_other_way_has_the_mirrored_curve(
    given_points: list[CurvePoint], pitch: Estimate, cam: float
) -> None:
    curve = fit_curve(given_points, step=0.5)
    mirrored = fit_curve([_mirrored(one) for one in given_points], step=0.5)
    assert (curve is None) is (mirrored is None)
    if curve is not None and mirrored is not None:
        told, other = curve.reading(cam, pitch), mirrored.reading(30 - cam, pitch)
        assert other.loop.value == pytest.approx(told.loop.value, rel=1e-6)
        assert other.loop.sd == pytest.approx(told.loop.sd, rel=1e-6)
        assert other.outside == pytest.approx(told.outside)
        assert mirrored.drop_a_unit.value == pytest.approx(-curve.drop_a_unit.value, abs=1e-9)


def _mirrored(point: CurvePoint) -> CurvePoint:
    return CurvePoint(
        point.name,
        point.needles,
        point.pitch,
        30 - point.cam,
        point.loop,
        stale=point.stale,
        wale=point.wale,
        pull=point.pull,
    )


@given(
    curves,
    pitches,
    st.floats(0, 1),
    st.sampled_from([WIDE_MM, NARROW_MM]),
    st.sampled_from(["cm", "in"]),
    st.sampled_from(["en", "de"]),
)
@settings(max_examples=amount(15, 300))
def test_any_curve_can_be_drawn_with_all_of_it_on_the_paper_and_no_text_over_another(
    curve: CamCurve, pitch: Estimate, share: float, width: float, units: str, language: str
) -> None:
    first, last = curve.span
    handle = round(first + share * (last - first), 1)
    cam = CamNaming("clicks", larger_is_looser=curve.drop_a_unit.value >= 0)
    view = CurveView(curve, 72, pitch, cam, min(max(handle, first), last), units)
    svg = curve_svg(view, width, words=locale_of(language))
    boxes = text_boxes(svg)
    wide, high = size_mm(svg)
    assert wide == width
    assert [box for box in boxes if box.left < 0 or box.right > wide] == []
    assert [box for box in boxes if box.top < 0 or box.bottom > high] == []
    assert overlapping(boxes) == []
