"""Outlines, arcs and curves in the plane and round a centre."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, hypot, pi, radians, sin
from typing import NamedTuple

from sockwright.drawing.base.svg import Point, number
from sockwright.machine import HOURS

Outline = tuple[Point, ...]
"""Corners of a closed shape or points of an open line, in order, mm."""
Segment = tuple[Point, Point]


def between(a: Point, b: Point, share: float) -> Point:
    """The point `share` of the way from `a` to `b`."""
    return a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share


def distance(a: Point, b: Point) -> float:
    """Distance of two points, mm."""
    return hypot(b[0] - a[0], b[1] - a[1])


def crossing(first: Segment, second: Segment) -> tuple[float, float] | None:
    """How far along each of two segments, as shares of it, their lines cross; None if parallel."""
    (ax, ay), (bx, by) = first
    (cx, cy), (dx, dy) = second
    ux, uy, vx, vy = bx - ax, by - ay, dx - cx, dy - cy
    turn = ux * vy - uy * vx
    if abs(turn) < 1e-12:
        return None
    wx, wy = cx - ax, cy - ay
    return (wx * vy - wy * vx) / turn, (wx * uy - wy * ux) / turn


def meeting(one: Outline, other: Outline) -> Point | None:
    """The first point along the open line `one` that lies on the open line `other`."""
    for a in pairwise(one):
        shares = [crossing(a, b) for b in pairwise(other)]
        hits = [s[0] for s in shares if s and 0 <= s[0] <= 1 and 0 <= s[1] <= 1]
        if hits:
            return between(*a, min(hits))
    return None


def inside(segment: Segment, outline: Outline) -> Iterator[Segment]:
    """The parts of a segment that lie within a closed outline."""
    (ax, ay), (bx, by) = segment
    ux, uy = bx - ax, by - ay
    length = ux * ux + uy * uy
    # How far each corner lies beside the segment's line, and how far along it.
    asides = [ux * (y - ay) - uy * (x - ax) for x, y in outline]
    alongs = [(ux * (x - ax) + uy * (y - ay)) / length for x, y in outline]
    corners = list(zip(asides, alongs, strict=True))
    cuts = []
    for (one, start), (other, end) in pairwise((*corners, corners[0])):
        # A corner on the line counts to one side, so that it is never cut twice or not at all.
        if (one >= 0) != (other >= 0):
            cuts.append(start + (end - start) * one / (one - other))
    cuts.sort()
    for enter, leave in zip(cuts[::2], cuts[1::2], strict=True):
        low, high = max(enter, 0.0), min(leave, 1.0)
        if high > low:
            yield between(*segment, low), between(*segment, high)


def hatch(outline: Outline, degrees: float, apart: float) -> Iterator[Segment]:
    """Parallel lines `apart` mm from each other within an outline, rising by `degrees`."""
    if len(outline) < 3:
        return
    along = (cos(radians(degrees)), -sin(radians(degrees)))
    across = (-along[1], along[0])
    depths = [x * across[0] + y * across[1] for x, y in outline]
    reaches = [x * along[0] + y * along[1] for x, y in outline]
    low, high = min(reaches) - 1, max(reaches) + 1
    # Lines at whole multiples of the distance: neighbouring shapes hatched alike fit together.
    for row in range(int(min(depths) // apart) + 1, int(max(depths) // apart) + 1):
        foot = (across[0] * row * apart, across[1] * row * apart)
        ends = [(foot[0] + along[0] * t, foot[1] + along[1] * t) for t in (low, high)]
        yield from inside((ends[0], ends[1]), outline)


class Bounds(NamedTuple):
    """Least x and y, greatest x and y."""

    left: float
    top: float
    right: float
    bottom: float


def bounds(points: Sequence[Point]) -> Bounds:
    """The upright rectangle round points."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return Bounds(min(xs), min(ys), max(xs), max(ys))


def moved(points: Sequence[Point], x: float, y: float, scale: float = 1.0) -> Outline:
    """The points scaled about the origin, then moved."""
    return tuple((px * scale + x, py * scale + y) for px, py in points)


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


SOFTNESS = 1 / 6
"""Control points lie this share of the way between the neighbours of a point (Catmull-Rom)."""


def smooth(points: Sequence[Point]) -> str:
    """Path data of an open curve through `points`, with a common tangent at each."""
    return _curve([points[0], *points, points[-1]])


def smooth_closed(points: Sequence[Point]) -> str:
    """Path data of a closed curve through `points`."""
    return _curve([points[-1], *points, points[0], points[1]]) + "z"


def _curve(points: Sequence[Point]) -> str:
    """From the second to the last but one; the outer two give the tangents."""
    data = [f"M{_pair(points[1])}"]
    for before, a, b, after in zip(points, points[1:], points[2:], points[3:], strict=False):
        leave = _toward(a, before, b)
        arrive = _toward(b, after, a)
        data.append(f"C{_pair(leave)} {_pair(arrive)} {_pair(b)}")
    return "".join(data)


def _toward(at: Point, behind: Point, ahead: Point) -> Point:
    """The control point beside `at`, parallel to the way from `behind` to `ahead`."""
    return (
        at[0] + (ahead[0] - behind[0]) * SOFTNESS,
        at[1] + (ahead[1] - behind[1]) * SOFTNESS,
    )


def _pair(point: Point) -> str:
    return f"{number(point[0])} {number(point[1])}"
