"""Where to measure a foot: two line drawings with every measure numbered and named."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sockwright.drawing import foot_outlines as shape
from sockwright.drawing.curves import smooth, smooth_closed
from sockwright.drawing.lettering import CAP_HEIGHT, text_width
from sockwright.drawing.shapes import arrow_head
from sockwright.drawing.svg import (
    Point,
    circle,
    document,
    group,
    line,
    number,
    path,
    polyline_data,
    rectangle,
    write,
)
from sockwright.drawing.theme import Theme

SCALE = 1 / 3
BADGE_MM, BADGE_TYPE_MM, TYPE_MM = 2.5, 3.2, 3.2
OUTLINE_MM, FOLD_MM, TAPE_MM, THIN_MM = 0.45, 0.22, 0.9, 0.2
ARROW_MM = 2.2
SIDE_MM = (108.0, 139.0)
"""Width and height of the side view."""
PLAN_MM = (76.0, 102.0)
"""Width and height of the plan view."""
SIDE_ORIGIN: Point = (19.0, 128.0)
PLAN_ORIGIN: Point = (27.0, 95.0)
"""The back of the heel on the floor, in either."""

Names = Mapping[str, tuple[int, str]]
"""What each measure is numbered and called on the drawing."""


@dataclass(frozen=True)
class Sketch:
    """One of the drawings: its names, its theme, where its foot stands and how wide it is, mm."""

    names: Names
    theme: Theme
    origin: Point
    width: float

    def at(self, across: float, up: float) -> Point:
        """A point of the foot on the paper."""
        return self.origin[0] + across * SCALE, self.origin[1] - up * SCALE

    def curve(self, points: shape.Curve) -> tuple[Point, ...]:
        """Points of the foot on the paper."""
        return tuple(self.at(*point) for point in points)

    def label(self, measure: str, at: Point, *, ground: bool = False) -> str:
        """A measure's number on a disc and its name right of it, on a `ground` of paper where it
        stands on a line."""
        place, name = self.names[measure]
        (x, y), start = at, at[0] + BADGE_MM + 1.2
        base = y + CAP_HEIGHT * BADGE_TYPE_MM / 2
        # A long name is set smaller rather than cut off at the edge.
        long = text_width(name, TYPE_MM) / (self.width - start)
        size = TYPE_MM / max(1.0, long)
        figure = write((x, base), str(place), BADGE_TYPE_MM, anchor="middle", bold=True)
        wide = start + text_width(name, size) - x
        under = rectangle((x, y - BADGE_MM), wide, 2 * BADGE_MM, fill=self.theme.paper)
        return group(
            (
                under if ground else "",
                circle(at, BADGE_MM),
                group((figure,), fill=self.theme.paper),
                write((start, base), name, size) if name else "",
            )
        )

    def span(self, a: Point, b: Point) -> str:
        """A line with an arrowhead at both ends, upright or level."""
        along = (float(b[0] > a[0]), float(b[1] > a[1]))
        back = (-along[0], -along[1])
        ends = ((a, back), (b, along))
        heads = (arrow_head(tip, way, ARROW_MM, self.theme.act) for tip, way in ends)
        return group((line(a, b, stroke=self.theme.act, stroke_width=2 * THIN_MM), *heads))

    def thin(self, *points: Point) -> str:
        """A thin line that leads the eye."""
        data = polyline_data(points)
        return path(data, stroke=self.theme.muted, stroke_width=THIN_MM, fill="none")


def foot_side_svg(names: Names, title: str, theme: Theme = Theme.PRINT) -> str:
    """Leg and foot from outside, with the tapes round them, the length and the ankle bone."""
    sketch = Sketch(names, theme, SIDE_ORIGIN, SIDE_MM[0])
    body = (
        _floor(sketch),
        _side_outline(sketch),
        *(_tape(sketch, name) for name in shape.TAPES),
        _bone_height(sketch),
        _side_length(sketch),
    )
    return document(*SIDE_MM, title, title, body, theme)


def foot_plan_svg(names: Names, title: str, theme: Theme = Theme.PRINT) -> str:
    """The foot from above, with its axis, its length along it and its two breadths."""
    sketch = Sketch(names, theme, PLAN_ORIGIN, PLAN_MM[0])
    body = (
        _plan_outline(sketch),
        _plan_axis(sketch),
        _plan_length(sketch),
        _breadth(sketch, "foot_breadth", shape.BALL, shape.BALL_SIDES),
        _breadth(sketch, "heel_breadth", shape.AT_HEEL, shape.HEEL_SIDES),
    )
    return document(*PLAN_MM, title, title, body, theme)


def _strokes(theme: Theme, curves: Iterable[str], width: float, fill: str = "none") -> str:
    return group(
        (path(curve) for curve in curves),
        stroke=theme.ink,
        stroke_width=width,
        fill=fill,
        stroke_linecap="round",
        stroke_linejoin="round",
    )


def _side_outline(sketch: Sketch) -> str:
    theme = sketch.theme
    lines = [smooth(sketch.curve(c)) for c in (shape.SIDE_BACK, shape.SIDE_FRONT)]
    toes = [smooth(sketch.curve(c)) for c in reversed(shape.SIDE_TOES)]
    folds = [smooth(sketch.curve(c)) for c in (shape.SIDE_BONE, *shape.SIDE_FOLDS)]
    return group(
        (
            _strokes(theme, lines, OUTLINE_MM),
            _strokes(theme, toes, OUTLINE_MM, theme.paper),
            _strokes(theme, folds, FOLD_MM),
            _break(sketch),
        )
    )


def _break(sketch: Sketch) -> str:
    """The leg goes on above: a wave with its ends past the outline."""
    (left, _), (right, _) = shape.SIDE_BACK[0], shape.SIDE_FRONT[0]
    wide = right - left
    places = ((-0.08, 0), (0.2, 5), (0.5, 0), (0.8, -5), (1.08, 0))
    wave = tuple((left + share * wide, shape.TOP + up) for share, up in places)
    return _strokes(sketch.theme, [smooth(sketch.curve(wave))], FOLD_MM)


def _floor(sketch: Sketch) -> str:
    return line(
        sketch.at(-44, 0),
        sketch.at(shape.LENGTH + 10, 0),
        stroke=sketch.theme.muted,
        stroke_width=THIN_MM,
    )


LABELS = {
    "ball_girth": (206.0, 78.0),
    "instep_girth": (172.0, 112.0),
    "heel_girth": (150.0, 145.0),
    "ankle_girth": (150.0, 178.0),
    "calf_girth": (150.0, 318.0),
}
"""Where the tapes' labels stand, in mm of the foot."""


