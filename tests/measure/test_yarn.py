"""A yarn from an order, and the plain fabric it could make."""

from __future__ import annotations

import pytest

from sockwright.errors import QuantityError
from sockwright.estimates import Estimate
from sockwright.measure.yarn import blend_density, drape_tightness, munden_of, yarn_from
from sockwright.order.model import Drape, State, YarnGiven

GREY = YarnGiven("main", "station grey", 250.0, fibres=(("wool", 0.75), ("nylon", 0.25)))


def test_a_label_is_trusted_to_three_per_cent_and_a_weighing_to_what_it_says() -> None:
    assert yarn_from(GREY).tex == Estimate(250.0, 7.5, "tex")
    weighed = YarnGiven("main", "station grey", 250.0, tex_sd=2.0)
    assert yarn_from(weighed).tex == Estimate(250.0, 2.0, "tex")


def test_200_m_of_250_tex_weigh_50_g() -> None:
    mass = yarn_from(GREY).mass_of(Estimate(200_000.0, 2_000.0, "mm"))
    assert mass.unit == "g"
    assert mass.value == pytest.approx(50.0)
    assert mass.sd == pytest.approx(50.0 * (0.03**2 + 0.01**2) ** 0.5)


def test_half_the_relative_doubt_of_the_fineness_is_in_the_thickness() -> None:
    diameter = yarn_from(GREY).diameter
    assert 0.014 < diameter.sd / diameter.value < 0.018
    assert diameter.unit == "mm"


def test_the_shares_of_a_blend_need_not_add_up_to_one() -> None:
    assert blend_density((("wool", 3.0), ("nylon", 1.0))) == blend_density(GREY.fibres)
    assert blend_density(((" Wool", 1.0),)).value == 1.31


def test_a_yarn_of_unknown_fibres_has_a_doubtful_density() -> None:
    assert blend_density(()).sd > 3 * blend_density((("wool", 1.0),)).sd


@pytest.mark.parametrize("fibres", [(("wolol", 1.0),), (("wool", 0.0),)])
def test_fibres_refused(fibres: tuple[tuple[str, float], ...]) -> None:
    with pytest.raises(QuantityError, match=r"known|share"):
        blend_density(fibres)


def test_fabric_under_weights_has_no_constants() -> None:
    assert munden_of(State.WASHED).state == "wet relaxed"
    assert munden_of(State.RESTED).standing == "from memory"
    with pytest.raises(ValueError, match="on the machine"):
        munden_of(State.ON_MACHINE)


def test_a_firmer_drape_is_a_tighter_loop() -> None:
    soft, middle, firm = (drape_tightness(drape) for drape in Drape)
    assert soft < middle < firm
