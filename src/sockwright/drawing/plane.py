"""Plane geometry for drawings: outlines, lines cut off at an outline, hatching."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import cos, hypot, radians, sin

from sockwright.drawing.svg import Point

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


def bounds(points: Sequence[Point]) -> tuple[float, float, float, float]:
    """Least x and y, greatest x and y."""
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return min(xs), min(ys), max(xs), max(ys)


def moved(points: Sequence[Point], x: float, y: float, scale: float = 1.0) -> Outline:
    """The points scaled about the origin, then moved."""
    return tuple((px * scale + x, py * scale + y) for px, py in points)
