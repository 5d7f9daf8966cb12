"""Fit: the better cylinder first, what cannot be worn refused, and every offer good for it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from orders import FOOT, order, swatch
from sockwright.errors import CannotMake
from sockwright.estimates import Estimate
from sockwright.machine import Cylinder
from sockwright.order.model import EaseGiven, Order, SockGiven
from sockwright.plan.make import make_plan, rank_for_order
from sockwright.sock.fit import CylinderFit, ease_words
from sockwright.sock.passing import PuttingOn

WIDER = SockGiven(needles=84)


def ranked(order: Order) -> list[int]:
    """Needles of the cylinders, the best first."""
    return [fit.cylinder.needles for fit in rank_for_order(order)]


def fit_on(needles: int, plain: Order) -> CylinderFit:
    return next(fit for fit in rank_for_order(plain) if fit.cylinder.needles == needles)


def refusal(asked: Order) -> CannotMake:
    with pytest.raises(CannotMake) as caught:
        make_plan(asked)
    return caught.value


def test_the_cylinder_nearest_the_wish_comes_first() -> None:
    """Carried over from 60 needles by the pitch, a tube of 54 is 15 % smaller than the foot, one of
    66 about as wide."""
    assert ranked(order(60, 54, 66, 84)) == [60, 54, 66, 84]
    wide = replace(order(60, 54, 66, 84), sock=SockGiven(ease=EaseGiven(girth=0.01)))
    assert ranked(wide)[0] == 66


def test_the_order_of_the_cylinders_in_the_profile_does_not_matter() -> None:
    assert ranked(order(60, 84, 54)) == ranked(order(60, 54, 84)) == [60, 54, 84]


def test_those_that_cannot_be_worn_come_last() -> None:
    fits = rank_for_order(order(60, 44, 48, 66, 84, 96))
    words = [fit.fits for fit in fits]
    assert words == sorted(words, reverse=True)
    assert {fit.cylinder.needles for fit in fits if not fit.fits} == {44, 96}
    doubted = [bool(fit.doubts) for fit in fits if fit.fits]
    assert doubted == sorted(doubted)


def test_firmness_counts_where_girths_are_alike() -> None:
    """Of two fabrics of the same girth and stretch, the one at the wished tightness is better."""
    middle, firm = order(loop_mm=12.8), order(loop_mm=12.8, wale_mm=3.3)
    firm = replace(firm, yarns=(replace(firm.yarns[0], tex=345.0),))
    assert fit_on(60, middle).score.value < fit_on(60, firm).score.value
    assert any(reason.startswith("firmer") for reason in fit_on(60, firm).reasons)


def test_girth_that_no_cylinder_reaches_is_refused_with_a_count_that_would_do() -> None:
    error = refusal(order(104, 110))
    assert "wider than the foot" in error.reason
    (offer,) = error.offers
    wanted = int(re.findall(r"\d+", offer.change)[0])
    assert make_plan(replace(order(wanted))).first.sizing.needles == wanted


def test_a_heel_that_cannot_pass_is_refused_though_the_girth_is_right() -> None:
    fit = fit_on(60, order(stretch=1.15))
    assert fit.girth_ease.value == pytest.approx(0.10, abs=0.005)
    assert fit.heel.word is PuttingOn.NOT
    (words,) = fit.refusals
    assert "1.5" in words


@pytest.mark.parametrize(
    ("stretch", "word"),
    [
        (1.9, PuttingOn.EASILY),
        (1.75, PuttingOn.EASILY),
        (1.6, PuttingOn.TUG),
        (1.3, PuttingOn.HARDLY),
        (1.1, PuttingOn.NOT),
    ],
)
def test_how_it_goes_on_is_said_first_and_doubted_only_from_hardly_on(
    stretch: float, word: PuttingOn
) -> None:
    """It must open to 1.52 times its width; a firm pull counts three times as much as the model."""
    fit = fit_on(60, order(stretch=stretch))
    assert fit.heel.word is word
    assert bool(fit.doubts) is (word is PuttingOn.HARDLY)
    assert fit.fits is (word is not PuttingOn.NOT)


def test_one_that_goes_over_the_heel_comes_before_one_that_hardly_does() -> None:
    """Of 60 needles the ease is as wished, of 66 it is 2 %."""
    assert ranked(order(60, 66, stretch=1.5))[0] == 60
    assert ranked(order(60, 66, stretch=1.35))[0] == 66
    assert fit_on(60, order(60, 66, stretch=1.35)).doubts


def test_a_sack_is_doubted_and_no_shape_at_all_refused() -> None:
    """A twentieth wider than the foot is a sack, a quarter wider does not stay on."""
    for needles, doubted, fits in ((66, False, True), (72, True, True), (90, False, False)):
        fit = fit_on(needles, order(needles))
        assert (bool(fit.doubts), fit.fits) == (doubted, fits), needles


def test_wales_wider_than_their_needles_cannot_be_knitted() -> None:
    """Ring of 111 mm and 110 needles: 3.17 mm apart, the wales lie 3.3 mm wide."""
    fit = fit_on(110, order(Cylinder(110, 111.0)))
    assert fit.verdict == "cannot be made"
    assert fit_on(100, order(Cylinder(100, 111.0))).verdict == "cannot be worn"
    # Of a ring that nobody measured nothing is known so surely.
    assert fit_on(110, order(110)).verdict == "cannot be worn"


def test_a_net_is_doubted() -> None:
    """sqrt(277) is 16.64: loops of 19 mm are at a tightness of 0.88."""
    assert fit_on(60, order(loop_mm=19.0)).doubts


def test_a_loose_tube_is_not_preferred_for_passing_the_heel() -> None:
    loose = order(60, 70, stretch=1.55)
    assert fit_on(70, loose).girth_ease.value < 0
    assert ranked(loose)[0] == 60
    wide = replace(loose, sock=SockGiven(ease=EaseGiven(girth=-0.04)))
    assert ranked(wide)[0] == 70


@pytest.mark.parametrize(
    ("ease", "words"),
    [
        (0.10, "10 % smaller than the foot"),
        (-0.024, "2 % wider than the foot"),
        (0.004, "as wide as the foot"),
        (-0.004, "as wide as the foot"),
    ],
)
def test_ease_is_said_without_signs(ease: float, words: str) -> None:
    assert ease_words(ease) == words


def test_a_fit_as_wished_is_said_so() -> None:
    assert fit_on(60, order()).reasons[0] == "10 % smaller than the foot, as wished"
    reasons = fit_on(66, order(66)).reasons
    assert reasons[0] == "1 % smaller than the foot; the wish was 10 % smaller"


def knitted_at(loop_mm: float, wale_mm: float = 3.3) -> Order:
    """277 tex of unknown fibres: by hand its diameter is 0.0444 sqrt(277 / 1.29) = 0.651 mm, and
    it jams at sqrt(277) / (16.67 x 0.651) = 1.534."""
    return order(loop_mm=loop_mm, wale_mm=wale_mm)


def test_the_jam_follows_from_the_density_of_the_fibres() -> None:
    gauge = fit_on(60, order()).gauge
    assert gauge.jam.value == pytest.approx(1.534, abs=0.001)
    wool = replace(order(), yarns=(replace(order().yarns[0], fibres=(("wool", 1.0),)),))
    assert fit_on(60, wool).gauge.jam.value == pytest.approx(1.546, abs=0.001)


def test_fabric_far_beyond_the_jam_is_refused_and_near_it_has_a_word() -> None:
    """sqrt(277) is 16.64: loops of 9 mm are at 1.85, of 10.6 at 1.57, of 11.6 at 1.43."""
    beyond = fit_on(60, knitted_at(9.0))
    assert "at its jam" in beyond.refusals[0]
    assert "1.53 ± 0.08" in beyond.refusals[0]
    assert beyond.verdict == "cannot be made"
    near = fit_on(60, knitted_at(10.6))
    assert not any("so tight" in refusal for refusal in near.refusals)
    assert any("so tight" in doubt for doubt in near.doubts)
    assert not any("jam" in reason for reason in fit_on(60, knitted_at(11.6)).reasons)


def test_a_jammed_fabric_is_refused_with_what_would_do() -> None:
    error = refusal(knitted_at(9.0))
    assert error.reason.startswith("on 60 needles ")
    (offer,) = error.offers
    assert offer.change.startswith("a thinner yarn")
    assert "the tube too wide" in offer.effect


def test_the_loop_offered_instead_of_a_jammed_one_is_accepted() -> None:
    """With wales of 2.9 mm the loops may be a sixth longer and the tube still go round the foot."""
    asked = knitted_at(9.3, wale_mm=2.9)
    (offer,) = [o for o in refusal(asked).offers if "stitch cam" in o.change]
    assert offer.change.startswith("a looser stitch cam")
    growth = float(re.findall(r"\d+\.\d", offer.change)[0]) / 9.3
    new = swatch(60, 2.9 * growth, 2.55 * growth, 9.3 * growth)
    plan = make_plan(replace(asked, swatches=(new,))).first
    assert not any("jam" in words for words in plan.fit.reasons)


# What is offered can be had.


def test_the_offered_cylinder_can_be_taken() -> None:
    asked = replace(order(84, 60, 58, 44), sock=WIDER)
    offers = [o for o in refusal(asked).offers if o.change.endswith("-needle cylinder")]
    assert [o.change for o in offers] == ["the 58-needle cylinder", "the 60-needle cylinder"]
    for offer in offers:
        needles = int(re.findall(r"\d+", offer.change)[0])
        plan = make_plan(replace(asked, sock=SockGiven(needles=needles))).first
        assert plan.ok
        assert f"{plan.fit.girth.value:.0f} mm" in offer.effect


def test_a_cylinder_on_which_the_heel_cannot_be_turned_is_not_offered_alone() -> None:
    """58 needles halve to an odd number, of which 10 cannot be kept."""
    design = replace(WIDER, heel=replace(WIDER.heel, cup=replace(WIDER.heel.cup, kept=10)))
    offers = refusal(replace(order(84, 60, 58), sock=design)).offers
    assert {"needles": 60} in [offer.what for offer in offers]
    assert {"needles": 58} not in [offer.what for offer in offers]


@pytest.mark.parametrize(
    ("needles", "wale_mm", "loop_mm", "word"),
    [(72, 3.85, 15.2, "tighter"), (54, 3.0, 11.1, "looser")],
)
def test_the_offered_loop_makes_the_sock_fit(
    needles: int, wale_mm: float, loop_mm: float, word: str
) -> None:
    """Tubes too wide or too narrow: a swatch knitted at the offered loop length is accepted."""
    asked = order(needles, wale_mm=wale_mm, loop_mm=loop_mm)
    (offer,) = [o for o in refusal(asked).offers if "stitch cam" in o.change]
    assert offer.change.startswith(f"a {word} stitch cam")
    growth = float(re.findall(r"\d+\.\d", offer.change)[0]) / loop_mm
    new = swatch(needles, wale_mm * growth, 2.55 * growth, loop_mm * growth)
    plan = make_plan(replace(asked, swatches=(new,))).first
    assert plan.ok
    assert plan.fit.girth_ease.value == pytest.approx(0.10, abs=0.02)


def test_no_loop_is_offered_that_still_would_not_pass_the_heel() -> None:
    offers = refusal(order(stretch=1.05)).offers
    assert not any("loops of" in offer.change for offer in offers)
    assert offers[0].change.startswith("a thinner yarn")


def test_no_loop_is_offered_that_cannot_be_knitted() -> None:
    error = refusal(replace(order(84), sock=WIDER))
    assert not any("stitch cam" in offer.change for offer in error.offers)


def test_a_cylinder_that_is_not_owned() -> None:
    error = refusal(replace(order(60, 84), sock=SockGiven(needles=72)))
    assert "no cylinder of 72 needles" in error.reason
    assert [offer.change for offer in error.offers] == ["the 60-needle cylinder"]


def test_girth_is_needles_times_wales_and_errs_with_them() -> None:
    fit = fit_on(60, order())
    assert fit.girth == Estimate(60 * fit.gauge.wale.value, 60 * fit.gauge.wale.sd, "mm")
    ball = FOOT.mm("ball_girth")
    assert ball is not None
    # Both girth and foot are uncertain; the foot's tape alone is good to some millimetres.
    assert fit.girth_ease.sd > fit.girth.sd / ball


def test_a_cylinder_needs_no_diameter() -> None:
    assert ranked(order(Cylinder(60, 108.0), Cylinder(54))) == ranked(order(60, 54))
