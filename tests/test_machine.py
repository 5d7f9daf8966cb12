"""Where needles and gaps stand on the clock face, against what the trade says of its marks."""

import pytest

from sockwright.machine import (
    Cylinder,
    Direction,
    HeelHalf,
    Landmark,
    Machine,
    Turning,
    fixed_carrier,
    gap_hour,
    home_hour,
    hours_apart,
    landmark_at,
    whole_hours,
)


def machine(
    forward: Direction = Direction.ANTICLOCKWISE,
    half: HeelHalf = HeelHalf.NEAR,
    turns: Turning = Turning.CARRIER,
    landmarks: tuple[Landmark, ...] = (),
) -> Machine:
    return Machine("bench", turns, (Cylinder(60),), forward, half, landmarks=landmarks)


@pytest.mark.parametrize(
    ("forward", "half", "home", "middle_of_heel"),
    [
        # Common practice: the carrier runs anticlockwise and the heel half is 9-6-3.
        (Direction.ANTICLOCKWISE, HeelHalf.NEAR, 9.0, 6.0),
        (Direction.CLOCKWISE, HeelHalf.NEAR, 3.0, 6.0),
        (Direction.ANTICLOCKWISE, HeelHalf.FAR, 3.0, 12.0),
        (Direction.CLOCKWISE, HeelHalf.FAR, 9.0, 12.0),
    ],
)
def test_the_heel_half_lies_where_the_profile_says(
    forward: Direction, half: HeelHalf, home: float, middle_of_heel: float
) -> None:
    bench = machine(forward, half)
    assert home_hour(bench) == home
    assert gap_hour(bench, 60, 15) == pytest.approx(middle_of_heel)
    assert hours_apart(gap_hour(bench, 60, 30), home) == pytest.approx(6.0)


def test_kept_needles_of_a_sixth_lie_between_five_and_seven() -> None:
    """Common practice: marks at five and seven o'clock leave a sixth of the cylinder between."""
    bench = machine()
    assert gap_hour(bench, 60, 10) == pytest.approx(7.0)
    assert gap_hour(bench, 60, 20) == pytest.approx(5.0)
    between = [gap for gap in range(31) if 5.0 < gap_hour(bench, 60, gap) < 7.0]
    assert between == list(range(11, 20))


def test_an_hour_is_never_nought() -> None:
    assert gap_hour(machine(), 60, 45) == 12.0


def test_an_odd_half_ends_short_of_the_far_side() -> None:
    assert gap_hour(machine(), 61, 30) == pytest.approx(9.0 - 12.0 * 30 / 61)


@pytest.mark.parametrize(
    ("hour", "whole"), [(8.5, (8, 9)), (12.0, (12, 1)), (0.3, (12, 1)), (11.9, (11, 12))]
)
def test_whole_hours(hour: float, whole: tuple[int, int]) -> None:
    assert whole_hours(hour) == whole


def test_hours_apart_goes_the_short_way_round() -> None:
    assert hours_apart(11.5, 0.5) == pytest.approx(1.0)
    assert hours_apart(3.0, 9.0) == pytest.approx(6.0)


def test_a_landmark_names_the_places_near_it() -> None:
    mast = Landmark("yarn mast", 3.0)
    bench = machine(landmarks=(mast, Landmark("clamp", 6.0)))
    assert landmark_at(bench, 3.1) is mast
    assert landmark_at(bench, 3.4) is None


def test_the_fixed_carrier_is_known_only_where_the_cylinder_turns() -> None:
    marks = (Landmark("mast", 12.0), Landmark("yarn carrier", 5.0))
    assert fixed_carrier(machine(turns=Turning.CYLINDER, landmarks=marks)) is marks[1]
    assert fixed_carrier(machine(landmarks=marks)) is None
    assert fixed_carrier(machine(turns=Turning.CYLINDER)) is None
