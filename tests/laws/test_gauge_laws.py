"""Laws of the gauge, for any yarn and any mix of readings."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from builders import spun
from sockwright.estimates import Estimate
from sockwright.machine import Cylinder, Machine, Turning
from sockwright.measure.belief import (
    NAMES,
    Setting,
    believe,
    from_setting,
    length,
    pitch_of,
    tightness,
)
from sockwright.measure.gauge import Gauge, estimate_gauge
from sockwright.measure.next_reading import best_next_reading
from sockwright.measure.swatch import observe
from sockwright.measure.swatches import Outfit, drawn_loop_mm, needle_drop_mm, sort_swatches
from sockwright.order.model import (
    Count,
    Drape,
    Pull,
    RoundsLength,
    State,
    Stretch,
    SwatchGiven,
    Unravelled,
    Weighed,
)

MACHINE = Machine("", Turning.CARRIER, (Cylinder(60, 114.3), Cylinder(72, 108.0)))


def setting(tex: Estimate, drape: Drape, needles: int = 60) -> Setting:
    return Setting(tex, pitch_of(MACHINE, needles), drape)


few = {"max_size": 4}
counts = st.lists(st.builds(Count, st.floats(5, 60), st.floats(20, 200)), **few).map(tuple)
yarns = st.builds(
    lambda tex, share: Estimate(tex, tex * share, "tex"), st.floats(80, 600), st.floats(0, 0.2)
)
drapes = st.sampled_from(Drape)
needle_counts = st.integers(24, 200)
swatches = st.builds(
    SwatchGiven,
    name=st.sampled_from(["tube", "bonnet", "cuff of the old sock"]),
    state=st.sampled_from(State),
    needles=st.sampled_from([54, 60, 72]),
    cam=st.sampled_from([None, None, 8.0, 10.0]),
    wales=counts,
    courses=counts,
    unravelled=st.lists(
        st.builds(Unravelled, st.integers(50, 2000), st.floats(500, 20_000)), **few
    ).map(tuple),
    weighed=st.lists(st.builds(Weighed, st.integers(500, 9000), st.floats(1, 60)), **few).map(
        tuple
    ),
    flat_widths_mm=st.lists(st.floats(40, 160), **few).map(tuple),
    rounds_length=st.lists(
        st.builds(RoundsLength, st.integers(10, 90), st.floats(20, 300)), **few
    ).map(tuple),
    stretch=st.lists(
        st.builds(Stretch, st.floats(40, 100), st.floats(100, 200), st.sampled_from([None, *Pull])),
        **few,
    ).map(tuple),
    ruler_mm=st.sampled_from([0.5, 1.0, 2.0]),
    balance_g=st.sampled_from([0.01, 0.1, 1.0]),
)
some_swatches = st.lists(swatches, max_size=3)


def relative_sds(gauge: Gauge) -> list[float]:
    sizes = (gauge.wale, gauge.course, gauge.loop, gauge.tightness)
    return [size.sd / size.value for size in sizes]


@given(some_swatches, yarns, needle_counts, drapes)
def test_any_mix_gives_a_sound_gauge(
    given_swatches: list[SwatchGiven], tex: Estimate, needles: int, drape: Drape
) -> None:
    gauge = estimate_gauge(given_swatches, spun(tex, 1.3), MACHINE, needles, drape)
    covariance = np.array(gauge.covariance)
    assert covariance.shape == (3, 3)
    assert np.array_equal(covariance, covariance.T)
    assert np.linalg.eigvalsh(covariance).min() > -1e-12
    for size in (gauge.wale, gauge.course, gauge.loop, gauge.tightness, gauge.open_ratio):
        assert 0 < size.value < 1e4
        assert 0 < size.sd < size.value
    assert all(note.endswith(".") for note in gauge.notes + gauge.conflicts)


@given(swatches, swatches, yarns, drapes)
def test_a_further_observation_never_widens_anything(
    first: SwatchGiven, second: SwatchGiven, tex: Estimate, drape: Drape
) -> None:
    before = believe(from_setting(setting(tex, drape)), observe(first, tex).observations)
    for seen in observe(second, tex).observations:
        after = believe(before, [seen])
        for name in NAMES:
            row, wider = before.row({name: 1.0}), after.row({name: 1.0})
            assert after.sd(wider) <= before.sd(row) * (1 + 1e-9)
        assert (
            tightness(after, tex).sd / tightness(after, tex).value
            <= tightness(before, tex).sd / tightness(before, tex).value * (1 + 1e-9) + 1e-12
        )
        before = after


@given(some_swatches, swatches, yarns, drapes)
def test_a_further_swatch_never_widens_the_gauge(
    given_swatches: list[SwatchGiven], further: SwatchGiven, tex: Estimate, drape: Drape
) -> None:
    # Without settings: with them, a further swatch may change which setting is spoken of.
    plain = [replace(swatch, cam=None) for swatch in (*given_swatches, further)]
    before = estimate_gauge(plain[:-1], spun(tex, 1.3), MACHINE, 60, drape)
    after = estimate_gauge(plain, spun(tex, 1.3), MACHINE, 60, drape)
    for wide, narrow in zip(relative_sds(before), relative_sds(after), strict=True):
        assert narrow <= wide * (1 + 1e-9) + 1e-12


@given(some_swatches, yarns, st.randoms(use_true_random=False))
def test_the_order_of_readings_does_not_matter(
    given_swatches: list[SwatchGiven], tex: Estimate, shuffle: Random
) -> None:
    seen = [each for swatch in given_swatches for each in observe(swatch, tex).observations]
    shuffled = list(seen)
    shuffle.shuffle(shuffled)
    prior = from_setting(setting(tex, Drape.MIDDLE))
    at_once, in_other_order, one_by_one = believe(prior, seen), believe(prior, shuffled), prior
    for each in shuffled:
        one_by_one = believe(one_by_one, [each])
    for other in (in_other_order, one_by_one):
        np.testing.assert_allclose(other.mean[:4], at_once.mean[:4], rtol=0, atol=1e-8)
        np.testing.assert_allclose(other.cov[:4, :4], at_once.cov[:4, :4], rtol=0, atol=1e-10)


@given(st.floats(2.0, 9.0), st.floats(1.5, 9.0), st.floats(0.5, 3.0))
def test_a_needle_drawn_deeper_or_farther_from_the_next_takes_more_yarn(
    drop: float, pitch: float, times: float
) -> None:
    """Geometry: both ways undo each other, and a machine twice as large takes twice the yarn."""
    loop = drawn_loop_mm(drop, pitch)
    assert needle_drop_mm(loop, pitch) == pytest.approx(drop)
    assert drawn_loop_mm(times * drop, times * pitch) == pytest.approx(times * loop)
    assert drawn_loop_mm(drop + 0.1, pitch) > loop
    assert drawn_loop_mm(drop, pitch + 0.1) > loop


@given(st.floats(2.0, 5.0), st.floats(1.2, 4.0), yarns, drapes)
def test_a_swatch_outweighs_the_constants(
    wale_mm: float, course_mm: float, tex: Estimate, drape: Drape
) -> None:
    """Five counts of each over 10 cm decide: whatever the yarn promised, the fabric is as counted.

    An odd fabric of odd yarn lies at most six prior sds off, and moves the counts by under 3 %.
    """
    swatch = SwatchGiven(
        "tube",
        State.WASHED,
        60,
        wales=(Count(100 / wale_mm, 100),) * 5,
        courses=(Count(100 / course_mm, 100),) * 5,
    )
    gauge = estimate_gauge([swatch], spun(tex, 1.3), MACHINE, 60, drape)
    assert gauge.wale.value == pytest.approx(wale_mm, rel=0.03)
    assert gauge.course.value == pytest.approx(course_mm, rel=0.03)
    assert gauge.course.sd / gauge.course.value < 0.01


@given(swatches, yarns, drapes, st.floats(20, 300), st.floats(0.1, 8))
def test_no_reading_is_ever_promised_to_harm(
    swatch: SwatchGiven, tex: Estimate, drape: Drape, courses: float, foot_sd: float
) -> None:
    advice = best_next_reading(
        sort_swatches([swatch], Outfit(MACHINE, tex, drape), 60), 60, courses, foot_sd
    )
    assert all(0 <= gain.sd_after_mm <= gain.sd_before_mm + 1e-9 for gain in advice.ranking)
    assert len({gain.sd_before_mm for gain in advice.ranking}) == 1
    assert advice.best.sd_after_mm == min(gain.sd_after_mm for gain in advice.ranking)
    assert 0 <= (advice.foot_share or 0) <= 1


@given(yarns, drapes)
def test_before_a_swatch_width_and_height_follow_the_loop(tex: Estimate, drape: Drape) -> None:
    prior = from_setting(setting(tex, drape))
    wale, course, loop = (length(prior, name).value for name in NAMES)
    # Wet relaxed plain knitting: 4.1 wales and 5.3 courses to a loop's length (from memory), of
    # which the product holds; ordinary socks have 1.35 courses to a wale.
    assert loop**2 / (wale * course) == pytest.approx(4.1 * 5.3)
    assert wale / course == pytest.approx(1.35)