def _tape(sketch: Sketch, name: str) -> str:
    """A tape, its white edge parting it from the outline, and a line to its label."""
    points = sketch.curve(shape.TAPES[name])
    data, theme = smooth(points), sketch.theme
    at = sketch.at(*LABELS[name])
    edge = path(data, stroke=theme.paper, stroke_width=TAPE_MM + 0.8, fill="none")
    tape = path(data, stroke=theme.act, stroke_width=TAPE_MM, fill="none", stroke_linecap="round")
    return group((edge, tape, sketch.thin(points[-1], at), sketch.label(name, at)))


def _bone_height(sketch: Sketch) -> str:
    x = -32.0
    low, high = sketch.at(x, 0), sketch.at(x, shape.BONE)
    lead = sketch.thin(sketch.at(58, shape.BONE), sketch.at(x - 6, shape.BONE))
    badge = sketch.label("ankle_bone_height", sketch.at(x, shape.BONE + 14))
    return group((lead, sketch.span(high, low), badge))


LENGTH_LABEL = 105.0
"""How far from the heel the label of the length stands, mm of the foot."""


def _side_length(sketch: Sketch) -> str:
    z = -20.0
    ends = sketch.at(0, z), sketch.at(shape.LENGTH, z)
    leads = (sketch.thin(sketch.at(x, -4), sketch.at(x, z - 6)) for x in (0.0, shape.LENGTH))
    badge = sketch.label("length", sketch.at(LENGTH_LABEL, z), ground=True)
    return group((*leads, sketch.span(*ends), badge))


def _plan_outline(sketch: Sketch) -> str:
    curves = (shape.PLAN_INNER, shape.PLAN_OUTER, *shape.PLAN_TOES)
    return group(
        (
            _strokes(sketch.theme, [smooth(sketch.curve(c)) for c in curves], OUTLINE_MM),
            _strokes(
                sketch.theme, [smooth_closed(sketch.curve(c)) for c in shape.PLAN_NAILS], FOLD_MM
            ),
        )
    )


def _plan_axis(sketch: Sketch) -> str:
    """The axis through heel point and second toe."""
    ends = sketch.at(0, -14), sketch.at(0, shape.LENGTH + 22)
    dashes = " ".join(number(part) for part in (3.0, 1.0, 0.6, 1.0))
    return line(*ends, stroke=sketch.theme.ink, stroke_width=THIN_MM, stroke_dasharray=dashes)


def _plan_length(sketch: Sketch) -> str:
    """The length beside the foot, square to lines across heel and longest toe."""
    u = -64.0
    leads = (
        sketch.thin(sketch.at(u - 6, x), sketch.at(end, x))
        for x, end in ((0.0, 34.0), (shape.LENGTH, 30.0))
    )
    span = sketch.span(sketch.at(u, shape.LENGTH), sketch.at(u, 0))
    return group((*leads, span, sketch.label("length", sketch.at(u, 130))))


def _breadth(sketch: Sketch, name: str, x: float, sides: tuple[float, float]) -> str:
    ends = sketch.at(sides[0], x), sketch.at(sides[1], x)
    at = sketch.at(70, x)
    return group((sketch.span(*ends), sketch.thin(ends[1], at), sketch.label(name, at)))
