"""The drawing of a sock: true to scale, with the dimensions of its plan."""

from dataclasses import replace
from functools import cache
from math import atan, degrees, pi

import pytest

from drawing_reading import (
    NAMES,
    example_plan,
    path_points,
    placed,
    root_of,
    size_mm,
    texts,
)
from orders import as_tube
from sockwright.drawing.base.geometry import bounds, crossing, distance, hatch, inside
from sockwright.drawing.base.signs import Dimension
from sockwright.drawing.base.theme import Theme
from sockwright.drawing.sock.picture import profile_of, sock_svg
from sockwright.drawing.sock.profile import Profile
from sockwright.machine import DialKind
from sockwright.order.model import (
    Closing,
    CuffGiven,
    CuffKind,
    CupGiven,
    HeelGiven,
    HeelKind,
    LegGiven,
    RibEnd,
    ToeGiven,
    Widening,
)
from sockwright.plan.make import SockPlan, make_plan
from sockwright.quantities import format_pm
from sockwright.sock.cup import Cup

VARIANTS: dict[str, dict[str, object]] = {
    "a very low sock": {"leg": LegGiven(rounds=4), "cuff": CuffGiven(CuffKind.ROLLED_EDGE)},
    "a low sock": {"leg": LegGiven(rounds=18), "cuff": CuffGiven(CuffKind.PICOT_HEM)},
    "a gathered toe": {"toe": ToeGiven(closing=Closing.GATHER)},
    "shallow cups": {"heel": HeelGiven(cup=CupGiven(kept=20))},
    "deep cups": {"heel": HeelGiven(cup=CupGiven(kept=4))},
    "corners kept closed": {"heel": HeelGiven(cup=CupGiven(kept=10, first_raise=2))},
    "an afterthought heel": {"heel": HeelGiven(kind=HeelKind.AFTERTHOUGHT)},
    "two wedges": {"heel": HeelGiven(deep_kept=18, wedge_rounds=3)},
    "a tube": {"heel": HeelGiven(kind=HeelKind.NONE)},
    "a ribbed tube": {
        "heel": HeelGiven(kind=HeelKind.NONE),
        "cuff": CuffGiven(CuffKind.TRUE_RIB, rib=(1, 1), rib_to=RibEnd.INSTEP),
        "toe": ToeGiven(closing=Closing.GATHER),
    },
    "a ribbed leg": {"cuff": CuffGiven(CuffKind.TRUE_RIB, rib=(1, 1), rib_to=RibEnd.LEG)},
    "a tall shaped leg": {"leg": LegGiven(height_mm=400, shaped=True)},
}


@cache
def variant(name: str) -> SockPlan:
    """The winch operator's plan with another sock, on a bench with full dials."""
    order = example_plan("winch-operator").order
    cylinders = tuple(replace(one, dial=DialKind.FULL) for one in order.machine.cylinders)
    machine = replace(order.machine, cylinders=cylinders)
    return make_plan(
        replace(order, machine=machine, sock=replace(order.sock, **VARIANTS[name]))
    ).first


PLANS = [*NAMES, *VARIANTS]


def plan_of(name: str) -> SockPlan:
    """An example's plan or a variant's."""
    return example_plan(name) if name in NAMES else variant(name)


def area(points: tuple[tuple[float, float], ...]) -> float:
    """Area of a closed outline, mm2 (shoelace formula)."""
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


@pytest.mark.parametrize("name", PLANS)
def test_the_outline_is_as_long_as_the_foot(name: str) -> None:
    """From the rearmost point of the heel to the tip: the length that the loops measure; of a tube
    from top to toe."""
    plan = plan_of(name)
    profile = profile_of(plan)
    left, _, _, bottom = bounds(profile.outline)
    sole_tip = profile.tip
    assert bottom == pytest.approx(0, abs=1e-6)
    fabric = plan.fabric
    length = fabric.tube_length if profile.straight else fabric.foot_length
    assert sole_tip - left == pytest.approx(length.value, abs=0.5 * plan.gauge.course.value)


@pytest.mark.parametrize("name", PLANS)
def test_the_back_is_as_high_as_the_leg(name: str) -> None:
    """From under the heel along the leg to the top: the height that the loops measure."""
    plan = plan_of(name)
    profile = profile_of(plan)
    up = profile.leg.tube.up
    along = [x * up[0] + y * up[1] for x, y in (*profile.heel.edge(), profile.leg.back[-1])]
    drawn = along[-1] - min(along)
    height = plan.fabric.leg_length.value - plan.sizing.heel.corner.value
    # True ribs begin with edge rounds that add no height; stitch-cam shaping is averaged.
    assert drawn == pytest.approx(height, rel=0.03)


@pytest.mark.parametrize("name", PLANS)
def test_tubes_are_as_wide_as_half_their_girth(name: str) -> None:
    plan = plan_of(name)
    profile = profile_of(plan)
    width = plan.sizing.needles * plan.gauge.wale.value / 2
    foot = [y for x, y in profile.areas["foot"] if x > 0]
    assert max(foot) - min(foot) == pytest.approx(width)
    opening = distance(profile.leg.back[-1], profile.leg.front[0])
    assert opening == pytest.approx(plan.top.girth.value / 2, rel=0.02)


