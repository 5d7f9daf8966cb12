"""Round drawings: places on a clock face, arcs and bands about a centre."""

from __future__ import annotations

from dataclasses import dataclass
from math import cos, pi, sin

from sockwright.drawing.svg import Point, number
from sockwright.machine.places import HOURS


@dataclass(frozen=True)
class Dial:
    """A clock face seen from above, twelve o'clock away from the operator."""

    centre: Point

    def at(self, radius: float, hour: float) -> Point:
        """The point `radius` mm from the centre in the direction of `hour`."""
        x, y = outward(hour)
        return self.centre[0] + radius * x, self.centre[1] + radius * y

    def arc(self, radius: float, start: float, end: float) -> str:
        """Path data of the arc from hour `start` to hour `end`, clockwise where `end` is larger;
        less than a full turn."""
        (x1, y1), (x2, y2) = self.at(radius, start), self.at(radius, end)
        large = int(abs(end - start) > HOURS / 2)
        sweep = int(end > start)
        size = number(radius)
        return (
            f"M{number(x1)} {number(y1)}A{size} {size} 0 {large} {sweep} {number(x2)} {number(y2)}"
        )

    def spoke(self, inner: float, outer: float, hour: float) -> tuple[Point, Point]:
        """The ends of a radial line."""
        return self.at(inner, hour), self.at(outer, hour)


def outward(hour: float) -> Point:
    """Unit vector away from the centre at `hour`."""
    angle = 2 * pi * hour / HOURS
    return sin(angle), -cos(angle)


def clockwise(hour: float) -> Point:
    """Unit vector along the ring at `hour`, the way a clock's hand goes."""
    x, y = outward(hour)
    return -y, x


def hours_of_length(length: float, radius: float) -> float:
    """Hours that an arc of `length` mm covers at `radius`."""
    return length / radius * HOURS / (2 * pi)


def upright_turn(hour: float) -> float:
    """Degrees to turn a text at `hour` so that it follows the ring and reads from below."""
    degrees = (hour % HOURS) * 360 / HOURS
    if degrees > 270:
        return degrees - 360
    return degrees - 180 if degrees > 90 else degrees
