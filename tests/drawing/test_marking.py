"""The marking strip and the marking ring, measured in millimetres."""

from itertools import pairwise
from math import atan2, degrees, hypot, pi

import pytest

from drawing_reading import (
    Placed,
    number_boxes,
    overlapping,
    path_points,
    placed,
    size_mm,
    texts,
)
from sockwright.drawing.base.places import PlacedMark, place_marks, usual_limits
from sockwright.drawing.cylinder.marking import (
    ASIDE_MM,
    OVERLAP_MM,
    StripTile,
    ring_svg,
    strip_svgs,
)
from sockwright.machine import Cylinder, Direction, HeelHalf, Machine, Turning

SIZES = [(24, 60.0), (36, 102.0), (60, 108.0), (61, 108.0), (84, 114.3), (100, 114.0), (200, 140.0)]
MACHINE = Machine("bench", Turning.CARRIER, (Cylinder(60),))
WAYS = (Direction.ANTICLOCKWISE, Direction.CLOCKWISE)


def marks_of(needles: int) -> tuple[PlacedMark, ...]:
    """Marks of a ring with cups that keep about a third."""
    half = needles // 2
    return place_marks(MACHINE, needles, usual_limits(needles, half - 2 * (half // 3)))


def tiles_of(needles: int, diameter: float, forward: Direction) -> tuple[StripTile, ...]:
    """The strip of a cylinder."""
    return strip_svgs(needles, diameter, marks_of(needles), forward)


def needle_ticks(tile: StripTile) -> list[float]:
    """Where the needles' ticks stand along the whole strip, mm from its left end."""
    ticks = []
    for one in placed(tile.svg, "path"):
        if one.element.get("stroke-width") not in ("0.25", "0.4"):
            continue
        points = path_points(one)
        starts = [x for x, y in points[::2] if y == pytest.approx(one.dy)]
        ticks += [x - tile.left_mm + tile.start_mm for x in starts]
    return sorted(ticks)


@pytest.mark.parametrize("forward", WAYS)
@pytest.mark.parametrize(("needles", "diameter"), SIZES)
def test_the_strip_is_as_long_as_the_needle_circle(
    needles: int, diameter: float, forward: Direction
) -> None:
    tiles = tiles_of(needles, diameter, forward)
    assert tiles[0].start_mm == 0
    assert tiles[-1].end_mm == pytest.approx(pi * diameter, abs=1e-9)
    for one, after in pairwise(tiles):
        assert one.end_mm == after.start_mm
    for tile in tiles:
        width, height = size_mm(tile.svg)
        assert width == pytest.approx(tile.width_mm, abs=0.001)
        assert height == pytest.approx(tile.height_mm, abs=0.001)
        assert width <= 190
        cut = next(
            one
            for one in placed(tile.svg, "rect")
            if one.element.get("fill") == "none" and "stroke" in one.element.attrib
        )
        assert cut.number("width") == pytest.approx(
            tile.end_mm - tile.start_mm + OVERLAP_MM, abs=0.001
        )


@pytest.mark.parametrize("forward", WAYS)
@pytest.mark.parametrize(("needles", "diameter"), SIZES)
def test_every_needle_has_its_tick_at_its_place(
    needles: int, diameter: float, forward: Direction
) -> None:
    pitch = pi * diameter / needles
    expected = [(n - 0.5) * pitch for n in range(1, needles + 1)]
    found = []
    for tile in tiles_of(needles, diameter, forward):
        ticks = needle_ticks(tile)
        found += [x for x in ticks if tile.start_mm <= x < tile.end_mm - 1e-6]
        lap = [x for x in ticks if x >= tile.end_mm]
        # The lap repeats what the next piece begins with, so that both can be laid together.
        again = [x % (pi * diameter) for x in lap]
        for x in again:
            assert min(abs(x - place) for place in expected) < 0.002
    assert found == pytest.approx(expected, abs=0.002)


def number_places(tile: StripTile) -> dict[int, float]:
    """Where each number stands along the whole strip."""
    found = {}
    for one in placed(tile.svg, "text"):
        words = "".join(one.element.itertext())
        if words.isdigit():
            found.setdefault(int(words), one.at[0] - tile.left_mm + tile.start_mm)
    return found


def test_anticlockwise_the_strip_is_read_from_left_to_right() -> None:
    """Seen from outside, what lies anticlockwise seen from above lies to the right."""
    pitch = pi * 108 / 60
    right = number_places(tiles_of(60, 108, Direction.ANTICLOCKWISE)[0])
    left = number_places(tiles_of(60, 108, Direction.CLOCKWISE)[-1])
    assert right[5] == pytest.approx(4.5 * pitch, abs=0.002)
    assert left[5] == pytest.approx(pi * 108 - 4.5 * pitch, abs=0.002)


@pytest.mark.parametrize("forward", WAYS)
def test_marks_stand_at_their_needles_and_gaps(forward: Direction) -> None:
    needles, diameter = 61, 108.0
    length = pi * diameter
    pitch = length / needles
    letters: dict[str, list[float]] = {}
    for tile in tiles_of(needles, diameter, forward):
        for one in placed(tile.svg, "text"):
            words = "".join(one.element.itertext())
            if words in "ABCDE":
                aside = ASIDE_MM if words in "AB" else 0.0
                x = one.at[0] - aside - tile.left_mm + tile.start_mm
                letters.setdefault(words, []).append(x)
    mirror = forward is Direction.CLOCKWISE
    places = {"A": [0.5], "B": [30.5], "C": [10, 21], "D": [40, 51]}
    for letter, spots in places.items():
        along = [(spot - 0.5) * pitch for spot in spots]
        expected = {round((length - x if mirror else x) % length, 1) for x in along}
        assert {round(x % length, 1) % round(length, 1) for x in letters[letter]} == expected


@pytest.mark.parametrize(("needles", "diameter"), SIZES)
def test_numbers_on_the_strip_never_touch(needles: int, diameter: float) -> None:
    for tile in tiles_of(needles, diameter, Direction.ANTICLOCKWISE):
        boxes = number_boxes(tile.svg)
        assert boxes
        assert overlapping(boxes) == []


def test_the_pieces_say_how_they_are_laid_together() -> None:
    first, last = tiles_of(60, 108, Direction.ANTICLOCKWISE)
    assert "60 needles · piece 1 of 2 · 339.3 mm round the needles" in texts(first.svg)
    assert "lay piece 2 over this" in texts(first.svg)
    assert "lay the beginning over this" in texts(last.svg)
    for tile in (first, last):
        # A target on each end: half of it is cut away and found again on the other piece.
        targets = [one for one in placed(tile.svg, "circle") if one.number("r") > 1]
        xs = [one.number("cx") + one.dx - tile.left_mm for one in targets]
        assert xs == pytest.approx([0, tile.end_mm - tile.start_mm], abs=0.002)


def test_a_strip_needs_some_length_of_paper() -> None:
    with pytest.raises(ValueError, match="no strip fits"):
        strip_svgs(60, 108, (), Direction.ANTICLOCKWISE, longest_mm=12)


def ring_ticks(svg: str, centre: float) -> list[tuple[float, float]]:
    """(outer radius, degrees clockwise from twelve) of every tick on a ring."""
    found = []
    for one in placed(svg, "path"):
        if one.element.get("stroke-width") in ("0.25", "0.4") and "fill" not in one.element.attrib:
            found += [_polar(point, centre) for point in path_points(one)[1::2]]
    return found


def _polar(point: tuple[float, float], centre: float) -> tuple[float, float]:
    x, y = point[0] - centre, point[1] - centre
    return hypot(x, y), degrees(atan2(x, -y)) % 360


def circles(svg: str) -> list[Placed]:
    """The circles of a drawing."""
    return placed(svg, "circle")


@pytest.mark.parametrize(("needles", "diameter"), SIZES)
def test_the_ring_is_the_needle_circle_with_a_tick_a_needle(needles: int, diameter: float) -> None:
    svg = ring_svg(needles, diameter, marks_of(needles), MACHINE)
    width, height = size_mm(svg)
    assert width == height
    edge = max(one.number("r") for one in circles(svg))
    assert 2 * pi * edge == pytest.approx(pi * diameter, abs=0.01)
    ticks = ring_ticks(svg, width / 2)
    assert len(ticks) == needles
    assert all(radius == pytest.approx(diameter / 2, abs=0.002) for radius, _ in ticks)
    expected = sorted((270 - 360 * (n - 0.5) / needles) % 360 for n in range(1, needles + 1))
    assert sorted(angle for _, angle in ticks) == pytest.approx(expected, abs=0.01)
    assert overlapping(number_boxes(svg)) == []


def test_the_ring_lies_as_the_machine_does() -> None:
    """Needle 15 of 60, the middle of the heel half, is away from the operator where the heel
    half is the far one."""
    far = Machine("bench", Turning.CARRIER, (Cylinder(60),), heel_half=HeelHalf.FAR)
    places = {}
    for machine in (MACHINE, far):
        svg = ring_svg(60, 108, (), machine)
        places[machine.heel_half] = next(
            one.at for one in placed(svg, "text") if one.element.text == "15"
        )
    middle = size_mm(ring_svg(60, 108, (), MACHINE))[1] / 2
    assert places[HeelHalf.NEAR][1] > middle
    assert places[HeelHalf.FAR][1] < middle
