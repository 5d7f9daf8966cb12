"""The picture of the cylinder: needles, numbers, carrier, marks, and where they stand."""

from collections import Counter
from dataclasses import replace
from itertools import pairwise
from math import atan2, degrees, hypot

import pytest

from drawing_reading import example_plan, number_boxes, overlapping, placed, size_mm, texts
from sockwright import steps as op
from sockwright.drawing.base.geometry import clockwise
from sockwright.drawing.base.places import limits_of_program, place_marks, usual_limits
from sockwright.drawing.base.theme import Theme, text_width
from sockwright.drawing.cylinder.needles import lay_tracks
from sockwright.drawing.cylinder.picture import cylinder_svg, ring_labels, spans
from sockwright.drawing.cylinder.small import small_cylinder_svg, small_key_svg
from sockwright.drawing.cylinder.view import CylinderView, Needle, view_at
from sockwright.i18n import ENGLISH
from sockwright.machine import (
    Cylinder,
    Direction,
    HeelHalf,
    Landmark,
    Machine,
    Turning,
    hours_apart,
)
from sockwright.needlebed.execute import execute

COUNTS = (24, 36, 54, 60, 61, 84, 100, 143, 200)
SIZES = (62.0, 90.0, 180.0)


def machine(**changes: object) -> Machine:
    """The rescue station's bench machine, with changes."""
    return replace(Machine("bench", Turning.CARRIER, (Cylinder(60),)), **changes)


