"""Where to measure a foot: two line drawings with every measure numbered and named."""

from __future__ import annotations

from collections.abc import Iterable
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
from sockwright.drawing.base.theme import CAP_HEIGHT, Theme, text_width
from sockwright.facts.feet import Drawn, foot_measures
from sockwright.i18n import Locale, _

LENGTH = 260.0
TOP = 372.0
"""Where the drawn leg ends."""
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


@dataclass(frozen=True)
class Sketch:
    """One of the drawings: its language, theme, where its foot stands and how wide it is, mm."""

    locale: Locale
    theme: Theme
    origin: Point
    width: float

    def at(self, across: float, up: float) -> Point:
        """A point of the foot on the paper."""
        return self.origin[0] + across * SCALE, self.origin[1] - up * SCALE

    def curve(self, points: Curve) -> tuple[Point, ...]:
        """Points of the foot on the paper."""
        return tuple(self.at(*point) for point in points)

    def label(self, place: int, drawn: Drawn) -> str:
        """A measure's number on a disc and its name right of it, on a ground of paper where it
        stands on a line."""
        name, at = self.locale.render(drawn.name) if drawn.name else "", self.at(*drawn.label)
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
                under if drawn.ground else "",
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


def foot_side_svg(locale: Locale, theme: Theme = Theme.PRINT) -> str:
    """Leg and foot from outside, with the tapes round them, the length and the ankle bone."""
    sketch = Sketch(locale, theme, SIDE_ORIGIN, SIDE_MM[0])
    title = locale.render(_("Where to measure a foot, seen from outside"))
    body = (_floor(sketch), _side_outline(sketch), *_measures(sketch, "side"))
    return document(*SIDE_MM, title, title, body, theme)


def foot_plan_svg(locale: Locale, theme: Theme = Theme.PRINT) -> str:
    """The foot from above, with its axis, its length along it and its two breadths."""
    sketch = Sketch(locale, theme, PLAN_ORIGIN, PLAN_MM[0])
    title = locale.render(_("Where to measure it, from above"))
    body = (_plan_outline(sketch), _plan_axis(sketch), *_measures(sketch, "plan"))
    return document(*PLAN_MM, title, title, body, theme)


def _measures(sketch: Sketch, view: str) -> list[str]:
    """The measures seen from there; a label on a ground lies over all others."""
    shown = [(one.number, one.drawn[view]) for one in foot_measures().values() if view in one.drawn]
    return [_measure(sketch, *one) for one in sorted(shown, key=lambda one: one[1].ground)]


def _measure(sketch: Sketch, number: int, drawn: Drawn) -> str:
    """A tape, its white edge parting it from the outline, or a span from end to end; the lines that
    lead to it, or else one from its end to its label."""
    points, theme = sketch.curve(drawn.line), sketch.theme
    shown: tuple[str, ...] = tuple(sketch.thin(*sketch.curve(lead)) for lead in drawn.leads)
    if drawn.tape:
        data = smooth(points)
        edge = path(data, stroke=theme.paper, stroke_width=TAPE_MM + 0.8, fill="none")
        tape = path(
            data, stroke=theme.act, stroke_width=TAPE_MM, fill="none", stroke_linecap="round"
        )
        shown += (edge, tape)
    else:
        shown += (sketch.span(points[0], points[-1]),)
    if not drawn.leads:
        shown += (sketch.thin(points[-1], sketch.at(*drawn.label)),)
    return group((*shown, sketch.label(number, drawn)))


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
