"""Readings of a swatch become observations of the washed fabric."""

from __future__ import annotations

from math import exp, log, sqrt

import pytest

from sockwright.estimates import Estimate
from sockwright.measure.swatch import Kind, Observation, observe, planned_sd, pooled
from sockwright.order.model import (
    Count,
    RoundsLength,
    State,
    SwatchGiven,
    Unravelled,
    Weighed,
)

TEX = Estimate(250.0, 7.5, "tex")
READINGS = {
    Kind.WALES: {"wales": (Count(32, 100),)},
    Kind.COURSES: {"courses": (Count(40, 100),)},
    Kind.FLAT_WIDTH: {"flat_widths_mm": (93.75,)},
    Kind.ROUNDS_LENGTH: {"rounds_length": (RoundsLength(40, 100),)},
    Kind.UNRAVELLED: {"unravelled": (Unravelled(600, 7500),)},
    Kind.WEIGHED: {"weighed": (Weighed(4000, 12.5),)},
}
# 100 mm / 32; 100 / 40; 2 x 93.75 / 60; 100 / 40; 7500 / 600; 12.5 g of 250 tex is 50 m.
LENGTHS_MM = {
    Kind.WALES: 3.125,
    Kind.COURSES: 2.5,
    Kind.FLAT_WIDTH: 3.125,
    Kind.ROUNDS_LENGTH: 2.5,
    Kind.UNRAVELLED: 12.5,
    Kind.WEIGHED: 12.5,
}
SIZES = (Kind.WALES, Kind.COURSES, Kind.FLAT_WIDTH, Kind.ROUNDS_LENGTH)


def only(kind: Kind, state: State = State.WASHED) -> Observation:
    (seen,) = observe(SwatchGiven("tube", state, 60, **READINGS[kind]), TEX).observations
    return seen


@pytest.mark.parametrize("kind", Kind)
def test_each_kind_of_reading_gives_its_length(kind: Kind) -> None:
    seen = only(kind)
    assert exp(seen.value) == pytest.approx(LENGTHS_MM[kind], rel=1e-12)
    axis = {3.125: 0, 2.5: 1, 12.5: 2}[LENGTHS_MM[kind]]
    assert seen.row[axis] == 1.0
    assert sum(seen.row) == 1.0
    assert "swatch 'tube'" in seen.label
    assert seen.kind is kind


def test_a_count_errs_by_quarter_stitch_half_division_and_place() -> None:
    parts = (0.25 / sqrt(3) / 32, 0.5 / sqrt(3) / 100, 0.02)
    assert only(Kind.WALES).sd == pytest.approx(sqrt(sum(part**2 for part in parts)))


def test_a_finer_ruler_and_balance_are_trusted_more() -> None:
    swatch = {"flat_widths_mm": (93.75,), "weighed": (Weighed(4000, 12.5),)}
    coarse = observe(SwatchGiven("a", State.WASHED, 60, **swatch), TEX).observations
    fine = observe(
        SwatchGiven("a", State.WASHED, 60, ruler_mm=0.5, balance_g=0.1, **swatch), TEX
    ).observations
    assert all(sharp.sd < blunt.sd for sharp, blunt in zip(fine, coarse, strict=True))


@pytest.mark.parametrize("kind", SIZES)
def test_sizes_read_on_the_machine_are_left_out_with_a_note(kind: Kind) -> None:
    seen = observe(SwatchGiven("tube", State.ON_MACHINE, 60, **READINGS[kind]), TEX)
    assert seen.observations == ()
    (note,) = seen.notes
    assert "on the machine" in note
    assert "wash" in note


@pytest.mark.parametrize("kind", [Kind.UNRAVELLED, Kind.WEIGHED])
@pytest.mark.parametrize("state", State)
def test_a_loop_is_as_long_in_every_state(kind: Kind, state: State) -> None:
    swatch = SwatchGiven("tube", state, 60, **READINGS[kind])
    seen = observe(swatch, TEX)
    assert exp(seen.observations[0].value) == pytest.approx(12.5)
    assert seen.observations[0].sd == only(kind).sd
    assert seen.notes == ()


def test_rested_fabric_is_brought_to_the_washed_state() -> None:
    """Dry to wet relaxed by Munden's constants: 7.3 % narrower, 5.7 % shorter (from memory)."""
    wale, course = only(Kind.WALES, State.RESTED), only(Kind.COURSES, State.RESTED)
    assert exp(wale.value) / 3.125 == pytest.approx(1 - 0.073, abs=0.0005)
    assert exp(course.value) / 2.5 == pytest.approx(1 - 0.057, abs=0.0005)
    assert [error.name for error, _ in wale.shared] == ["rested width"]
    assert [error.name for error, _ in course.shared] == ["rested height"]
    swatch = SwatchGiven("tube", State.RESTED, 60, **READINGS[Kind.WALES])
    assert "rested, not washed" in observe(swatch, TEX).notes[0]


def test_washed_sizes_share_no_error_and_carry_no_note() -> None:
    assert all(only(kind).shared == () for kind in SIZES)
    assert observe(SwatchGiven("t", State.WASHED, 60, **READINGS[Kind.WALES]), TEX).notes == ()


def test_all_weighings_share_the_error_of_the_yarn() -> None:
    ((error, times),) = only(Kind.WEIGHED).shared
    assert (error.sd, times) == (pytest.approx(0.03), 1.0)


def test_places_are_averaged_and_counted() -> None:
    wales = tuple(Count(number, 100) for number in (31, 32, 33))
    (seen,) = observe(SwatchGiven("tube", State.WASHED, 60, wales=wales), TEX).observations
    assert seen.readings == 3
    assert exp(seen.value) == pytest.approx(3.125, rel=0.001)


def test_an_uneven_swatch_shows_its_own_scatter() -> None:
    even = pooled([(log(3.0), 0.004)] * 5, 0.02)
    uneven = pooled([(log(v), 0.004) for v in (2.6, 2.8, 3.0, 3.2, 3.4)], 0.02)
    assert uneven[1] > 2 * even[1]
    # Ten percent of scatter over five places is some 4.5 % on the mean, the guess pulls it down.
    assert 0.03 < uneven[1] < 0.047


def test_equal_counts_do_not_pass_for_certainty() -> None:
    assert pooled([(log(3.0), 1e-6)] * 3, 0.02)[1] > 0.02 / sqrt(3) / 2


def test_one_place_has_the_assumed_scatter() -> None:
    assert pooled([(log(3.0), 0.015)], 0.02) == pytest.approx((log(3.0), 0.025))


def test_planned_places_average() -> None:
    assert planned_sd(Kind.WALES, [0.0] * 4) == pytest.approx(0.01)


def test_nothing_read_says_nothing() -> None:
    seen = observe(SwatchGiven("bare", State.ON_MACHINE, 60), TEX)
    assert (seen.observations, seen.notes) == ((), ())