def view_of(needles: int, **changes: object) -> CylinderView:
    """A ring with the instep half raised and every tenth needle out."""
    half = needles // 2
    states = [Needle.WORKING] * half + [Needle.RAISED] * (needles - half)
    states[9::10] = [Needle.OUT] * len(states[9::10])
    view = CylinderView(
        states=tuple(states),
        heel_needles=half,
        gap=half,
        way=op.Way.REVERSE,
        turning=Turning.CARRIER,
        forward=Direction.ANTICLOCKWISE,
        home_hour=9.0,
        marks=place_marks(machine(), needles, usual_limits(needles, half - 2 * (half // 3))),
    )
    return replace(view, **changes)


def needle_strokes(view: CylinderView, size: float) -> list[tuple[float, float, float]]:
    """(inner radius, outer radius, clockwise degrees from twelve) of every needle stroke, hollow
    ones once."""
    centre = size / 2
    found = []
    for one in placed(cylinder_svg(view, size, key=False), "line"):
        if one.element.get("stroke") not in (Theme.PRINT.ink, Theme.PRINT.act):
            continue
        ends = [(one.number(f"x{n}") - centre, one.number(f"y{n}") - centre) for n in (1, 2)]
        radii = sorted(hypot(*end) for end in ends)
        x, y = ends[1]
        found.append((radii[0], radii[1], degrees(atan2(x, -y)) % 360))
    return found


@pytest.mark.parametrize("needles", COUNTS)
def test_every_needle_is_drawn_once_at_its_place(needles: int) -> None:
    view = view_of(needles)
    strokes = needle_strokes(view, 90)
    in_slots = [n for n, state in enumerate(view.states, 1) if state is not Needle.OUT]
    assert len(strokes) == len(in_slots)
    for needle, (__, __, angle) in zip(in_slots, strokes, strict=True):
        # Anticlockwise from nine o'clock, half a pitch for the home gap.
        expected = (270 - 360 * (needle - 0.5) / needles) % 360
        assert angle == pytest.approx(expected, abs=0.01)


def test_raised_needles_stand_further_out_and_are_hollow() -> None:
    view = view_of(60)
    strokes = needle_strokes(view, 90)
    states = [state for state in view.states if state is not Needle.OUT]
    outer = {
        state: {round(r, 2) for s, (_, r, _) in zip(states, strokes, strict=True) if s is state}
        for state in set(states)
    }
    assert len(outer[Needle.RAISED]) == len(outer[Needle.WORKING]) == 1
    assert max(outer[Needle.WORKING]) < min(outer[Needle.RAISED]) - 1
    svg = cylinder_svg(view, 90, key=False)
    cores = [one for one in placed(svg, "line") if one.element.get("stroke") == Theme.PRINT.paper]
    assert len(cores) == view.states.count(Needle.RAISED)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("needles", COUNTS)
@pytest.mark.parametrize("turning", Turning)
def test_needle_numbers_never_touch(needles: int, size: float, turning: Turning) -> None:
    svg = cylinder_svg(view_of(needles, turning=turning), size, key=False)
    assert overlapping(number_boxes(svg)) == []
    counts = Counter(texts(svg))
    assert counts["1"] == 2  # needle 1 and one o'clock
    numbered = [int(n) for n in counts if n.isdigit() and int(n) > 12]
    steps = {b - a for a, b in pairwise(sorted(numbered))}
    assert steps <= {5, 10}


@pytest.mark.parametrize(
    ("needles", "home", "forward", "size"),
    [
        (111, 0.65, Direction.ANTICLOCKWISE, 110.0),
        (116, 1.0, Direction.CLOCKWISE, 205.13),
        (126, 0.0, Direction.CLOCKWISE, 150.0),
        (191, 0.05, Direction.ANTICLOCKWISE, 110.0),
    ],
)
def test_the_last_number_never_touches_the_first(
    needles: int, home: float, forward: Direction, size: float
) -> None:
    """Where their boxes lie side by side: a figure 1 is as wide as the others in many a face."""
    view = view_of(needles, home_hour=home, forward=forward)
    assert overlapping(number_boxes(cylinder_svg(view, size, key=False))) == []


@pytest.mark.parametrize("needles", COUNTS)
@pytest.mark.parametrize("turning", Turning)
def test_a_small_picture_is_readable_at_its_size(needles: int, turning: Turning) -> None:
    """Nothing is written below 6.5 point, nothing touches, nothing is cut off."""
    svg = small_cylinder_svg(view_of(needles, turning=turning), 44.0)
    assert size_mm(svg) == (44.0, 44.0)
    assert overlapping(number_boxes(svg)) == []
    written = placed(svg, "text")
    assert min(one.number("font-size") for one in written) >= 6.5 * 25.4 / 72 - 0.01
    assert all(1 < x < 43 and 1 < y < 44 for x, y in (one.at for one in written))


def test_one_key_serves_a_row_of_small_pictures() -> None:
    views = [view_of(60), view_of(60, now=(7,))]
    said = " ".join(texts(small_key_svg(views, 44.0, 186.0)))
    for words in ("A home mark, before needle 1", "raised", "touched next", "out of its slot"):
        assert words in said
    assert "touched next" not in " ".join(texts(small_key_svg(views[:1], 44.0, 186.0)))


@pytest.mark.parametrize("size", SIZES)
def test_the_picture_is_square_and_the_key_lies_below(size: float) -> None:
    assert size_mm(cylinder_svg(view_of(60), size, key=False)) == (size, size)
    width, height = size_mm(cylinder_svg(view_of(60), size))
    assert width == size
    assert height > size


def test_everything_of_the_ring_lies_within_the_picture() -> None:
    landmarks = (Landmark("yarn mast", 12), Landmark("crank", 3), Landmark("clamp", 6.2))
    view = view_of(84, landmarks=landmarks)
    for one in placed(cylinder_svg(view, 90, key=False), "text"):
        x, y = one.at
        assert 1 < x < 89
        assert 1 < y < 90


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("letter", "aW")
def test_a_long_name_of_a_landmark_is_cut_short_within_the_picture(
    letter: str, size: float
) -> None:
    name = 60 * letter
    for tenths in range(0, 120, 3):
        view = view_of(60, landmarks=(Landmark(name, tenths / 10),))
        tracks = lay_tracks(size, dial=False, deep=False)
        label, you = ring_labels(view, tracks, ENGLISH)
        assert name.startswith(label.words.removesuffix("…"))
        assert len(label.words) > 5
        half = text_width(label.words, tracks.type) / 2
        x, y = tracks.face.at(tracks.names, label.hour)
        along = clockwise(label.hour)
        for end in (-half, half):
            assert -0.01 <= x + end * along[0] <= size + 0.01, label
            assert -0.01 <= y + end * along[1] <= size + 0.01, label
        assert hours_apart(label.hour, you.hour) >= label.spread + you.spread - 1e-6


def test_names_round_the_ring_keep_apart() -> None:
    crowd = tuple(Landmark(name, 6 + n / 10) for n, name in enumerate(("crank", "clamp", "lamp")))
    view = view_of(60, landmarks=crowd)
    labels = ring_labels(view, lay_tracks(90, dial=False, deep=False), ENGLISH)
    assert {label.words for label in labels} == {"crank", "clamp", "lamp", "you"}
    for n, one in enumerate(labels):
        for other in labels[n + 1 :]:
            apart = abs(one.hour - other.hour) % 12
            assert min(apart, 12 - apart) >= one.spread + other.spread - 1e-6


def test_needles_to_touch_now_are_drawn_wider_and_named() -> None:
    view = view_of(60, now=(7, 8, 9, 30))
    svg = cylinder_svg(view, 90)
    widths = {
        one.element.get("stroke"): one.number("stroke-width")
        for one in placed(cylinder_svg(view, 90, key=False), "line")
        if one.element.get("stroke") in (Theme.PRINT.ink, Theme.PRINT.act)
    }
    assert widths[Theme.PRINT.act] > 1.3 * widths[Theme.PRINT.ink]
    assert "now: needles 7–9, 30" in texts(svg)


def test_the_key_names_every_mark_with_its_letter_and_place() -> None:
    view = view_of(61)
    said = " ".join(texts(cylinder_svg(view, 180)))
    for letter, words in (
        ("A", "home mark, before needle 1"),
        ("B", "halfway mark, between 30 and 31"),
        ("C", "heel turn limits, at needles 10 and 21"),
        ("D", "instep turn limits, at needles 40 and 51"),
    ):
        assert f"{letter} {words}" in said


@pytest.mark.parametrize("sign", ["m", "w", "1", "山"])
def test_the_key_keeps_a_mark_of_one_long_word_within_the_picture(sign: str) -> None:
    marks = tuple(replace(mark, name=60 * sign) for mark in view_of(60).marks)
    view = view_of(60, marks=marks)
    lines = [
        (*one.at, "".join(one.element.itertext()), one.number("font-size"))
        for one in placed(cylinder_svg(view, 90), "text")
        if one.at[1] > 90
    ]
    said = "".join(words for _, _, words, _ in lines).replace("-", "")
    assert said.count(60 * sign) == len({mark.role for mark in marks})
    for left, base, words, size in lines:
        assert left + text_width(words, size) <= 90 + 1e-6, words
        beside = [x for x, y, _, _ in lines if y == base and x > left]
        assert all(left + text_width(words, size) <= x for x in beside), words


def test_a_dial_is_a_dot_for_every_slot() -> None:
    dial = tuple((float(place), place % 4 == 0) for place in range(2, 61, 2))
    without = len(placed(cylinder_svg(view_of(60), 90, key=False), "circle"))
    drawn = placed(cylinder_svg(view_of(60, dial=dial), 90, key=False), "circle")
    assert len(drawn) - without == 30
    filled = [one for one in drawn if one.element.get("fill") == Theme.PRINT.ink]
    hollow = [one for one in drawn if one.element.get("fill") == Theme.PRINT.paper]
    assert len(hollow) == 15
    assert len(filled) - 15 == view_of(60).states.count(Needle.OUT)


@pytest.mark.parametrize(
    ("forward", "half", "home", "quarter"),
    [
        (Direction.ANTICLOCKWISE, HeelHalf.NEAR, 9, 6),
        (Direction.ANTICLOCKWISE, HeelHalf.FAR, 3, 12),
        (Direction.CLOCKWISE, HeelHalf.NEAR, 3, 6),
        (Direction.CLOCKWISE, HeelHalf.FAR, 9, 12),
    ],
)
def test_the_heel_half_lies_where_the_machine_has_it(
    forward: Direction, half: HeelHalf, home: int, quarter: int
) -> None:
    program = op.Program(60, (), (op.Rounds(op.Section.LEG, 1),))
    view = view_at(execute(program), machine(forward=forward, heel_half=half), 1)
    assert view.home_hour == home
    assert view.hour(15.5) % 12 == pytest.approx(quarter % 12)


def test_a_turning_cylinder_brings_its_gap_to_the_carrier() -> None:
    plan = example_plan("winch-operator")
    turning = machine(turns=Turning.CYLINDER, landmarks=(Landmark("yarn carrier", 4.0),))
    gaps = set()
    for step in range(20, 60):
        view = view_at(plan, turning, step)
        gaps.add(view.gap)
        assert view.carrier_hour % 12 == pytest.approx(4.0)
    assert len(gaps) > 10


def test_the_view_before_a_row_shows_what_the_row_finds() -> None:
    plan = example_plan("winch-operator")
    steps = plan.program.steps
    first = next(n for n, step in enumerate(steps, 1) if isinstance(step, op.Row))
    view = view_at(plan, plan.order.machine, first)
    # Narrowing of 30 to 10: the instep is up, and the needle at the carrier, the 30th, too.
    assert [n for n, s in enumerate(view.states, 1) if s is Needle.RAISED] == list(range(30, 61))
    assert view.gap == 30
    assert view.way is op.Way.REVERSE
    assert view.yarn == "main"
    before = view_at(plan, plan.order.machine, first - 1)
    assert before.now == (30,)
    assert before.states[29] is Needle.WORKING
    after = view_at(plan, plan.order.machine, first, after=True)
    assert after.gap == 0
    assert after.way is op.Way.FORWARD


def test_a_step_that_is_not_there_is_refused() -> None:
    plan = example_plan("winch-operator")
    with pytest.raises(IndexError, match="step 0"):
        view_at(plan, plan.order.machine, 0)
    with pytest.raises(IndexError):
        view_at(plan, plan.order.machine, len(plan.program.steps) + 1)


def test_limits_of_a_program_are_those_of_its_sizing() -> None:
    plan = example_plan("night-dispatcher")
    heel, half = plan.sizing.heel, plan.sizing.heel_needles
    limits = {role: (low, high) for role, low, high in limits_of_program(plan.execution)}
    assert heel.deep is not None
    for role, kept in (("heel limits", heel.cup.kept), ("deep limits", heel.deep.kept)):
        low, high = limits[role]
        assert high - low - 1 == kept
        assert low + high == half + 1


def test_limits_that_cannot_be_centred_are_refused() -> None:
    with pytest.raises(ValueError, match="cannot be kept"):
        usual_limits(60, 11)


def test_runs_of_needles_are_said_shortly() -> None:
    assert spans((1, 2, 3, 7, 9, 10)) == "1–3, 7, 9–10"
