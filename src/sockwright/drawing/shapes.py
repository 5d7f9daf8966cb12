"""The shapes of marks and arrows, drawn alike wherever they stand.

Every mark is outlined in ink, so that a white or yellow one shows on any paper and none needs its
colour to be known.
"""

from __future__ import annotations

from sockwright.drawing.places import PlacedMark
from sockwright.drawing.svg import Point, group, path, polygon_data, polyline_data
from sockwright.drawing.theme import Theme

WEDGE_WIDTH = 0.85
ARM = 0.28
STROKE = 0.15
OUTLINE = 0.10
DOUBLE = 0.70
DOUBLE_ARM = 0.18
"""Proportions of the shapes, as shares of their height."""

UP: Point = (0.0, -1.0)
RIGHT: Point = (1.0, 0.0)


def shift(point: Point, *moves: tuple[Point, float]) -> Point:
    """The point moved by so much along each given direction."""
    x = point[0] + sum(way[0] * much for way, much in moves)
    y = point[1] + sum(way[1] * much for way, much in moves)
    return x, y


def mark_symbol(
    mark: PlacedMark,
    tip: Point,
    size: float,
    theme: Theme,
    toward: Point = UP,
    along: Point = RIGHT,
) -> str:
    """The mark with its tip at `tip`, reaching `size` mm back from it.

    `toward` points to the needles and `along` in the direction of larger needle numbers; both are
    unit vectors.
    """
    if mark.role in ("home", "halfway"):
        return _wedge(mark, tip, size, theme, toward, along)
    face = along if mark.facing >= 0 else (-along[0], -along[1])
    brackets, arm = [tip], ARM
    if mark.role == "deep limits":
        brackets, arm = [tip, shift(tip, (face, -DOUBLE * size))], DOUBLE_ARM
    data = "".join(_bracket(corner, size, toward, face, arm) for corner in brackets)
    return _outlined(data, size, mark.paint, theme)


def _wedge(
    mark: PlacedMark, tip: Point, size: float, theme: Theme, toward: Point, along: Point
) -> str:
    """Solid for home; for halfway open, without its base, so that it is told apart in any paint."""
    solid = mark.role == "home"
    inset = 0.0 if solid else (STROKE / 2 + OUTLINE) * size
    tip = shift(tip, (toward, -1.6 * inset))
    half = WEDGE_WIDTH * size / 2 - inset
    left, right = (
        shift(tip, (toward, 1.6 * inset - size), (along, side * half)) for side in (-1, 1)
    )
    if not solid:
        return _outlined(polyline_data((left, tip, right)), size, mark.paint, theme)
    return path(
        polygon_data((tip, right, left)),
        fill=mark.paint,
        stroke=theme.ink,
        stroke_width=2 * OUTLINE * size,
        stroke_linejoin="round",
    )


def _bracket(corner: Point, size: float, toward: Point, face: Point, arm: float) -> str:
    ends = [shift(corner, (toward, -part * size)) for part in (STROKE / 2, 1 - STROKE / 2)]
    arms = [shift(end, (face, arm * size)) for end in ends]
    return polyline_data((arms[0], *ends, arms[1]))


def _outlined(data: str, size: float, paint: str, theme: Theme) -> str:
    """A line in the mark's paint with an edge of ink on both sides."""
    strokes = (
        path(data, stroke=theme.ink, stroke_width=(STROKE + 2 * OUTLINE) * size),
        path(data, stroke=paint, stroke_width=STROKE * size),
    )
    return group(strokes, fill="none", stroke_linecap="square", stroke_linejoin="miter")


def arrow_head(tip: Point, way: Point, size: float, fill: str) -> str:
    """A slender solid arrowhead `size` mm long, pointing along the unit vector `way`."""
    side = (-way[1], way[0])
    base = shift(tip, (way, -size))
    corners = (tip, shift(base, (side, 0.3 * size)), shift(base, (side, -0.3 * size)))
    return path(polygon_data(corners), fill=fill)