def test_a_rib_draws_the_top_in_by_as_much_as_its_fabric_is_narrower() -> None:
    plan = plan_of("a ribbed leg")
    leg = profile_of(plan).leg.tube
    against = plan.gauge.of(plan.top.fabric).wale.value / plan.gauge.wale.value
    assert against < 0.9
    assert leg.width_at(leg.height) / leg.width_at(0.0) == pytest.approx(against, rel=0.01)
    assert leg.width_at(leg.leg / 2) < leg.width_at(0.0)


@pytest.mark.parametrize("name", PLANS)
def test_the_parts_cover_the_sock_once(name: str) -> None:
    profile = profile_of(plan_of(name))
    parts = sum(area(one) for one in profile.areas.values())
    assert parts == pytest.approx(area(profile.outline), rel=0.005)


@pytest.mark.parametrize("name", PLANS)
def test_lines_stay_within_the_outline(name: str) -> None:
    profile = profile_of(plan_of(name))
    for a, b in (*profile.courses, *profile.gores, *profile.folds, *profile.gathers):
        whole = distance(a, b)
        drawn = sum(distance(*part) for part in inside((a, b), profile.outline))
        assert drawn >= 0.97 * whole - 0.3


def test_a_cup_turns_a_hundred_and_eleven_degrees_at_an_everyday_gauge() -> None:
    """At 8 wales and 11 courses an inch a cup that raises a needle a row turns the tube by
    2 x atan(2 x 8 / 11) = 111 degrees (flat geometry of the cup)."""
    for cup in (Cup(30, 10), Cup(42, 14), Cup(36, 12)):
        assert degrees(cup.turn(25.4 / 8, 25.4 / 11)) == pytest.approx(111, abs=0.5)
        assert cup.turn(25.4 / 8, 25.4 / 11) == pytest.approx(2 * atan(2 * 8 / 11))


def test_two_needles_raised_at_once_turn_less() -> None:
    one, two = Cup(30, 10), Cup(30, 10, Widening.WRAPPED_NEAR, 2)
    assert two.turn(3.2, 2.4) < one.turn(3.2, 2.4)


@pytest.mark.parametrize("name", ["winch-operator", "night-dispatcher", "a tall shaped leg"])
def test_the_cup_is_drawn_with_its_own_turn_where_the_leg_is_tall(name: str) -> None:
    plan = plan_of(name)
    own = plan.sizing.heel.turn(plan.gauge.wale.value, plan.gauge.course.value)
    assert profile_of(plan).heel.turn == pytest.approx(own)


def test_a_low_sock_is_drawn_upright() -> None:
    low = profile_of(plan_of("a very low sock"))
    assert low.leg.low
    assert low.heel.turn == pytest.approx(pi / 2)


def gore_and_fold(profile: Profile) -> list[float]:
    """The share of each cup's depth that its gore takes."""
    pairs = zip(profile.gores, profile.folds, strict=True)
    return [distance(*gore) / (distance(*gore) + distance(*fold)) for gore, fold in pairs]


def test_gores_reach_as_deep_as_needles_are_raised() -> None:
    plan = plan_of("night-dispatcher")
    heel, toe = plan.sizing.heel, plan.sizing.toe.cup
    assert heel.deep is not None
    assert toe is not None
    cups = (heel.deep, heel.cup, toe)
    expected = [cup.raised / cup.needles for cup in cups]
    assert gore_and_fold(profile_of(plan)) == pytest.approx(expected)


@pytest.mark.parametrize("scale", [1.0, 2.0, 3.0])
def test_a_millimetre_of_paper_is_a_scale_of_fabric(scale: float) -> None:
    plan = example_plan("winch-operator")
    svg = sock_svg(plan, scale=scale)
    outline = max(
        (
            path_points(one)
            for one in placed(svg, "path")
            if one.element.get("stroke-width") == "0.5"
        ),
        key=len,
    )
    left, _, right, _ = bounds(outline)
    assert (right - left) * scale == pytest.approx(plan.fabric.foot_length.value, abs=1.0)
    assert f"5 cm · drawn 1 : {scale:g}" in texts(svg)
    bar = [
        one.number("width")
        for one in placed(svg, "rect")
        if one.element.get("fill") == Theme.PRINT.ink
    ]
    assert bar == [pytest.approx(50 / scale, abs=0.001)]


def test_without_a_scale_the_drawing_keeps_within_its_room() -> None:
    for name in PLANS:
        for room in ((180.0, 190.0), (110.0, 150.0)):
            width, height = size_mm(sock_svg(plan_of(name), room_mm=room))
            assert width <= room[0]
            assert height <= room[1]


