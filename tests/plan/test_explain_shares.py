"""Shares of a number's variance, found by experiment, and helps, by doing them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import hypot, sqrt

import pytest

from hasty import HASTY, HASTY_ORDER, HASTY_PAIR, LABEL, PLAN, TABLE, at_bottom, into
from orders import FOOT, order
from sockwright.estimates import Estimate
from sockwright.measure.foot import estimate_foot
from sockwright.measure.next_reading import best_next_reading
from sockwright.order.model import (
    FootGiven,
    Load,
    RoundsLength,
    Sex,
    State,
    SwatchGiven,
    WearerGiven,
)
from sockwright.plan.explain import explain
from sockwright.plan.make import PairPlan, make_plan


def variance(pair: PairPlan, key: str) -> float:
    """The variance of one of the plan's estimates, over the square of its value."""
    value = explain(pair, key).value
    assert isinstance(value, Estimate)
    return (value.sd / value.value) ** 2


# Shares, by experiment: make an error a little smaller, and see by what share the variance falls.


STEP = 0.01


def with_label_sd(factor: float) -> PairPlan:
    """The plan with the variance of the yarn's fineness so many times as large."""
    sd = 0.03 * LABEL.tex * sqrt(factor)
    return make_plan(replace(HASTY_ORDER, yarns=(replace(LABEL, tex_sd=sd),)))


@pytest.mark.parametrize(
    "key",
    [
        "gauge.wale",
        "gauge.loop",
        "gauge.tightness",
        "gauge.areal_mass",
        "yarn.main.length",
        "yarn.main.mass",
        "yarn.main.pair_mass",
    ],
)
def test_a_share_is_by_how_much_the_variance_falls_with_that_of_the_error(key: str) -> None:
    less, more = (variance(with_label_sd(1 + step), key) for step in (-STEP, STEP))
    found = (more - less) / (2 * STEP * variance(HASTY_PAIR, key))
    told = at_bottom(TABLE[key]).get("order.yarn.main.fineness", 0.0)
    assert found == pytest.approx(told, abs=0.01)


@pytest.mark.parametrize("key", ["gauge.tightness"])
def test_halving_the_heaviest_error_narrows_the_number_at_least_as_told(key: str) -> None:
    number = TABLE[key]
    heaviest = number.rests_on[0]
    assert heaviest.key == "order.yarn.main.fineness"
    told = 1 - 0.75 * heaviest.share
    # Other readings may take over some of the weight, and then it narrows more.
    after = variance(with_label_sd(0.25), key) / variance(HASTY_PAIR, key)
    assert told - 0.25 < after <= told + 1e-3
    assert after < 1


READING_SDS = {
    "foot.length": 2.0,
    "foot.ball_girth": 2.5,
    "wearer.stature": 10.0,
    "wearer.weight": 1.5,
}
"""How far each reading is taken to err, mm and kg."""


def wearer(**more: object) -> WearerGiven:
    """The station doctor, measured in part."""
    foot = FootGiven(length_mm=245.0, ball_girth_mm=228.0)
    return WearerGiven("station doctor", Sex.WOMAN, left=foot, right=foot, **more)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("asked", "names"),
    [
        (wearer(stature_mm=1700.0, weight_kg=66.0), tuple(READING_SDS)),
        (wearer(), ("foot.length", "foot.ball_girth")),
    ],
)
@pytest.mark.parametrize("name", ["calf_girth", "heel_girth", "instep_girth"])
def test_a_predicted_measure_tells_what_moves_it(
    asked: WearerGiven, names: Sequence[str], name: str
) -> None:
    """A predicted value moves in proportion with each reading: (slope x sd)^2 is its part."""
    plan = make_plan(replace(HASTY_ORDER, wearer=asked))
    told = into(explain(plan, f"foot.{name}"))
    for key in names:
        share = moved_share(asked, key, READING_SDS[key], name)
        assert (told[key].share if key in told else 0.0) == pytest.approx(share, abs=6e-4), key


def moved_share(asked: WearerGiven, key: str, by: float, name: str) -> float:
    """The part of a measure's variance from a reading, seen by moving the reading both ways."""
    less, more = (
        estimate_foot(moved, moved.left).measures()[name].estimate
        for moved in (shifted(asked, key, step) for step in (-by, by))
    )
    return ((more.value - less.value) / 2 / less.sd) ** 2


def shifted(asked: WearerGiven, key: str, by: float) -> WearerGiven:
    """The wearer with one of her readings so much larger."""
    part, name = key.split(".")
    if part == "wearer":
        field = f"{name}_mm" if name == "stature" else f"{name}_kg"
        return replace(asked, **{field: getattr(asked, field) + by})
    was = asked.left.mm(name)
    assert was is not None
    foot = replace(asked.left, **{f"{name}_mm": was + by})
    return replace(asked, left=foot, right=foot)


