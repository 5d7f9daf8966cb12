"""The verdict on the size: the worst of what was found, with its reasons."""

from __future__ import annotations

from dataclasses import replace
from math import hypot

import pytest

from orders import order
from sockwright.estimates import Estimate
from sockwright.measure.foot_measures import FootMeasure
from sockwright.plan.make import SockPlan, make_plan
from sockwright.plan.trust import Trust, size_verdict
from sockwright.sock.passing import PuttingOn

PLAN = make_plan(order(stretch=1.9)).first


def with_length_sd(sd_mm: float) -> SockPlan:
    """The plan of a foot whose length is known so well, in a fabric known to a hair."""
    fabric = replace(PLAN.fabric, foot_length=replace(PLAN.fabric.foot_length, sd=0.0))
    length = FootMeasure(Estimate(245.0, sd_mm, "mm"), "measured")
    foot = replace(PLAN.foot, by_name={**PLAN.foot.by_name, "length": length})
    return replace(PLAN, fabric=fabric, foot=foot)


def test_a_measured_foot_and_swatch_make_a_good_size() -> None:
    verdict = size_verdict(PLAN)
    assert (verdict.trust, verdict.reasons) == (Trust.GOOD, ())
    sds = PLAN.fabric.foot_length.sd, PLAN.foot.length.estimate.sd
    assert verdict.foot_sd_mm == pytest.approx(hypot(*sds))
    assert verdict.words("cm").startswith("goes on easily; size good (foot ± 0.")
    assert verdict.words("in").endswith(" in)")


@pytest.mark.parametrize(
    ("sd_mm", "trust"),
    [(6.6, Trust.GOOD), (6.7, Trust.FAIR), (13.3, Trust.FAIR), (13.4, Trust.ROUGH)],
)
def test_a_length_is_good_within_a_shoe_size_and_fair_within_two(
    sd_mm: float, trust: Trust
) -> None:
    """A European size is 6.67 mm."""
    assert size_verdict(with_length_sd(sd_mm)).trust is trust


@pytest.mark.parametrize(
    ("sd", "trust"), [(0.04, Trust.GOOD), (0.06, Trust.FAIR), (0.11, Trust.ROUGH)]
)
def test_a_girth_is_good_within_half_the_usual_ease(sd: float, trust: Trust) -> None:
    fit = replace(PLAN.fit, girth_ease=Estimate(0.1, sd, "1"))
    assert size_verdict(replace(PLAN, fit=fit)).trust is trust


@pytest.mark.parametrize(("ease", "words"), [(0.22, "snug"), (-0.03, "loose")])
def test_a_snug_or_loose_tube_is_fair(ease: float, words: str) -> None:
    fit = replace(PLAN.fit, girth_ease=Estimate(ease, 0.01, "1"))
    verdict = size_verdict(replace(PLAN, fit=fit))
    assert (verdict.trust, verdict.reasons) == (Trust.FAIR, (words,))


def test_without_a_swatch_the_size_is_rough() -> None:
    gauge = replace(PLAN.gauge, readings_used=0)
    verdict = size_verdict(replace(PLAN, gauge=gauge))
    assert "; size rough, no swatch (foot ± " in verdict.words("cm")


def test_readings_that_contradict_each_other_make_it_rough() -> None:
    gauge = replace(PLAN.gauge, conflicts=("two readings differ",))
    verdict = size_verdict(replace(PLAN, gauge=gauge))
    assert verdict.reasons == ("readings contradict each other",)
    assert verdict.trust is Trust.ROUGH


def opens(times: float) -> SockPlan:
    """The plan in a fabric that a firm pull opens so many times; 1.52 are needed for the heel."""
    possible = Estimate(times, 0.06, "1")
    fit = replace(PLAN.fit, opening_possible=possible, doubts=() if times > 1.5 else ("tight",))
    return replace(PLAN, fit=fit)


def test_one_that_hardly_goes_on_is_doubtful_and_a_tug_is_no_doubt() -> None:
    hardly, tug = size_verdict(opens(1.40)), size_verdict(opens(1.58))
    assert hardly.goes_on.word is PuttingOn.HARDLY
    assert hardly.trust is Trust.DOUBTFUL
    assert len(hardly.reasons) == 1
    assert tug.goes_on.word is PuttingOn.TUG
    assert tug.trust is Trust.GOOD
    assert tug.words("cm").startswith("goes on with a tug")


def test_the_harder_of_heel_and_top_is_told() -> None:
    top = replace(PLAN.top, opens=Estimate(1.2, 0.06, "1"))
    verdict = size_verdict(replace(PLAN, top=top))
    assert verdict.goes_on == top.passing
    assert verdict.trust is Trust.DOUBTFUL


@pytest.mark.parametrize("worn", [0.95, 2.2])
def test_a_top_that_slips_or_presses_is_doubtful(worn: float) -> None:
    top = replace(PLAN.top, worn=Estimate(worn, 0.03, "1"))
    assert size_verdict(replace(PLAN, top=top)).trust is Trust.DOUBTFUL


def test_an_odd_measure_of_the_foot_is_doubtful() -> None:
    foot = replace(PLAN.foot, unusual={"ball_girth": "measure again"})
    assert size_verdict(replace(PLAN, foot=foot)).trust is Trust.DOUBTFUL


def test_the_worst_comes_first() -> None:
    fabric = replace(PLAN.gauge, readings_used=0)
    verdict = size_verdict(replace(opens(1.40), gauge=fabric))
    assert verdict.reasons[-1] == "no swatch"
    assert len(verdict.reasons) == 2
    assert verdict.trust is Trust.DOUBTFUL