@pytest.mark.parametrize("name", NAMES)
def test_the_dimensions_are_those_of_the_plan(name: str) -> None:
    plan = example_plan(name)
    said = texts(sock_svg(plan))
    units = plan.order.units
    assert f"foot length {format_pm(plan.fabric.foot_length, units)!s}" in said
    assert f"height {format_pm(plan.fabric.leg_length, units)!s}" in said
    whole = " ".join(said)
    assert f"{plan.sizing.foot_rounds} rounds" in whole
    assert f"{plan.sizing.leg_rounds} rounds" in whole
    assert f"{plan.sizing.heel.cup.kept} of {plan.sizing.heel_needles} stay" in whole
    if units == "in":
        assert not any(one.endswith(" cm") for one in said)


def test_a_tube_is_drawn_straight_and_tells_where_it_turns() -> None:
    plan = plan_of("a tube")
    said = texts(sock_svg(plan))
    fabric, units = plan.fabric, plan.order.units
    assert f"from top to toe {format_pm(fabric.tube_length, units)!s}" in said
    whole = " ".join(said)
    for length in (fabric.foot_length, fabric.leg_length):
        assert format_pm(length, units) in whole
    profile = profile_of(plan)
    assert ((0.0, 0.0), (0.0, -profile.width)) in profile.folds
    assert "heel" not in said


def test_a_yarn_of_the_heel_that_a_tube_has_not_is_not_drawn() -> None:
    order = example_plan("avalanche-forecaster").order
    tube = sock_svg(make_plan(as_tube(order)).first)
    assert not [one for one in root_of(tube).iter() if "fill-opacity" in one.attrib]


def test_counts_without_room_go_into_the_key() -> None:
    plan = plan_of("a very low sock")
    said = texts(sock_svg(plan))
    assert f"leg: {plan.sizing.leg_rounds} rounds" in said


def test_a_heel_in_its_own_yarn_is_hatched_and_named() -> None:
    plan = example_plan("avalanche-forecaster")
    assert "heel: heel yarn with more nylon" in " ".join(texts(sock_svg(plan)))
    washed = [one for one in root_of(sock_svg(plan)).iter() if "fill-opacity" in one.attrib]
    assert len(washed) == 2  # the heel and its sample
    plain = root_of(sock_svg(example_plan("winch-operator"))).iter()
    assert not [one for one in plain if "fill-opacity" in one.attrib]


def test_everything_lies_on_the_paper() -> None:
    for name in PLANS:
        svg = sock_svg(plan_of(name))
        width, height = size_mm(svg)
        for one in placed(svg, "text"):
            x, y = one.at
            assert 0 < x < width
            assert 0 < y < height
        for one in placed(svg, "line"):
            for end in ("1", "2"):
                assert -0.1 <= one.number(f"x{end}") + one.dx <= width + 0.1
                assert -0.1 <= one.number(f"y{end}") + one.dy <= height + 0.1


def test_a_dimension_measures_what_it_spans() -> None:
    drawn = Dimension((10, 20), (70, 20), 5, ("60 mm",)).svg(Theme.PRINT)
    ends = [
        (float(one.attrib["x1"]), float(one.attrib["y1"])) for one in root_of(drawn).iter("line")
    ]
    assert {x for x, _ in ends[:2]} == {10.0, 70.0}
    # The way goes to the right, so its left is above: y grows downwards.
    assert min(y for _, y in ends) == pytest.approx(20 - 5)
    tips = [path_points_of(one.attrib["d"])[0] for one in root_of(drawn).iter("path")]
    assert tips == [(10, 15), (70, 15)]


def path_points_of(data: str) -> list[tuple[float, float]]:
    """Points of path data of M and L."""
    return [tuple(map(float, pair.split())) for pair in data[1:].rstrip("z").split("L")]  # type: ignore[misc]


@pytest.mark.parametrize(
    ("b", "turned"), [((10, -50), -90), ((10, 70), -90), ((-60, 10), None), ((60, 10), None)]
)
def test_a_value_is_read_from_below_or_from_the_right(
    b: tuple[float, float], turned: float | None
) -> None:
    drawn = Dimension((10, 10), b, 5, ("a", "b")).svg(Theme.PRINT)
    for one in root_of(drawn).iter("text"):
        turn = one.get("transform")
        assert (turn is None) if turned is None else turn.startswith(f"rotate({turned} ")


def test_hatching_fills_a_square() -> None:
    square = ((0.0, 0.5), (10.0, 0.5), (10.0, 10.5), (0.0, 10.5))
    lines = list(hatch(square, 0, 1))
    assert len(lines) == 10
    assert all(distance(*one) == pytest.approx(10) for one in lines)
    total = sum(distance(*one) for one in hatch(square, 45, 0.1))
    assert total == pytest.approx(100 / 0.1, rel=0.01)


def test_two_segments_cross_where_they_do() -> None:
    assert crossing(((0, 0), (4, 0)), ((1, -1), (1, 3))) == pytest.approx((0.25, 0.25))
    assert crossing(((0, 0), (1, 0)), ((0, 1), (1, 1))) is None
