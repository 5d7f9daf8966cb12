"""The points of a cam's curve as they are drawn on the pitch of one cylinder."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import hypot, sqrt

from sockwright.drawing.base.svg import Point, circle, group, line, rectangle
from sockwright.drawing.base.theme import Box, Theme
from sockwright.drawing.curve.axes import Axes
from sockwright.estimates import Estimate
from sockwright.facts import fact
from sockwright.measure.cam_points import CurvePoint, PointKind

SIDE_MM = 2.3
"""Side of a square, width of a ring."""
CAP_MM = 1.5
"""Width of the ends of a ±."""
LINE_MM = 0.35
DASHES = "0.7 0.55"
APART_MM = 2.7
"""Points of one setting that would hide each other stand so far apart."""


@dataclass(frozen=True)
class DrawnPoint:
    """A point of a curve with its loop on the cylinder that is shown, mm, and where it stands."""

    of: CurvePoint
    loop: Estimate
    at: Point
    low: float
    high: float

    @property
    def box(self) -> Box:
        """The room that it takes with its ±."""
        height = max(SIDE_MM, self.low - self.high) + 0.4
        return Box(self.at[0], (self.low + self.high) / 2, SIDE_MM + 0.6, height)

    @property
    def reach(self) -> float:
        """How far its ± goes up and down, mm."""
        return (self.low - self.high) / 2

    def svg(self, theme: Theme) -> str:
        """A square for a swatch and a ring for a finished sock, with its ±; hollow, dashed and
        without it where it is outdated."""
        if self.of.stale:
            return sample(self.of.kind, self.at, theme, stale=True)
        x = self.at[0]
        caps = (line((x - CAP_MM / 2, y), (x + CAP_MM / 2, y)) for y in (self.low, self.high))
        bar = group(
            (line((x, self.low), (x, self.high)), *caps), stroke=theme.ink, stroke_width=LINE_MM
        )
        return bar + sample(self.of.kind, self.at, theme)


def sample(kind: PointKind, at: Point, theme: Theme, *, stale: bool = False) -> str:
    """The sign of a point."""
    x, y = at
    stroke, dashes = (theme.muted, DASHES) if stale else (theme.ink, None)
    if kind is PointKind.SOCK:
        return circle(
            at,
            SIDE_MM / 2,
            fill=theme.paper,
            stroke=stroke,
            stroke_width=0.5 if not stale else LINE_MM,
            stroke_dasharray=dashes,
        )
    corner = (x - SIDE_MM / 2, y - SIDE_MM / 2)
    if not stale:
        return rectangle(corner, SIDE_MM, SIDE_MM, fill=theme.ink)
    return rectangle(
        corner,
        SIDE_MM,
        SIDE_MM,
        fill=theme.paper,
        stroke=stroke,
        stroke_width=LINE_MM,
        stroke_dasharray=dashes,
    )


def loop_on(point: CurvePoint, pitch: Estimate) -> Estimate | None:
    """The loop of a point's drop on another pitch, mm; its own on its own."""
    if point.drop is None:
        return None
    if point.pitch.value == pitch.value:
        return point.loop
    square = point.drop**2 + pitch.value**2 / 4
    relative = hypot(point.loop.sd / point.loop.value, fact("cam", "point_relative_sd").number)
    return Estimate(2 * sqrt(square), relative * point.loop.value**2 / (2 * sqrt(square)), "mm")


def drawn_points(points: Iterable[CurvePoint], pitch: Estimate, axes: Axes) -> list[DrawnPoint]:
    """The points on a plot, those that would hide each other side by side."""
    at_setting: dict[float, list[tuple[CurvePoint, Estimate]]] = defaultdict(list)
    for point in points:
        loop = loop_on(point, pitch)
        if loop is not None:
            at_setting[point.cam].append((point, loop))
    return [one for every in at_setting.values() for one in _side_by_side(every, axes)]


def _side_by_side(points: list[tuple[CurvePoint, Estimate]], axes: Axes) -> Iterator[DrawnPoint]:
    by_loop = sorted(points, key=lambda one: one[1].value)
    rows: list[list[tuple[CurvePoint, Estimate]]] = []
    for point, loop in by_loop:
        last = rows[-1][-1][1].value if rows else None
        if last is not None and abs(axes.y(loop.value) - axes.y(last)) < SIDE_MM + 0.4:
            rows[-1].append((point, loop))
        else:
            rows.append([(point, loop)])
    for row in rows:
        for place, (point, loop) in enumerate(row):
            x = axes.x(point.cam) + (place - (len(row) - 1) / 2) * APART_MM
            low, high = axes.y(loop.value - loop.sd), axes.y(loop.value + loop.sd)
            yield DrawnPoint(point, loop, (x, axes.y(loop.value)), low, high)
