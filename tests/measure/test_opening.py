"""How far fabric opens in a firm pull: the model, its bounds, and what pulls make of it."""

from __future__ import annotations

from dataclasses import replace
from math import exp

import pytest

from builders import spun
from sockwright.estimates import Derivation, Estimate
from sockwright.machine import Cylinder, Machine, Turning
from sockwright.measure.gauge import Gauge, estimate_gauge
from sockwright.measure.opening import (
    Knit,
    Pulled,
    expected_opening,
    firm_pulls,
    least_opening,
    with_pulls,
)
from sockwright.measure.yarn import diameter_mm, yarn_from
from sockwright.order.model import Count, Drape, Pull, State, Stretch, SwatchGiven, YarnGiven

MACHINE = Machine("", Turning.CARRIER, (Cylinder(60, 108.0), Cylinder(72, 108.0)))
SWATCH = SwatchGiven(
    "grey", State.WASHED, 60, wales=(Count(30, 100),) * 3, courses=(Count(42, 100),) * 3
)


def knit(
    loop: float = 13.13,
    loop_sd: float = 0.05,
    wale: float = 3.3333,
    tex: float = 238.1,
    density: float = 1.2633,
    pitch: float = 5.6549,
    cotton: float = 0.0,
    *,
    felted: bool = False,
) -> Knit:
    """The everyday sock of the worked numbers: 60 needles on 108 mm, 100 g / 420 m."""
    return Knit(
        Estimate(loop, loop_sd * loop, "mm"),
        Estimate(wale, 0.0, "mm"),
        Estimate(diameter_mm(tex, density), 0.0, "mm"),
        Estimate(pitch, 0.0, "mm"),
        cotton,
        felted,
    )


def opens(of: Knit) -> float:
    return exp(expected_opening(of)[0])


def test_the_worked_sock() -> None:
    """Peirce's bound (13.13 - 9.94 x 0.610) / 3.333 = 2.121; the ring 5.655 / 3.333 = 1.696."""
    everyday = knit()
    assert everyday.bound.value == pytest.approx(2.121, abs=0.002)
    assert everyday.ring == pytest.approx(1.696, abs=0.001)
    assert opens(everyday) == pytest.approx(1.811, abs=0.001)
    assert expected_opening(everyday)[1] == pytest.approx(0.07)


def test_a_measured_loop_counts_for_more() -> None:
    longer = knit(13.40, 0.015)
    assert longer.bound.value == pytest.approx(2.202, abs=0.002)
    assert opens(longer) == pytest.approx(1.870, abs=0.001)


def test_cotton_gives_less() -> None:
    """80 % cotton; the loop estimated as sqrt(4.1 w x 5.3 h), w 2.381 and h 1.852 mm."""
    loop = (4.1 * 2.381 * 5.3 * 1.852) ** 0.5
    assert opens(knit(loop, 0.05, 2.381, 181.8, 1.4261, 3.5908, 0.8)) == pytest.approx(
        1.571, abs=0.001
    )


def test_it_never_opens_beyond_its_bounds_nor_less_than_it_hung() -> None:
    """Nine tenths of the ring at least, of the larger bound at most."""
    assert opens(knit(wale=2.6)) >= 0.9 * 5.6549 / 2.6 - 1e-9
    jammed = knit(8.0, 0.01, pitch=4.2)
    assert opens(jammed) <= 0.9 * max(jammed.bound.value * 1.1, jammed.ring) + 1e-9
    assert opens(knit(6.0, 0.01, pitch=3.0)) >= 1.0


def test_felted_fabric_opens_less_and_is_less_sure() -> None:
    felted = knit(felted=True)
    assert opens(felted) == pytest.approx(0.85 * opens(knit()))
    assert expected_opening(felted)[1] == pytest.approx(0.12)


def pulled(*ratios: float, pull: Pull | None = Pull.FIRM, **more: object) -> SwatchGiven:
    """A swatch of which pieces of a metre were pulled so far: ruler errors vanish."""
    stretch = tuple(Stretch(1000.0, 1000.0 * ratio, pull) for ratio in ratios)
    return replace(SWATCH, stretch=stretch, ruler_mm=0.1, **more)  # type: ignore[arg-type]


def test_a_firm_pull_of_1_70_moves_1_811_to_1_727() -> None:
    """Weights 1 / 0.07^2 and 1 / 0.04^2: 1.727 +- 3.5 %, however many pieces one hand pulled."""
    expected = Estimate(1.811, 0.07 * 1.811, "1")
    from sockwright.measure.opening import OPENING

    named = expected.called(Derivation(*OPENING, ""))
    for pieces in ((1.70,), (1.70, 1.70, 1.70)):
        swatch = pulled(*pieces)
        seen = firm_pulls([swatch], [])
        assert isinstance(seen, Pulled)
        after = with_pulls(named, seen, [swatch])
        assert after.value == pytest.approx(1.727, abs=0.001)
        assert after.sd / after.value == pytest.approx(0.0347, abs=0.0003)
        assert after.how is not None
        assert sum(part.share for part in after.how.take()) == pytest.approx(1.0, abs=0.001)


def gauge(*swatches: SwatchGiven) -> Gauge:
    yarn = spun(Estimate(238.1, 2.0, "tex"), 1.2633)
    return estimate_gauge(swatches, yarn, MACHINE, 60, Drape.MIDDLE)


def test_a_gentle_or_unsaid_pull_only_raises_what_is_expected() -> None:
    plain = gauge(SWATCH).open_ratio.value
    for pull in (Pull.GENTLE, None):
        assert gauge(pulled(1.5, pull=pull)).open_ratio.value == pytest.approx(plain, rel=1e-3)
        assert gauge(pulled(2.1, pull=pull)).open_ratio.value == pytest.approx(2.1)
    assert least_opening([SWATCH]) is None


def test_pulls_on_the_machine_do_not_count_and_rested_ones_are_brought_to_washed() -> None:
    """Washing narrows what was relaxed by 7.3 %: the same opening is 1 / 0.927 times that."""
    hung = gauge(pulled(2.6, state=State.ON_MACHINE))
    assert hung.open_ratio.value == pytest.approx(gauge().open_ratio.value, rel=0.01)
    assert any("on the machine" in note for note in hung.notes)
    seen = firm_pulls([pulled(1.5, state=State.RESTED)], [])
    assert seen is not None
    assert exp(seen.mean[0]) == pytest.approx(1.5 / 0.927, abs=0.002)


def test_a_pull_of_another_cylinder_counts_less_than_ones_own() -> None:
    other = pulled(1.5, needles=72)
    own = pulled(1.7)
    only = gauge(SWATCH, other).open_ratio
    both = gauge(own, other).open_ratio
    assert 1.5 < only.value < both.value
    assert only.sd / only.value > both.sd / both.value
    assert both.value == pytest.approx(gauge(own).open_ratio.value, rel=0.002)


def test_the_share_of_cotton_comes_from_the_fibres() -> None:
    given = YarnGiven("main", "", 250.0, fibres=(("cotton", 0.4), ("wool", 0.4), ("nylon", 0.2)))
    assert yarn_from(given).cotton == pytest.approx(0.4)
