"""The gauge against published swatches, published rules of error and methods not its own.

Sources and standings are in `authorities/gauge.toml`.
"""

from __future__ import annotations

import tomllib
from math import exp, log
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from builders import spun
from sockwright.estimates import Estimate, rectangular_sd
from sockwright.facts import fact
from sockwright.machine import Cylinder, Machine, Turning
from sockwright.measure.belief import Setting, believe, equations, from_setting, pitch_of
from sockwright.measure.gauge import Gauge, estimate_gauge
from sockwright.measure.swatch import observe, ratio_sd
from sockwright.order.model import (
    Count,
    Drape,
    RoundsLength,
    State,
    SwatchGiven,
    Unravelled,
    Weighed,
)

AUTHORITY = tomllib.loads(
    (Path(__file__).parent / "authorities" / "gauge.toml").read_text(encoding="utf-8")
)
PUBLISHED = pytest.mark.parametrize("row", AUTHORITY["swatch"], ids=lambda row: row["name"])
WOOL_AND_NYLON = 1.26
TEX = Estimate(250.0, 7.5, "tex")
MACHINE = Machine("", Turning.CARRIER, (Cylinder(60, 111.0),))
PRIOR = from_setting(Setting(TEX, pitch_of(MACHINE, 60), Drape.MIDDLE))


def gauge_of(row: dict[str, Any], **left_out: Any) -> Gauge:
    given = {
        "wales": (Count(row["wales"], row["span_mm"]),),
        "courses": (Count(row["courses"], row["span_mm"]),),
    }
    swatch = SwatchGiven("tube", State.WASHED, 60, **(given | left_out))
    tex = Estimate(row["tex"], row["tex_sd"], "tex")
    return estimate_gauge([swatch], spun(tex, WOOL_AND_NYLON), MACHINE, 60, Drape.MIDDLE)


def reading_sd(number: float, span_mm: float) -> float:
    """Relative: a quarter stitch and half a millimetre, rectangular, and 2 % between places."""
    parts = (0.25 / 3**0.5 / number, 0.5 / 3**0.5 / span_mm, 0.02)
    return sum(part**2 for part in parts) ** 0.5


@PUBLISHED
def test_published_counts_come_back_within_their_reading_error(row: dict[str, Any]) -> None:
    gauge = gauge_of(row)
    for size, number in ((gauge.wale, row["wales"]), (gauge.course, row["courses"])):
        counted_mm = row["span_mm"] / number
        off = abs(log(size.value / counted_mm))
        assert off < reading_sd(number, row["span_mm"])
        assert size.sd / size.value <= reading_sd(number, row["span_mm"])


@PUBLISHED
def test_the_shape_of_published_fabric_stays_its_own(row: dict[str, Any]) -> None:
    gauge = gauge_of(row)
    shape = gauge.wale.value / gauge.course.value
    # Two counts over an inch err by 4 % in their ratio, about as much as shapes differ at all: it
    # may move half the way to the usual 1.35.
    usual = fact("gauge", "courses_per_wale").number
    half_way = sorted((row["courses_per_wale"], (row["courses_per_wale"] * usual) ** 0.5))
    assert half_way[0] * 0.99 < shape < half_way[1] * 1.01
    limits = AUTHORITY["courses_per_wale"]
    assert limits["low"] * 0.99 < shape < limits["high"] * 1.01


@PUBLISHED
def test_published_gauges_raise_no_conflict(row: dict[str, Any]) -> None:
    assert gauge_of(row).conflicts == ()


@PUBLISHED
def test_published_wales_alone_predict_the_courses(row: dict[str, Any]) -> None:
    """Within two and a half sds: the widest shape printed, 1.47, is almost two from the usual."""
    gauge = gauge_of(row, courses=())
    predicted, counted_mm = gauge.course, row["span_mm"] / row["courses"]
    assert abs(log(predicted.value / counted_mm)) < 2.5 * predicted.sd / predicted.value


