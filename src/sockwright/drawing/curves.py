"""Smooth lines through given points."""

from __future__ import annotations

from collections.abc import Sequence

from sockwright.drawing.svg import Point, number

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
