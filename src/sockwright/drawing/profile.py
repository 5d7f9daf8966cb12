"""The flat side view of a sock, to scale: outlines of its parts and lines of its courses.

Foot, leg and cuff are tubes laid flat, as long as their courses and half as wide as their girth.
Between leg and foot the heel's middle wale, as long as its rows, runs round a circle as far as
the cup turns. The toe points to the right and the sole lies on y = 0, all in mm of fabric.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from math import atan2, cos, pi, radians, sin

from sockwright.drawing.plane import Outline, Segment, between, distance, inside, meeting
from sockwright.drawing.svg import Point
from sockwright.sock.cup import Cup
from sockwright.sock.sizing import Sizing

EVERY = 10
"""Courses between two course lines."""
SMOOTH = 48
"""Straight pieces that a rounded end is drawn in."""
CLEAR_MM = 6.0
"""The front of a leg must stand this far above the instep to be drawn as a tube of its own."""
SEEN = 0.25
"""Share of the leg that must be seen in front for the cup's own turn to be drawn."""
RIGHT_ANGLE, WIDEST_TURN = pi / 2, radians(125)


@dataclass(frozen=True)
class Rounded:
    """A cup in side view: half an ellipse or a sector about `centre`, from `start` through
    `start` + `turn` (radians from straight down, clockwise positive), with its radii."""

    centre: Point
    across: float
    along: float
    start: float
    turn: float

    def at(self, share: float, depth: float = 1.0) -> Point:
        """The point `share` of the way round at `depth` (0 centre, 1 edge)."""
        angle = self.start + share * self.turn
        x = self.centre[0] - depth * self.along * sin(angle)
        return x, self.centre[1] + depth * self.across * cos(angle)

    def edge(self) -> Outline:
        """The rounded edge from end to end."""
        return tuple(self.at(place / SMOOTH) for place in range(SMOOTH + 1))


@dataclass(frozen=True)
class Profile:
    """Everything a drawing of the side view needs.

    `areas` are the closed outlines of cuff, leg, heel, foot and toe, `outline` that of the sock;
    `courses` the lines every EVERY courses; `gores` where short rows meet; `folds` the kept
    needles of the cups. `up` is the unit vector along the leg. `low` tells that the leg is too
    short to be drawn as a tube of its own.
    """

    width: float
    heel_depth: float
    turn: float
    low: bool
    up: Point
    heel: Rounded
    toe: Rounded
    foot_end: float
    tip: float
    back: Outline
    front: Outline
    corner: Point
    leg_top: Segment
    areas: dict[str, Outline]
    outline: Outline
    courses: tuple[Segment, ...]
    gores: tuple[Segment, ...] = ()
    folds: tuple[Segment, ...] = ()
    gathers: tuple[Segment, ...] = field(default=())


def cup_turn(cup: Cup, wale_mm: float, course_mm: float) -> float:
    """How far a cup turns the tube, radians: the angle between its first and its last row at the
    corner, laid flat (geometry of two right trapezoids joined along their slopes)."""
    side = cup.raised / 2 * wale_mm
    return sum(atan2(rows * course_mm, side) for rows in (cup.narrowing_rows, cup.widening_rows))


def draw_profile(sizing: Sizing, gauge_mm: tuple[float, float], loss_mm: float = 0.0) -> Profile:
    """The side view of a sized sock; `gauge_mm` is (wale, course), `loss_mm` what a gathered end
    takes of the foot's length."""
    return _Maker(sizing, *gauge_mm, loss_mm).profile()


