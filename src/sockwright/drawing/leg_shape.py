"""The leg of a sock in side view: a tube that rises from the heel, or a low slanted opening."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import cos, sin

from sockwright.drawing.plane import Outline, between, distance, meeting
from sockwright.drawing.rounded import SMOOTH
from sockwright.drawing.svg import Point

CLEAR_MM = 6.0
"""The front of a leg must stand this far above the instep to be drawn as a tube of its own."""
LOW_FRONT = 0.4
"""Share of a low leg's height that its front takes along the instep."""


@dataclass(frozen=True)
class Tube:
    """Leg and cuff as a straight tube above a heel of `depth`, leaning by `turn` radians from
    straight down, or lying in line with the foot where that is 0; `parts` are (height, width
    factor) of the leg from the heel up, mm."""

    width: float
    depth: float
    turn: float
    parts: tuple[tuple[float, float], ...]
    cuff: float

    @property
    def leg(self) -> float:
        """Height of the leg without the cuff."""
        return sum(height for height, _ in self.parts)

    @property
    def height(self) -> float:
        """Height of leg and cuff."""
        return self.leg + self.cuff

    @property
    def up(self) -> Point:
        """Unit vector along the leg."""
        return -cos(self.turn), -sin(self.turn)

    def width_at(self, height: float) -> float:
        """Flat width at a height above the heel: each part's own at its middle."""
        points, at = [(0.0, self.width)], 0.0
        for part, factor in self.parts:
            points.append((at + part / 2, self.width * factor))
            at += part
        points.append((self.height + 1, points[-1][1]))
        for (low, one), (high, other) in pairwise(points):
            if height <= high:
                return one + (other - one) * (height - low) / (high - low)
        return points[-1][1]

    def at(self, height: float, share: float) -> Point:
        """A point of the tube: `share` 0 at the back, 1 in front."""
        across = self.width / 2 + (share - 0.5) * self.width_at(height) - self.depth
        up = self.up
        return (
            sin(self.turn) * across + up[0] * height,
            -self.depth - cos(self.turn) * across + up[1] * height,
        )

    def side(self, share: float) -> Outline:
        """A line up the tube from heel to top."""
        return tuple(self.at(self.height * n / SMOOTH, share) for n in range(SMOOTH + 1))


@dataclass(frozen=True)
class Leg:
    """What is seen of a tube above the instep: its `back` from the heel up, its `front` from the
    top down to the `corner` where it meets the foot, and the `hinge` of the heel between them. A
    `low` one is not parallel."""

    tube: Tube
    back: Outline
    front: Outline
    hinge: Point
    low: bool = False

    @property
    def corner(self) -> Point:
        """Where the front of the leg meets the instep."""
        return self.front[-1]

    def back_at(self, height: float) -> Point:
        """The back of the leg at a height above the heel."""
        return self.tube.at(height, 0.0)

    def front_at(self, height: float) -> Point:
        """The front at a height, or the corner where that lies within the foot."""
        if self.low:
            return between(self.front[-1], self.front[0], height / self.tube.height)
        point = self.tube.at(height, 1.0)
        straight = self.tube.turn == 0
        return point if straight or point[1] < self.corner[1] else self.corner

    def area(self, low: float, high: float) -> Outline:
        """The outline between two heights."""
        total = self.tube.height
        back = [p for n, p in enumerate(self.back) if low < total * n / SMOOTH < high]
        top, bottom = self.front_at(high), self.front_at(low)
        front = [p for p in self.front if top[1] < p[1] < bottom[1]]
        return (self.back_at(low), *back, self.back_at(high), top, *front, bottom)


def stand_leg(tube: Tube, upper: Outline) -> Leg:
    """The leg that stands on a foot whose instep and toe, from above the heel to the tip, are
    `upper`."""
    back, front = tube.side(0.0), tuple(reversed(tube.side(1.0)))
    hinge = (0.0, -tube.depth)
    if tube.turn == 0:
        return Leg(tube, back, front, hinge)
    if front[-1][1] < -tube.width:
        # So deep a heel lifts the whole leg off the instep: the front slants down to the foot.
        foot = (0.0, -tube.width)
        return Leg(tube, back, (*front, foot), between(front[-1], foot, 0.5))
    corner = meeting(front, upper)
    if corner is None or front[0][1] > -tube.width - CLEAR_MM:
        return Leg(tube, back, _low_front(tube, back[-1], upper), hinge, low=True)
    seen = (point for point in front if point[1] < corner[1])
    return Leg(tube, back, (*seen, corner), hinge)


def _low_front(tube: Tube, back_top: Point, upper: Outline) -> Outline:
    """Front of a leg too short to rise above the instep: its opening slants from the back to the
    instep, as wide as the tube."""
    points = [between(a, b, part / 20) for a, b in pairwise(upper) for part in range(20)]
    wide = tube.width_at(tube.height)
    edge = next((n for n, p in enumerate(points) if distance(p, back_top) >= wide), -1)
    top, reach = points[edge], LOW_FRONT * tube.height
    ahead = next((p for p in points[edge:] if distance(p, top) >= reach), upper[-1])
    return top, ahead
