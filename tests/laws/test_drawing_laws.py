"""What holds of drawings for any ring of needles, any machine, any sock."""

from math import cos, hypot, pi, radians, sin

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from amounts import amount
from builders import knit, size, sock
from drawing_reading import number_boxes, overlapping, placed, root_of
from orders import random_orders
from sockwright.drawing.base.geometry import distance, hatch, inside
from sockwright.drawing.base.places import PlacedMark, place_marks, usual_limits
from sockwright.drawing.base.signs import Entry, lay_key, no_symbol
from sockwright.drawing.base.svg import number
from sockwright.drawing.base.theme import contrast, text_width, wrap, wrap_close
from sockwright.drawing.chart.pages import chart_svgs
from sockwright.drawing.chart.rows import cell_spans, chart_of
from sockwright.drawing.cylinder.marking import strip_svgs
from sockwright.drawing.cylinder.picture import cylinder_svg, spans
from sockwright.drawing.cylinder.view import CylinderView, Needle
from sockwright.drawing.sock.picture import profile_of, sock_svg
from sockwright.errors import SockwrightError
from sockwright.machine import Cylinder, Direction, Machine, Turning, hours_apart
from sockwright.needlebed.loops import LoopKind
from sockwright.order.model import Order
from sockwright.plan.make import make_plan
from sockwright.steps import Way

NEEDLES = st.integers(24, 200)
HEX = st.builds(str.format, st.sampled_from(["#{:06x}", "#{:06X}"]), st.integers(0, 0xFFFFFF))
MACHINE = Machine("bench", Turning.CARRIER, (Cylinder(60),))