@pytest.mark.parametrize("name", ["calf_girth", "ankle_girth", "ankle_bone_height"])
def test_a_childs_predicted_measure_tells_what_moves_it(name: str) -> None:
    foot = FootGiven(length_mm=175.0, foot_breadth_mm=70.0)
    child = WearerGiven("the cook's small son", Sex.MAN, 5.0, 1100.0, left=foot, right=foot)
    told = into(explain(make_plan(replace(order(48), wearer=child)), f"foot.{name}"))
    readings = {"foot.length": 2.0, "foot.foot_breadth": 2.0, "wearer.stature": 10.0}
    for key, sd in readings.items():
        share = moved_share(child, key, sd, name)
        assert (told[key].share if key in told else 0.0) == pytest.approx(share, abs=6e-4), key
    assert told[f"survey.{name}"].share == pytest.approx(
        1 - sum(moved_share(child, key, sd, name) for key, sd in readings.items()), abs=2e-3
    )


def test_a_foot_measured_sitting_may_grow() -> None:
    foot = replace(FOOT, load=Load.SITTING)
    length = explain(make_plan(order(foot=foot)), "foot.length")
    # A woman's foot grows by 7.8 mm at most, in proportion to her foot; its reading errs by 2 mm.
    shares, grown = at_bottom(length), 7.8**2 / 3
    assert shares["reading.length.sitting"] == pytest.approx(grown / (grown + 2.0**2), abs=0.02)
    assert sum(shares.values()) == pytest.approx(1.0)
    assert length.further is not None
    assert length.further.measurement == "measure the foot length standing"
    assert length.further.sd_after == pytest.approx(2.0)


# What would help, by doing it.


def test_a_weighed_skein_narrows_as_told() -> None:
    tightness = TABLE["gauge.tightness"]
    helped = TABLE["yarn.main.fineness"].further
    assert helped is not None
    assert helped.measurement == "weigh 50 m of the main yarn"
    # 50 m weigh 13.85 g; a balance divided to 1 g errs by 0.5/sqrt(3) g, the pull by 1 %.
    skein = 277.0 * hypot(0.5 / sqrt(3) / 13.85, 0.01)
    assert helped.sd_after == pytest.approx(skein, rel=1e-6)
    done = make_plan(replace(HASTY_ORDER, yarns=(replace(LABEL, tex_sd=helped.sd_after),)))
    assert tightness.further is not None
    for key in ("gauge.tightness", "yarn.main.mass", "yarn.main.pair_mass"):
        further = TABLE[key].further
        assert further is not None
        if further.measurement == helped.measurement:
            after = explain(done, key).value
            assert isinstance(after, Estimate)
            assert after.sd == pytest.approx(further.sd_after, rel=0.01)


def test_measuring_a_girth_narrows_the_ease_as_told() -> None:
    foot = replace(FOOT, ball_girth_mm=None)
    before = make_plan(order(foot=foot))
    ease = explain(before, "fit.girth_ease")
    assert ease.further is not None
    assert ease.further.measurement == "measure the ball girth"
    likely = before.first.foot.ball_girth.estimate.value
    after = make_plan(order(foot=replace(foot, ball_girth_mm=likely)))
    assert after.first.fit.girth_ease.sd == pytest.approx(ease.further.sd_after)
    assert after.first.fit.girth_ease.sd < before.first.fit.girth_ease.sd


def test_a_new_swatch_measured_as_told_narrows_the_course_at_least_as_told() -> None:
    course = TABLE["gauge.course"]
    assert course.further is not None
    assert course.further.measurement == "measure 40 rounds of the washed tube at five places"
    height = PLAN.gauge.course.value
    counted = SwatchGiven(
        "grey, again", State.WASHED, 60, rounds_length=(RoundsLength(40, 40 * height),) * 5
    )
    after = make_plan(replace(HASTY_ORDER, swatches=(HASTY, counted))).first.gauge.course
    assert after.sd <= 1.02 * course.further.sd_after
    assert after.sd > 0.5 * course.further.sd_after


def test_what_helps_the_socks_length_is_the_next_reading() -> None:
    """The engine's own ranking of readings, which knows nothing of shares."""
    length = TABLE["sizing.foot_length"]
    best = best_next_reading(PLAN.gauge.seen, 60, PLAN.sizing.total_courses).best
    assert length.further is not None
    assert length.further.measurement == best.phrase
    assert length.further.sd_before == pytest.approx(best.sd_before_mm)
    assert length.further.sd_after == pytest.approx(best.sd_after_mm)
    assert str(length.helps).startswith(f"{best.phrase!s}: ± ")


def test_a_number_that_is_known_well_needs_no_help() -> None:
    """However many pieces one hand pulls, its error does not average away."""
    assert explain(make_plan(order()), "gauge.open_ratio").helps is None
    assert explain(make_plan(order(stretch=None)), "gauge.open_ratio").helps is not None
