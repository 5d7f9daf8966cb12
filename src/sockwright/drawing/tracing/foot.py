"""Where to measure a foot: two line drawings with every measure numbered and named."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sockwright.drawing.base.geometry import smooth, smooth_closed
from sockwright.drawing.base.signs import arrow_head
from sockwright.drawing.base.svg import (
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
from sockwright.drawing.base.text import CAP_HEIGHT, text_width
from sockwright.drawing.base.theme import Theme

LENGTH = 260.0
CALF, ANKLE, BONE = 318.0, 128.0, 68.0
"""Heights of the thickest calf, the thinnest ankle and the tip of the outer ankle bone."""
TOP = 372.0
"""Where the drawn leg ends."""
AT_HEEL = 0.16 * LENGTH
"""Where the heel is broadest (Lee, Lin and Wang 2014)."""

Curve = tuple[Point, ...]

# From the top of the calf down the back, round the heel and along the sole to the ball.
SIDE_BACK: Curve = (
    (11, 372),
    (5, 345),
    (3, 315),
    (6, 280),
    (14, 240),
    (22, 200),
    (27, 160),
    (28, 128),
    (25, 100),
    (18, 78),
    (9, 60),
    (2, 42),
    (0, 27),
    (3, 12),
    (12, 3),
    (28, 0),
    (52, 0),
    (78, 1.5),
    (110, 2.5),
    (140, 1),
    (165, 0),
    (186, 0),
    (200, 2),
)
# From the top of the shin down the front, over the instep to the big toe.
SIDE_FRONT: Curve = (
    (117, 372),
    (118, 340),
    (117, 310),
    (114, 270),
    (109, 225),
    (105, 180),
    (103, 148),
    (104, 122),
    (110, 103),
    (122, 90),
    (140, 79),
    (162, 66),
    (184, 52),
    (204, 40),
    (220, 33),
    (234, 29),
    (248, 25),
    (257, 18),
    (260, 11),
    (258, 4),
    (251, 1),
    (238, 1.5),
)
# The toes in front of it, the little one first: each from its root over its tip to the floor.
SIDE_TOES: tuple[Curve, ...] = (
    ((176, 22), (188, 21), (199, 18.5), (207, 13), (208.5, 6), (204, 1.5), (196, 1)),
    ((195, 27), (207, 24.5), (217, 20), (223.5, 13), (224, 6), (219.5, 1.5), (209, 2)),
    ((209, 30), (221, 27), (231, 22), (237.5, 14), (238, 6), (233.5, 1.5), (225, 2)),
    ((222, 32), (235, 28), (244, 22.5), (249.5, 14.5), (249.5, 6.5), (245, 1.8), (239, 2)),
)
# The outer ankle bone, the tendon behind it and the hollow before it.
SIDE_BONE: Curve = ((50, 98), (47, 84), (52, 71), (60, 67.5), (69, 72), (73, 84), (70, 98))
SIDE_FOLDS: tuple[Curve, ...] = (
    ((42, 152), (43, 128), (41, 104), (35, 84)),
    ((84, 92), (93, 86), (104, 83)),
    ((128, 60), (146, 51), (164, 41)),
    ((132, 46), (150, 37), (168, 29)),
)

# Round the foot from above, from the inner side of the heel to the root of the big toe ...
PLAN_INNER: Curve = (
    (0, 0),
    (-13, 2),
    (-25, 11),
    (-32, 27),
    (-33.5, 45),
    (-31.5, 70),
    (-30, 95),
    (-32, 122),
    (-38, 150),
    (-45, 174),
    (-48.5, 192),
    (-47, 208),
    (-45, 224),
    (-42, 242),
    (-35, 255),
    (-26, 260),
    (-17, 256),
    (-12.5, 246),
    (-12, 232),
    (-13, 219),
)
# ... and from its outer side to the root of the little toe.
PLAN_OUTER: Curve = (
    (0, 0),
    (13, 2),
    (25, 11),
    (32, 27),
    (33.5, 45),
    (36, 70),
    (40, 100),
    (46, 130),
    (51, 152),
    (53.5, 170),
    (53, 188),
    (51, 203),
    (47, 212),
    (41, 213),
    (38.5, 205),
    (38, 198),
)
PLAN_TOES: tuple[Curve, ...] = (
    ((-12, 222), (-11.5, 240), (-7, 252), (0, 256), (7, 251), (9, 240), (8.5, 222)),
    ((9, 226), (10.5, 238), (15, 246), (21, 245), (24.5, 236), (24, 214)),
    ((24.5, 222), (27, 230), (32, 233), (37, 229), (39, 219), (38.3, 202)),
)
# Closed.
PLAN_NAILS: tuple[Curve, ...] = (
    ((-35, 241), (-34, 250), (-26, 254.5), (-19.5, 250), (-19, 241), (-27, 238)),
    ((-5, 245), (-3.5, 250.5), (0.5, 252.4), (4.2, 250), (5.2, 244.5), (0, 243)),
    ((14, 238), (15.5, 242.3), (18.2, 243.4), (20.8, 241.4), (21.4, 237.5), (17.6, 236.4)),
    ((29.3, 226), (30.6, 229), (33, 230), (35, 227.7), (35.4, 224.6), (32.2, 223.8)),
    ((42.5, 206.3), (43.6, 208.9), (45.6, 209.4), (47.2, 207.2), (47.4, 204.6), (45, 203.7)),
)

# Where a tape lies, on the side that is seen, from its back or lower end to its front or upper one.
TAPES: dict[str, Curve] = {
    "ball_girth": ((170, 0), (180, 24), (185, 51.4)),
    "instep_girth": ((121, 2.2), (132, 40), (140, 79)),
    "heel_girth": ((3, 12), (55, 51), (109.5, 104)),
    "ankle_girth": ((28, 128), (66, 124), (103.7, 128)),
    "calf_girth": ((3.1, 318), (60, 311), (117.4, 318)),
}
BALL = 178.0
"""Where the foot is broadest, from the back of the heel."""
BALL_SIDES = (-46.0, 53.6)
HEEL_SIDES = (-33.4, 33.4)
"""u of the two sides of the foot there, and where the heel is broadest."""


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

    def curve(self, points: Curve) -> tuple[Point, ...]:
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
        *(_tape(sketch, name) for name in TAPES),
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
        _breadth(sketch, "foot_breadth", BALL, BALL_SIDES),
        _breadth(sketch, "heel_breadth", AT_HEEL, HEEL_SIDES),
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
    lines = [smooth(sketch.curve(c)) for c in (SIDE_BACK, SIDE_FRONT)]
    toes = [smooth(sketch.curve(c)) for c in reversed(SIDE_TOES)]
    folds = [smooth(sketch.curve(c)) for c in (SIDE_BONE, *SIDE_FOLDS)]
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
    (left, _), (right, _) = SIDE_BACK[0], SIDE_FRONT[0]
    wide = right - left
    places = ((-0.08, 0), (0.2, 5), (0.5, 0), (0.8, -5), (1.08, 0))
    wave = tuple((left + share * wide, TOP + up) for share, up in places)
    return _strokes(sketch.theme, [smooth(sketch.curve(wave))], FOLD_MM)


def _floor(sketch: Sketch) -> str:
    return line(
        sketch.at(-44, 0),
        sketch.at(LENGTH + 10, 0),
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
    points = sketch.curve(TAPES[name])
    data, theme = smooth(points), sketch.theme
    at = sketch.at(*LABELS[name])
    edge = path(data, stroke=theme.paper, stroke_width=TAPE_MM + 0.8, fill="none")
    tape = path(data, stroke=theme.act, stroke_width=TAPE_MM, fill="none", stroke_linecap="round")
    return group((edge, tape, sketch.thin(points[-1], at), sketch.label(name, at)))


def _bone_height(sketch: Sketch) -> str:
    x = -32.0
    low, high = sketch.at(x, 0), sketch.at(x, BONE)
    lead = sketch.thin(sketch.at(58, BONE), sketch.at(x - 6, BONE))
    badge = sketch.label("ankle_bone_height", sketch.at(x, BONE + 14))
    return group((lead, sketch.span(high, low), badge))


LENGTH_LABEL = 105.0
"""How far from the heel the label of the length stands, mm of the foot."""


def _side_length(sketch: Sketch) -> str:
    z = -20.0
    ends = sketch.at(0, z), sketch.at(LENGTH, z)
    leads = (sketch.thin(sketch.at(x, -4), sketch.at(x, z - 6)) for x in (0.0, LENGTH))
    badge = sketch.label("length", sketch.at(LENGTH_LABEL, z), ground=True)
    return group((*leads, sketch.span(*ends), badge))


def _plan_outline(sketch: Sketch) -> str:
    curves = (PLAN_INNER, PLAN_OUTER, *PLAN_TOES)
    return group(
        (
            _strokes(sketch.theme, [smooth(sketch.curve(c)) for c in curves], OUTLINE_MM),
            _strokes(sketch.theme, [smooth_closed(sketch.curve(c)) for c in PLAN_NAILS], FOLD_MM),
        )
    )


def _plan_axis(sketch: Sketch) -> str:
    """The axis through heel point and second toe."""
    ends = sketch.at(0, -14), sketch.at(0, LENGTH + 22)
    dashes = " ".join(number(part) for part in (3.0, 1.0, 0.6, 1.0))
    return line(*ends, stroke=sketch.theme.ink, stroke_width=THIN_MM, stroke_dasharray=dashes)


def _plan_length(sketch: Sketch) -> str:
    """The length beside the foot, square to lines across heel and longest toe."""
    u = -64.0
    leads = (
        sketch.thin(sketch.at(u - 6, x), sketch.at(end, x))
        for x, end in ((0.0, 34.0), (LENGTH, 30.0))
    )
    span = sketch.span(sketch.at(u, LENGTH), sketch.at(u, 0))
    return group((*leads, span, sketch.label("length", sketch.at(u, 130))))


def _breadth(sketch: Sketch, name: str, x: float, sides: tuple[float, float]) -> str:
    ends = sketch.at(sides[0], x), sketch.at(sides[1], x)
    at = sketch.at(70, x)
    return group((sketch.span(*ends), sketch.thin(ends[1], at), sketch.label(name, at)))