@st.composite
def views(draw: st.DrawFn) -> CylinderView:
    """Any ring, with needles in any state and the carrier at any gap."""
    needles = draw(NEEDLES)
    half = needles // 2
    raised = draw(st.integers(1, (half - 4) // 2))
    return CylinderView(
        states=tuple(draw(st.lists(st.sampled_from(Needle), min_size=needles, max_size=needles))),
        heel_needles=half,
        gap=draw(st.integers(0, needles - 1)),
        way=draw(st.sampled_from([None, *Way])),
        turning=draw(st.sampled_from(Turning)),
        forward=draw(st.sampled_from(Direction)),
        home_hour=draw(st.floats(0, 11.99)),
        marks=place_marks(MACHINE, needles, usual_limits(needles, half - 2 * raised)),
        now=tuple(sorted(draw(st.sets(st.integers(1, needles), max_size=5)))),
    )


@given(views(), st.floats(55, 240))
@settings(max_examples=amount(10, 240))
def test_any_view_can_be_drawn(view: CylinderView, size: float) -> None:
    svg = cylinder_svg(view, size)
    root_of(svg)
    assert svg == cylinder_svg(view, size)
    ring = cylinder_svg(view, size, key=False)
    assert overlapping(number_boxes(ring)) == []
    for one in placed(ring, "line"):
        assert hypot(*(one.number(f"{axis}2") - size / 2 for axis in "xy")) < size / 2


@given(views())
def test_places_go_once_round_in_the_machines_sense(view: CylinderView) -> None:
    step = view.sense * 12 / view.needles
    for needle in range(1, view.needles):
        ahead = (view.hour(needle + 1) - view.hour(needle) - step) % 12
        assert min(ahead, 12 - ahead) < 1e-9
    assert hours_apart(view.hour(0.5), view.home_hour) < 1e-9
    assert hours_apart(view.hour(view.needles + 0.5), view.home_hour) < 1e-9


@given(st.data(), NEEDLES)
def test_limits_keep_their_needles_in_the_middle_of_each_half(
    data: st.DataObject, needles: int
) -> None:
    half = needles // 2
    kept = half - 2 * data.draw(st.integers(1, (half - 1) // 2))
    limits = {role: (low, high) for role, low, high in usual_limits(needles, kept)}
    for role, first in (("heel limits", 1), ("instep limits", half + 1)):
        low, high = limits[role]
        assert high - low - 1 == kept
        assert low - first == first + half - 1 - high


@given(
    st.data(),
    NEEDLES,
    st.floats(40, 200),
    st.sampled_from(Direction),
    st.floats(40, 400),
)
@settings(max_examples=amount(10, 240))
def test_a_strip_goes_once_round_any_needle_circle(
    data: st.DataObject, needles: int, diameter: float, forward: Direction, longest: float
) -> None:
    marks: tuple[PlacedMark, ...] = place_marks(MACHINE, needles, ())
    tiles = strip_svgs(needles, diameter, marks, forward, longest)
    assert tiles[-1].end_mm == pytest.approx(pi * diameter)
    assert all(tile.width_mm <= longest + 1e-6 for tile in tiles)
    pitch = pi * diameter / needles
    for tile in tiles:
        # Every piece ends in a gap.
        assert tile.end_mm / pitch == pytest.approx(round(tile.end_mm / pitch), abs=1e-6)
        assert tile.end_mm > tile.start_mm


@given(st.data())
def test_cells_of_a_course_never_overlap(data: st.DataObject) -> None:
    """Cylinder needles stay in their columns, dial loops over idle ones next to them."""
    needles = data.draw(st.integers(24, 60))
    idle = data.draw(st.sets(st.integers(1, needles // 3), max_size=needles // 3))
    out = {3 * place - 1 for place in idle}
    dial = tuple(float(place) for place in sorted(out))
    slots = [n for n in range(needles) if n + 1 not in out] + [
        needles + d for d in range(len(dial))
    ]
    kinds = [LoopKind.KNIT if slot < needles else LoopKind.PURL for slot in slots]
    found = sorted(cell_spans(slots, kinds, needles, dial))
    assert found == [(float(n), n + 1.0) for n in range(needles)]


@given(
    st.integers(24, 110),
    st.tuples(st.floats(70, 400), st.floats(110, 400)),
    st.tuples(st.floats(1.0, 4.0), st.floats(1.0, 4.0)),
)
@settings(max_examples=amount(8, 200))
def test_pages_show_every_cell(
    needles: int, page: tuple[float, float], cell: tuple[float, float]
) -> None:
    chart = chart_of(knit(size(needles, sock())).run.loops)
    book = chart_svgs(chart, page, cell)
    shown = {
        (needle, course)
        for one in book.pages
        for needle in (one.needles[0], one.needles[1])
        for course in (one.courses[0], one.courses[1])
    }
    assert (1, 1) in shown
    assert (chart.needles, chart.courses) in shown
    area = sum(
        (one.needles[1] - one.needles[0] + 1) * (one.courses[1] - one.courses[0] + 1)
        for one in book.pages
    )
    assert area >= chart.needles * chart.courses


@pytest.mark.parametrize("order", random_orders(7000, 25), ids=lambda order: order.title)
def test_any_sock_is_drawn_true_to_scale(order: Order) -> None:
    try:
        plan = make_plan(order).first
    except SockwrightError:
        pytest.skip("this random order cannot be made")
    profile = profile_of(plan)
    length = profile.tip - min(x for x, _ in profile.heel.edge())
    assert length == pytest.approx(plan.fabric.foot_length.value, abs=plan.gauge.course.value)
    parts = sum(area(one) for one in profile.areas.values())
    assert parts == pytest.approx(area(profile.outline), rel=0.01)
    svg = sock_svg(plan)
    root_of(svg)
    assert svg == sock_svg(plan)
    assert "nan" not in svg


def area(points: tuple[tuple[float, float], ...]) -> float:
    """Area of a closed outline, mm2 (shoelace formula)."""
    pairs = zip(points, (*points[1:], points[0]), strict=True)
    return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in pairs)) / 2


POINTS = st.tuples(st.floats(-50, 50), st.floats(-50, 50))


@given(POINTS, st.floats(5, 40), st.integers(3, 40), st.floats(-90, 90))
def test_hatching_stays_within_and_fills_evenly(
    centre: tuple[float, float], radius: float, corners: int, slope: float
) -> None:
    outline = tuple(
        (
            centre[0] + radius * cos(2 * pi * n / corners + 0.1),
            centre[1] + radius * sin(2 * pi * n / corners + 0.1),
        )
        for n in range(corners)
    )
    apart = radius / 40
    lines = list(hatch(outline, slope, apart))
    area = corners / 2 * radius**2 * sin(2 * pi / corners)
    assert sum(distance(*one) for one in lines) * apart == pytest.approx(area, rel=0.08)
    for a, b in lines:
        for end in (a, b):
            assert distance(end, centre) <= radius + 1e-6
        along = (cos(radians(slope)), -sin(radians(slope)))
        across = (b[0] - a[0]) * along[1] - (b[1] - a[1]) * along[0]
        assert across == pytest.approx(0, abs=1e-6)


@given(POINTS, POINTS)
def test_the_parts_of_a_line_within_a_square_are_no_longer_than_it(
    a: tuple[float, float], b: tuple[float, float]
) -> None:
    if distance(a, b) < 1e-3:
        return
    square = ((-20.0, -20.0), (20.0, -20.0), (20.0, 20.0), (-20.0, 20.0))
    parts = list(inside((a, b), square))
    assert len(parts) <= 1
    for part in parts:
        assert distance(*part) <= distance(a, b) + 1e-6
        assert all(abs(x) <= 20 + 1e-6 and abs(y) <= 20 + 1e-6 for x, y in part)


@given(st.floats(-1e6, 1e6))
def test_numbers_are_read_back_to_a_thousandth(value: float) -> None:
    assert float(number(value)) == pytest.approx(value, abs=0.0006)
    assert "e" not in number(value)


@given(HEX, HEX)
def test_contrast_is_the_same_both_ways(one: str, other: str) -> None:
    assert contrast(one, other) == contrast(other, one)
    assert 1 <= contrast(one, other) <= 21.0001


@given(st.sets(st.integers(1, 200), min_size=1))
def test_runs_of_needles_name_each_once(numbers: set[int]) -> None:
    said: list[int] = []
    for run in spans(tuple(sorted(numbers))).split(", "):
        low, _, high = run.partition("–")
        said += range(int(low), int(high or low) + 1)
    assert said == sorted(numbers)


WORDS = st.lists(st.text("abcdemnopw", min_size=1, max_size=9), min_size=1, max_size=9)


@given(WORDS, st.floats(20, 90))
def test_wrapping_loses_no_word(words: list[str], width: float) -> None:
    lines = wrap(" ".join(words), 3, width)
    assert " ".join(lines).split() == words
    for line in lines:
        assert text_width(line, 3) <= width or " " not in line


@given(WORDS, st.floats(9, 90))
def test_breaking_long_words_loses_no_sign_and_no_line_is_too_wide(
    words: list[str], width: float
) -> None:
    lines = wrap_close(" ".join(words), 3, width)
    assert "".join(lines).replace(" ", "").replace("-", "") == "".join(words)
    assert all(text_width(line, 3) <= width + 1e-9 for line in lines)
    if max(text_width(word, 3) for word in words) <= width:
        assert lines == wrap(" ".join(words), 3, width)


@given(st.lists(WORDS, min_size=1, max_size=12), st.floats(60, 200))
def test_a_key_has_a_place_for_every_line(texts: list[list[str]], width: float) -> None:
    entries = [Entry(no_symbol, " ".join(words)) for words in texts]
    key = lay_key(entries, width, 2.8)
    assert [row[0] for row in key.rows] == entries
    ends = [(row[2], row[3] + len(row[1]) * 1.4 * 2.8) for row in key.rows]
    assert max(end for _, end in ends) == pytest.approx(key.height)
    assert all(0 <= left < width for left, _ in ends)