@PUBLISHED
def test_yarn_and_needles_alone_predict_published_gauges(row: dict[str, Any]) -> None:
    """Within two and a half sds; these socks were knitted by hand, without needles at a pitch."""
    tex = Estimate(row["tex"], row["tex_sd"], "tex")
    gauge = estimate_gauge([], spun(tex, WOOL_AND_NYLON), MACHINE, 60, Drape.MIDDLE)
    for size, number in ((gauge.wale, row["wales"]), (gauge.course, row["courses"])):
        assert abs(log(size.value * number / row["span_mm"])) < 2.5 * size.sd / size.value


def test_the_fabric_of_an_everyday_loop() -> None:
    row = AUTHORITY["everyday"]
    tex = Estimate(row["tex"], 1.0, "tex")
    swatch = SwatchGiven(
        "tube", State.WASHED, 60, unravelled=(Unravelled(600, 600 * row["loop_mm"]),)
    )
    gauge = estimate_gauge([swatch], spun(tex, WOOL_AND_NYLON), MACHINE, 60, Drape.MIDDLE)
    assert gauge.tightness.value == pytest.approx(row["tightness"], abs=0.005)
    # Munden's constants alone; ordinary socks of such a loop are wider, and pitch tells too.
    for size, per_inch in ((gauge.wale, "wales"), (gauge.course, "courses")):
        off = log(25.4 / size.value / row[f"{per_inch}_per_inch"])
        assert abs(off) < 2 * size.sd / size.value


def test_the_mismatch_of_two_loop_lengths_is_within_two_sds_of_the_shape() -> None:
    row = AUTHORITY["mismatch"]
    mismatch = log(row["loop_from_wales_mm"] / row["loop_from_courses_mm"])
    assert exp(mismatch) - 1 == pytest.approx(row["share"], abs=0.0005)
    shape_sd = PRIOR.sd(PRIOR.row({"wale": 1.0, "course": -1.0}))
    assert mismatch < 2 * shape_sd


@pytest.mark.parametrize("row", AUTHORITY["uncertainty"], ids=lambda row: row["name"])
def test_rectangular_errors(row: dict[str, Any]) -> None:
    assert rectangular_sd(row["half_width"]) == pytest.approx(row["expected"], abs=row["tolerance"])


def test_the_error_of_courses_per_cm() -> None:
    row = AUTHORITY["courses_per_cm"]
    per_cm = 10 * row["courses"] / row["span_mm"]
    relative = ratio_sd(row["courses"], row["courses_half"], row["span_mm"], row["span_half_mm"])
    assert per_cm == pytest.approx(row["per_cm"], abs=row["tolerance"])
    assert per_cm * relative == pytest.approx(row["sd_per_cm"], abs=row["tolerance"])


def test_the_error_of_one_unravelled_round() -> None:
    row = AUTHORITY["one_round_unravelled"]
    yarn = (Unravelled(row["loops"], row["length_mm"]),)
    swatch = SwatchGiven("round", State.RESTED, 72, unravelled=yarn, ruler_mm=row["ruler_mm"])
    (seen,) = observe(swatch, TEX).observations
    # The reading alone: what rounds differ among themselves is taken off again.
    of_reading = (seen.sd**2 - fact("gauge", "round_relative_sd").number ** 2) ** 0.5
    assert exp(seen.value) == pytest.approx(row["loop_mm"], rel=1e-9)
    assert row["loop_mm"] * of_reading == pytest.approx(row["sd_mm"], abs=row["tolerance"])


MIXED = SwatchGiven(
    "mixed",
    State.RESTED,
    60,
    wales=(Count(31, 100), Count(30.5, 100)),
    courses=(Count(41, 100),),
    unravelled=(Unravelled(600, 7600),),
    weighed=(Weighed(3600, 12.0),),
    flat_widths_mm=(97.0,),
    rounds_length=(RoundsLength(40, 97.0),),
)