class _Maker:
    """Builds a profile step by step from its measures."""

    def __init__(self, sizing: Sizing, wale: float, course: float, loss: float) -> None:
        self.sizing, self.wale, self.course, self.loss = sizing, wale, course, loss
        self.width = sizing.needles * wale / 2
        self.depth = sizing.heel.share * course
        self.foot = sizing.foot_rounds * course
        self.cuff = sizing.cuff.visible * course
        self.legs = [(rounds * factor * course, factor) for rounds, factor in sizing.leg_shape]
        self.leg = sum(height for height, _ in self.legs)
        self.toe = self._toe()
        self.turn = self._turn()
        self.heel = Rounded((0.0, -self.depth), self.depth, self.depth, 0.0, self.turn)
        self.up = (-cos(self.turn), -sin(self.turn))
        self.forward = (sin(self.turn), -cos(self.turn))
        self.upper = self._upper()

    def _toe(self) -> Rounded:
        middle = (self.foot, -self.width / 2)
        if self.sizing.toe.cup is not None:
            depth = self.sizing.toe.share * self.course
            return Rounded(middle, self.width / 2, depth, 0.0, -pi)
        start = max(self.foot - 2 * self.loss, 0.0)
        return Rounded(
            (start, -self.width / 2), self.width / 2, self.foot - start - self.loss, 0.0, -pi
        )

    def _turn(self) -> float:
        """The cup's own turn where the leg is tall enough to be seen in front; else a right
        angle."""
        own = min(
            max(cup_turn(self.sizing.heel.cup, self.wale, self.course), RIGHT_ANGLE), radians(125)
        )
        for turn in (own,):
            front = self._tube_point(self.leg + self.cuff, 1.0, turn)
            if front[1] < -self.width - max(CLEAR_MM, 0.25 * (self.leg + self.cuff)):
                return turn
        return RIGHT_ANGLE

    def _width_at(self, height: float) -> float:
        """Flat width of the leg at a height above the heel: each part's own at its middle."""
        points = [(0.0, self.width)]
        at = 0.0
        for part, factor in reversed(self.legs):
            points.append((at + part / 2, self.width * factor))
            at += part
        points.append((at, points[-1][1]))
        for (low, one), (high, other) in pairwise(points):
            if height <= high:
                return one + (other - one) * (height - low) / max(high - low, 1e-9)
        return points[-1][1]

    def _tube_point(self, height: float, share: float, turn: float) -> Point:
        """A point of a leg drawn as a straight tube: `share` 0 at the back, 1 in front."""
        up, forward = (-cos(turn), -sin(turn)), (sin(turn), -cos(turn))
        across = self.width / 2 + (share - 0.5) * self._width_at(height) - self.depth
        return (
            forward[0] * across + up[0] * height,
            -self.depth + forward[1] * across + up[1] * height,
        )

    def _upper(self) -> Outline:
        """The instep from above the heel to the tip of the toe."""
        over = tuple(self.toe.at(1 - place / SMOOTH) for place in range(SMOOTH // 2 + 1))
        return ((-self.depth, -self.width), *over)

    def profile(self) -> Profile:
        total = self.leg + self.cuff
        heights = [total * place / SMOOTH for place in range(SMOOTH + 1)]
        back = tuple(self._tube_point(h, 0.0, self.turn) for h in heights)
        front = tuple(self._tube_point(h, 1.0, self.turn) for h in reversed(heights))
        corner = meeting(front, self.upper)
        low = corner is None or front[0][1] > -self.width - CLEAR_MM
        if low or corner is None:
            front, corner = self._low_front(back[-1], total)
        else:
            seen = [p for p in front if self._above(p)]
            front = (*seen, corner)
        return self._assemble(back, front, corner, low=low)

    def _above(self, point: Point) -> bool:
        return point[1] < -self.width

    def _low_front(self, back_top: Point, total: float) -> tuple[Outline, Point]:
        """Front of a leg too short to rise above the instep: its opening slants from the back to
        the instep, as wide as the tube."""
        points = [between(a, b, part / 20) for a, b in pairwise(self.upper) for part in range(20)]
        width = self._width_at(total)
        edge = next((n for n, p in enumerate(points) if distance(p, back_top) >= width), -1)
        top = points[edge]
        ahead = next((p for p in points[edge:] if distance(p, top) >= 0.4 * total), self.upper[-1])
        return (top, ahead), ahead

    def _assemble(self, back: Outline, front: Outline, corner: Point, *, low: bool) -> Profile:
        sole = (self.foot_end, 0.0)
        toe_edge = self.toe.edge()
        hinge = self.heel.centre
        leg_top = (self._back_at(back, self.leg), self._front_at(front, self.leg, low))
        leg = (back[0], *self._part(back, 0, self.leg), leg_top[0], leg_top[1])
        areas = {
            "cuff": self._cuff_area(back, front, leg_top, low),
            "leg": (*leg, *self._front_part(front, leg_top[1]), hinge),
            "heel": (hinge, *self.heel.edge()),
            "foot": ((0.0, 0.0), sole, (self.foot_end, -self.width), corner, hinge),
            "toe": toe_edge,
        }
        outline = (*toe_edge, *reversed(front), *reversed(back), *reversed(self.heel.edge()))
        rows, gores, folds = self._rows()
        return Profile(
            width=self.width,
            heel_depth=self.depth,
            turn=self.turn,
            low=low,
            up=self.up,
            heel=self.heel,
            toe=self.toe,
            foot_end=self.foot_end,
            tip=self.toe.centre[0] + self.toe.along,
            back=back,
            front=front,
            corner=corner,
            leg_top=leg_top,
            areas=areas,
            outline=outline,
            courses=(
                *rows,
                *self._foot_courses(areas["foot"]),
                *self._leg_courses(back, front, areas["leg"], low),
            ),
            gores=gores,
            folds=folds,
            gathers=self._gathers(),
        )

    @property
    def foot_end(self) -> float:
        """Where the foot's tube ends and the rounding of the toe begins."""
        return self.toe.centre[0]

    def _back_at(self, back: Outline, height: float) -> Point:
        return self._tube_point(height, 0.0, self.turn)

    def _front_at(self, front: Outline, height: float, low: bool) -> Point:
        """The front of the leg at a height, or the corner where that lies within the foot."""
        if low:
            return between(front[-1], front[0], height / (self.leg + self.cuff))
        point = self._tube_point(height, 1.0, self.turn)
        return point if self._above(point) else front[-1]

    def _part(self, back: Outline, low: float, high: float) -> Outline:
        total = self.leg + self.cuff
        return tuple(p for n, p in enumerate(back) if low < total * n / SMOOTH < high)

    def _front_part(self, front: Outline, start: Point) -> Outline:
        """The front from `start` down to the corner."""
        below = [p for p in front if p[1] > start[1] + 1e-9]
        return tuple(below) if below else (front[-1],)

    def _cuff_area(self, back: Outline, front: Outline, leg_top: Segment, low: bool) -> Outline:
        above = [p for p in front if p[1] < leg_top[1][1] - 1e-9] or [front[0]]
        return (leg_top[0], *self._part(back, self.leg, 1e9), back[-1], *above, leg_top[1])

    def _foot_courses(self, area: Outline) -> Iterator[Segment]:
        step = EVERY * self.course
        for place in range(1, int(self.foot_end / step) + 1):
            x = place * step
            yield from inside(((x, 1.0), (x, -self.width - 1.0)), area)

    def _leg_courses(
        self, back: Outline, front: Outline, area: Outline, low: bool
    ) -> Iterator[Segment]:
        for height in self._leg_heights():
            start = self._back_at(back, height)
            if low:
                yield start, self._front_at(front, height, low)
                continue
            far = self._tube_point(height, 1.0, self.turn)
            longer = (between(far, start, 1.02), between(start, far, 1.02))
            yield from inside(longer, area)

    def _leg_heights(self) -> Iterator[float]:
        """Heights above the heel of every tenth leg round, counted from the cuff down."""
        height, done = self.leg, 0
        for rounds, factor in self.sizing.leg_shape:
            for _ in range(rounds):
                height -= factor * self.course
                done += 1
                if done % EVERY == 0 and height > 0.5:
                    yield height

    def _rows(self) -> tuple[list[Segment], tuple[Segment, ...], tuple[Segment, ...]]:
        """Lines of short rows, and the gores and folds of both cups."""
        heel, toe = self.sizing.heel, self.sizing.toe
        stretches: list[tuple[float, Cup | None]] = [(float(heel.cup.rows), heel.cup)]
        if heel.deep is not None:
            stretches = [(heel.deep.rows, heel.deep), (heel.wedge_rounds, None), *stretches]
        fans = [_fan(self.heel, stretches)]
        if toe.cup is not None:
            fans.append(_fan(self.toe, [(toe.cup.rows, toe.cup)]))
        return (
            [row for fan in fans for row in fan[0]],
            tuple(gore for fan in fans for gore in fan[1]),
            tuple(fold for fan in fans for fold in fan[2]),
        )

    def _gathers(self) -> tuple[Segment, ...]:
        if self.sizing.toe.cup is not None:
            return ()
        tip = self.toe.at(0.5)
        x = self.foot_end - 0.6 * self.toe.along
        starts = ((x, -self.width * (0.5 + part / 16)) for part in range(-6, 7))
        return tuple((between(start, tip, 0.15), between(start, tip, 0.85)) for start in starts)


Fan = tuple[list[Segment], list[Segment], list[Segment]]


def _fan(cup: Rounded, stretches: Sequence[tuple[float, Cup | None]]) -> Fan:
    """Rows, gores and folds of cups that follow one another round a rounded end.

    A short row runs from the gore, where it turns, to the middle wale on the edge; the gore
    reaches as deep as needles are raised, and the fold of the kept ones goes on from there.
    """
    total = sum(rows for rows, _ in stretches)
    rows_drawn: list[Segment] = []
    gores: list[Segment] = []
    folds: list[Segment] = []
    done = 0.0
    for rows, one in stretches:
        middle = (done + rows / 2) / total
        raised = one.raised / one.needles if one else 0.0
        if one:
            gores.append((cup.centre, cup.at(middle, raised)))
            folds.append((cup.at(middle, raised), cup.at(middle)))
        for row in range(EVERY, int(rows), EVERY):
            near = 1 - abs(row / rows * 2 - 1)
            start = cup.at(middle, raised * near) if one else cup.centre
            rows_drawn.append((start, cup.at((done + row) / total)))
        done += rows
    return rows_drawn, gores, folds
