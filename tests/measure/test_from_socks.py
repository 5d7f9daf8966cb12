"""An order's finished socks as evidence: what they move, how far, and what they leave alone."""

from __future__ import annotations

from dataclasses import replace

import pytest

from orders import order, swatch
from sockwright.machine import Cylinder
from sockwright.measure.gauge import Gauge
from sockwright.order.model import Fabric, FinishedGiven, ForetoldGiven, Order
from sockwright.plan.make import gauges, make_plan, yarns_of

ORDER = replace(
    order(Cylinder(60, 114.3), Cylinder(72, 114.3)),
    swatches=(swatch(60, 3.3, 2.55, 13.7, cam=14.0),),
)
ROWS = {"heel_rows": 40, "toe_rows": 40, "foot_rounds": 50}
COURSES = 90
"""40 rows are 20 courses a side: 20 + 50 + 20."""


def sock(longer: float = 1.0, wider: float = 1.0, **more: object) -> FinishedGiven:
    """A sock that came out so many times as long and as wide as the swatch lets expect."""
    given = {
        "needles": 60,
        "cam": 14.0,
        "foot_length_mm": COURSES * 2.55 * longer,
        "flat_width_mm": 60 * 3.3 / 2 * wider,
        **ROWS,
    }
    return FinishedGiven("a boot sock", **(given | more))  # type: ignore[arg-type]


def gauge_of(*socks: FinishedGiven, needles: int = 60, asked: Order = ORDER) -> Gauge:
    asked = replace(asked, finished=socks)
    return gauges(asked, yarns_of(asked))(needles)


WITHOUT = gauge_of()


def moved(gauge: Gauge, by: Gauge = WITHOUT) -> float:
    """By what share the course is longer."""
    return gauge.course.value / by.course.value - 1


def test_without_socks_nothing_was_learned() -> None:
    assert WITHOUT.learned is None
    assert gauge_of(sock(1.02, washes=0)).course == WITHOUT.course
    assert gauge_of(FinishedGiven("unmeasured", 60)).course == WITHOUT.course


def test_three_socks_move_the_course_most_of_the_way_and_each_makes_it_surer() -> None:
    """The bias is shrunk toward none while there are few socks."""
    socks = [sock(1.022), sock(1.018), sock(1.026)]
    after = [gauge_of(*socks[:n]) for n in (1, 2, 3)]
    shifts = [moved(one) for one in after]
    assert 0.010 < shifts[0] < shifts[2] < 0.0226
    sds = [one.course.sd for one in after]
    assert sds[0] > sds[1] > sds[2]
    learned = after[2].learned
    assert learned is not None
    assert learned.socks == 3
    assert learned.course.value == pytest.approx(1 + shifts[2])
    assert learned.without[1] == WITHOUT.course
    assert learned.wale.value == pytest.approx(1.0, abs=0.003)


def test_socks_come_in_any_order_and_taking_one_out_undoes_it() -> None:
    a, b = sock(1.03), sock(0.99)
    assert gauge_of(a, b).course.value == pytest.approx(gauge_of(b, a).course.value)
    assert gauge_of(a).course == gauge_of(replace(a), *()).course


def test_a_sock_of_another_cylinder_teaches_less_of_this_one() -> None:
    other = sock(1.03, needles=72, flat_width_mm=None)
    pitch_shift = gauge_of(needles=72).course.value / WITHOUT.course.value
    other = replace(other, foot_length_mm=COURSES * 2.55 * pitch_shift * 1.03)
    assert 0.001 < moved(gauge_of(other)) < moved(gauge_of(sock(1.03)))


def test_a_sock_of_another_yarn_teaches_by_what_was_foretold_of_it() -> None:
    foretold = ForetoldGiven(wale_mm=3.0, course_mm=2.3)
    fine = sock(tex=180.0, foretold=foretold)
    as_told = replace(fine, foot_length_mm=COURSES * 2.3, flat_width_mm=60 * 3.0 / 2)
    longer = replace(as_told, foot_length_mm=COURSES * 2.3 * 1.03)
    assert abs(moved(gauge_of(as_told))) < 0.002
    assert 0.002 < moved(gauge_of(longer)) < moved(gauge_of(sock(1.03)))


def test_a_sock_from_before_the_service_counts_for_less_and_is_told() -> None:
    machine = replace(ORDER.machine, serviced="2026-03-01")
    asked = replace(ORDER, machine=machine)
    before = gauge_of(asked=asked)
    old, new = (gauge_of(sock(1.04, date=day), asked=asked) for day in ("2026-01-01", "2026-05-01"))
    assert moved(old, before) < moved(new, before)
    assert any("service" in note for note in old.notes)
    assert not any("service" in note for note in new.notes)


def test_a_weighed_sock_moves_the_grams_whatever_the_label_says() -> None:
    """All loops times what one weighs: 10 % more than the label lets expect."""
    plan = make_plan(ORDER).first
    loops = plan.dry_run.loops.kept
    use = plan.use["main"].mass.value
    heavy = sock(mass_g=1.1 * use, loops=loops)
    many = make_plan(replace(ORDER, finished=(heavy,) * 3)).first
    assert 1.06 * use < many.use["main"].mass.value < 1.11 * use


def test_a_ribbed_leg_says_nothing_of_plain_fabric() -> None:
    leg = {"leg_rounds": 60, "leg_length_mm": 60 * 2.55 * 1.3, "leg_flat_width_mm": 70.0}
    ribbed = gauge_of(sock(leg_fabric=Fabric.RIB_3X1, **leg))
    assert ribbed.course == gauge_of(sock()).course
    assert gauge_of(sock(**leg)).course != gauge_of(sock()).course


def test_an_odd_sock_is_asked_about_and_counts_once_it_is_confirmed() -> None:
    usual = [sock(1.0 + n / 1000) for n in range(4)]
    odd = gauge_of(*usual, sock(1.2))
    assert any("a boot sock" in note for note in odd.notes)
    confirmed = gauge_of(*usual, sock(1.2, confirmed=True))
    assert not any("a boot sock" in note for note in confirmed.notes)
    assert moved(odd) < moved(confirmed)


@pytest.mark.parametrize("name", ["wale", "course", "loop", "tightness", "loop_mass", "areal_mass"])
def test_the_parts_of_a_learned_number_add_up(name: str) -> None:
    number = getattr(gauge_of(sock(1.02, mass_g=36.0, loops=9800), sock(1.01)), name)
    assert number.how is not None
    assert sum(part.share for part in number.how.take()) == pytest.approx(1.0, abs=0.01)