def test_the_update_is_that_of_least_squares() -> None:
    """Stacked, whitened equations solved by numpy's least squares: another road to the mean."""
    prior = PRIOR
    seen = observe(MIXED, TEX).observations
    wider, rows = equations(prior, seen)
    root = np.linalg.inv(np.linalg.cholesky(wider.cov))
    sds = np.array([each.sd for each in seen])
    stacked = np.vstack([root, rows / sds[:, None]])
    right = np.concatenate([root @ wider.mean, np.array([each.value for each in seen]) / sds])
    solution, *_ = np.linalg.lstsq(stacked, right, rcond=None)
    cov = np.linalg.inv(stacked.T @ stacked)
    after = believe(prior, seen)
    np.testing.assert_allclose(after.mean, solution, rtol=0, atol=1e-10)
    np.testing.assert_allclose(after.cov, cov, rtol=1e-7, atol=1e-12)


def test_logarithms_do_not_mislead() -> None:
    """Weighted random fabrics, their counts and masses never turned into logarithms.

    The fabrics are drawn from the prior written out again: 3.12 mm at 5 mm of pitch and 240 tex,
    powers 0.42 and 0.35 (docs/models.md); each is weighed by how well its plain numbers fit the
    readings.
    """
    draw = np.random.default_rng(1959)
    many = 400_000
    pitch = np.pi * 111.0 / 60
    tex = 250.0 * np.exp(draw.normal(0, 0.03, many))
    far = np.hypot(0.20 * np.log(pitch / 5), 0.10 * np.log(250 / 240))
    size = draw.normal(0, np.hypot(0.06, far), many)
    shape, of_loop = draw.normal(0, 0.045, many), draw.normal(0, 0.065, many)
    middle = 3.12 * (pitch / 5) ** 0.42 * (tex / 240) ** 0.35 * np.exp(size)
    wale, course = middle * np.exp(shape / 2), middle / 1.35 * np.exp(-shape / 2)
    loop = (4.1 * 5.3 / 1.35) ** 0.5 * middle * np.exp(of_loop)
    quarter, half_mm, half_g = 0.25 / 3**0.5, 0.5 / 3**0.5, 0.5 / 3**0.5
    wales_sd = np.hypot(np.hypot(quarter, 30 * half_mm / 100), 30 * 0.02)
    courses_sd = np.hypot(np.hypot(quarter, 42 * half_mm / 100), 42 * 0.02)
    mass_sd = np.hypot(half_g, 12 * 0.01)
    misfit = ((100 / wale - 30) / wales_sd) ** 2 + ((100 / course - 42) / courses_sd) ** 2
    misfit += ((3600 * loop * tex / 1e6 - 12) / mass_sd) ** 2
    weight = np.exp(-misfit / 2)
    weight /= weight.sum()
    swatch = SwatchGiven(
        "tube",
        State.WASHED,
        60,
        wales=(Count(30, 100),),
        courses=(Count(42, 100),),
        weighed=(Weighed(3600, 12.0),),
    )
    gauge = estimate_gauge([swatch], spun(TEX, WOOL_AND_NYLON), MACHINE, 60, Drape.MIDDLE)
    for size, drawn in ((gauge.wale, wale), (gauge.course, course), (gauge.loop, loop)):
        mean = float(weight @ drawn)
        sd = float(weight @ (drawn - mean) ** 2) ** 0.5
        assert size.value == pytest.approx(mean, abs=0.1 * sd)
        assert size.sd == pytest.approx(sd, rel=0.05)
    tightness = np.sqrt(tex) / loop
    mean = float(weight @ tightness)
    assert gauge.tightness.value == pytest.approx(mean, rel=0.005)
    sd = float(weight @ (tightness - mean) ** 2) ** 0.5
    assert gauge.tightness.sd == pytest.approx(sd, rel=0.05)
