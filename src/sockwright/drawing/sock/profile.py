"""The flat side view of a sock, to scale: outlines of its parts and lines of its courses.

Foot, leg and cuff are tubes laid flat, as long as their courses and half as wide as their girth.
Between leg and foot the heel runs round a circle as far as its cup turns; heel and toe reach
beyond the foot's tube by half their rows. The toe points to the right and the sole lies on y = 0,
all in mm of fabric.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import cos, pi, radians, sin

from sockwright.drawing.base.geometry import Outline, Segment, between, distance, inside, meeting
from sockwright.drawing.base.svg import Point
from sockwright.sock.cup import Cup
from sockwright.sock.sizing import Sizing

EVERY = 10
"""Courses between two course lines."""
SMOOTH = 48
"""Straight pieces that a curve is drawn in."""


@dataclass(frozen=True)
class Rounded:
    """A sector of a circle or ellipse about `centre` that begins straight below it and turns by
    `turn` radians, clockwise if positive; `across` and `along` are its radii down and aside. Its
    rows fan out from `hinge`, which is the centre where none is given."""

    centre: Point
    across: float
    along: float
    turn: float
    hinged_at: Point | None = None

    @property
    def hinge(self) -> Point:
        """Where the corners of the cup lie, and its rows fan out from."""
        return self.hinged_at or self.centre

    def at(self, share: float, depth: float = 1.0) -> Point:
        """The point `share` of the way round at `depth` (0 hinge, 1 edge)."""
        angle = share * self.turn
        x = self.centre[0] - self.along * sin(angle)
        return between(self.hinge, (x, self.centre[1] + self.across * cos(angle)), depth)

    def edge(self) -> Outline:
        """The rounded edge from end to end."""
        return tuple(self.at(place / SMOOTH) for place in range(SMOOTH + 1))


@dataclass(frozen=True)
class Fan:
    """The lines within a rounded end: every tenth row, the gores where rows turn, and the folds
    of the kept needles."""

    rows: tuple[Segment, ...]
    gores: tuple[Segment, ...]
    folds: tuple[Segment, ...]


def fan_of(end: Rounded, stretches: Sequence[tuple[int, Cup | None]]) -> Fan:
    """The lines of `stretches` of (courses, their cup or None for whole rounds) that follow one
    another round an end.

    A short row runs from the gore, where it turns, to the middle wale on the edge; the gore
    reaches as deep as needles are raised, and the fold of the kept ones goes on from there.
    """
    total = sum(courses for courses, _ in stretches)
    rows: list[Segment] = []
    gores: list[Segment] = []
    folds: list[Segment] = []
    done = 0
    for courses, cup in stretches:
        middle = (done + courses / 2) / total
        raised = cup.raised / cup.needles if cup else 0.0
        tip = end.at(middle, raised)
        if cup:
            gores.append((end.hinge, tip))
            folds.append((tip, end.at(middle)))
        for row in range(EVERY, courses, EVERY):
            near = 1 - abs(row / courses * 2 - 1)
            rows.append((end.at(middle, raised * near), end.at((done + row) / total)))
        done += courses
    return Fan(tuple(rows), tuple(gores), tuple(folds))


CLEAR_MM = 6.0
"""The front of a leg must stand this far above the instep to be drawn as a tube of its own."""
LOW_FRONT = 0.4
"""Share of a low leg's height that its front takes along the instep."""


@dataclass(frozen=True)
class Knit:
    """The fabric of a part against the plain one of the foot: how many times as wide, and the
    height of its course, mm."""

    wide: float
    course: float


DRAWS_IN_MM = 30.0
"""Beside a fabric that draws in, the plain one narrows towards it over so much of its height."""


@dataclass(frozen=True)
class Tube:
    """Leg and cuff as a straight tube above a heel of `depth`, leaning by `turn` radians from
    straight down, or lying in line with the foot where that is 0; `parts` are (height, width
    factor) of the leg from the heel up, mm; leg and cuff are `drawn` to so much of that width."""

    width: float
    depth: float
    turn: float
    parts: tuple[tuple[float, float], ...]
    cuff: float
    drawn: tuple[float, float] = (1.0, 1.0)

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
                plain = one + (other - one) * (height - low) / (high - low)
                return plain * self._drawn_at(height)
        return points[-1][1] * self.drawn[1]

    def _drawn_at(self, height: float) -> float:
        """Which share of a plain tube's width is left at a height above the heel."""
        leg, cuff = self.drawn
        over = min(DRAWS_IN_MM, self.leg / 2)
        if over == 0 or height >= self.leg:
            return cuff
        below = _eased(height / over)
        above = _eased((height - self.leg + over) / over)
        return (1 + (leg - 1) * below) * (1 - above) + cuff * above

    def at(self, height: float, share: float) -> Point:
        """A point of the tube: `share` 0 at the back, 1 in front."""
        across = self.width / 2 + (share - 0.5) * self.width_at(height) - self.depth
        up = self.up
        return (
            sin(self.turn) * across + up[0] * height,
            -self.depth - cos(self.turn) * across + up[1] * height,
        )

    def height_of(self, point: Point) -> float:
        """How high above the heel a point of the tube lies."""
        return point[0] * self.up[0] + (point[1] + self.depth) * self.up[1]

    def beside(self, height: float) -> Point:
        """A point behind the tube at a height, on a straight line that touches it where it is
        widest."""
        heights = [self.height * n / SMOOTH for n in range(SMOOTH + 1)]
        out = max(0.0, *((self.width_at(one) - self.width) / 2 for one in heights)) + self.depth
        up = self.up
        return (
            -sin(self.turn) * out + up[0] * height,
            -self.depth + cos(self.turn) * out + up[1] * height,
        )

    def side(self, share: float) -> Outline:
        """A line up the tube from heel to top."""
        return tuple(self.at(self.height * n / SMOOTH, share) for n in range(SMOOTH + 1))


def _eased(share: float) -> float:
    """From 0 to 1 without a corner at either end."""
    share = min(max(share, 0.0), 1.0)
    return share * share * (3 - 2 * share)


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
        front = [p for p in self.front if low < self.tube.height_of(p) < high]
        if self.low:
            front = []
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


SEEN = 0.25
"""Share of the leg that must be seen in front for the cup's own turn to be drawn."""
RIGHT_ANGLE, WIDEST_TURN = pi / 2, radians(125)


@dataclass(frozen=True)
class Profile:
    """Everything a drawing of the side view needs.

    `areas` are the closed outlines of cuff, leg, heel, foot and toe, `outline` that of the sock;
    `courses` the lines every EVERY courses; `gores` where short rows meet, `folds` the kept
    needles of the cups and where a straight tube turns when it is worn, `gathers` the creases of a
    gathered toe, `borders` the lines between heel, foot and toe. `hem` is the line between leg
    and cuff, `foot_end` where the foot's tube ends and `tip` the tip of the toe on the sole.
    """

    width: float
    heel: Rounded
    toe: Rounded
    leg: Leg
    hem: Segment
    areas: dict[str, Outline]
    outline: Outline
    courses: tuple[Segment, ...]
    gores: tuple[Segment, ...]
    folds: tuple[Segment, ...]
    gathers: tuple[Segment, ...]
    borders: tuple[Segment, ...]

    @property
    def straight(self) -> bool:
        """Whether leg and foot are one straight tube."""
        return self.leg.tube.turn == 0

    @property
    def foot_end(self) -> float:
        """Where the foot's tube ends, along the sole from the heel's last row."""
        return self.toe.centre[0]

    @property
    def tip(self) -> float:
        """The tip of the toe, along the sole from the heel's last row."""
        return self.toe.centre[0] + self.toe.along


def draw_profile(
    sizing: Sizing,
    wale_mm: float,
    course_mm: float,
    loss_mm: float = 0.0,
    leg_knit: Knit | None = None,
    cuff_knit: Knit | None = None,
) -> Profile:
    """The side view of a sized sock; `loss_mm` is what a gathered end takes of the foot, leg and
    cuff are plain where nothing else is given."""
    width, plain = sizing.needles * wale_mm / 2, Knit(1.0, course_mm)
    toe = _toe(sizing, width, course_mm, loss_mm)
    knits = (leg_knit or plain, cuff_knit or plain)
    tube = _tube(sizing, width, (wale_mm, course_mm), knits, toe.centre[0])
    over = tuple(toe.at(1 - place / SMOOTH) for place in range(SMOOTH // 2 + 1))
    leg = stand_leg(tube, ((-tube.depth, -width), *over))
    heel = Rounded((0.0, -tube.depth), tube.depth, tube.depth, tube.turn, leg.hinge)
    areas = _areas(width, heel, toe, leg)
    fans = list(_fans(sizing, heel, toe))
    return Profile(
        width=width,
        heel=heel,
        toe=toe,
        leg=leg,
        hem=(leg.back_at(tube.leg), leg.front_at(tube.leg)),
        areas=areas,
        outline=(*toe.edge(), *reversed(leg.front), *reversed(leg.back), *reversed(heel.edge())),
        courses=(
            *(row for fan in fans for row in fan.rows),
            *_foot_courses(toe.centre[0], width, course_mm, areas["foot"]),
            *_leg_courses(sizing, leg, knits[0].course, areas["leg"]),
        ),
        gores=tuple(gore for fan in fans for gore in fan.gores),
        folds=(*(fold for fan in fans for fold in fan.folds), *_turning(tube)),
        gathers=() if sizing.toe.cup is not None else tuple(_gathers(toe, width)),
        borders=_borders(heel, toe, leg),
    )


def _turning(tube: Tube) -> tuple[Segment, ...]:
    """Across a straight tube, where it turns when it is worn."""
    return () if tube.turn else (((0.0, 0.0), (0.0, -tube.width)),)


def _borders(heel: Rounded, toe: Rounded, leg: Leg) -> tuple[Segment, ...]:
    of_toe = (toe.at(0), toe.at(1))
    if leg.tube.turn == 0:
        return (of_toe,)
    return (heel.hinge, leg.back[0]), (heel.hinge, (0.0, 0.0)), of_toe


def _toe(sizing: Sizing, width: float, course: float, loss: float) -> Rounded:
    """Half an ellipse beyond the foot's tube; a gathered end rounds off the tube itself, over
    twice the length it takes."""
    foot = sizing.foot_rounds * course
    if sizing.toe.cup is not None:
        depth = sizing.toe.share * course
        return Rounded((foot, -width / 2), width / 2, depth, -pi)
    start = max(foot - 2 * loss, 0.0)
    return Rounded((start, -width / 2), width / 2, foot - start - loss, -pi)


def _tube(
    sizing: Sizing,
    width: float,
    gauge: tuple[float, float],
    knits: tuple[Knit, Knit],
    foot_end: float,
) -> Tube:
    """The leg at the cup's own turn where enough of it is then seen in front, and it meets the
    instep before the toe; else upright. Without a heel it lies in line with the foot. `gauge` is
    wale and course of the foot, `knits` are those of leg and cuff."""
    leg, top = knits
    shape = sizing.leg_shape[::-1]
    parts = tuple((rounds * factor * leg.course, factor) for rounds, factor in shape)
    own, wide = sizing.heel.turn(*gauge), (leg.wide, top.wide)
    depth = sizing.heel.share * gauge[1]
    cuff = sizing.cuff.visible * top.course * sizing.top_factor
    if own == 0:
        return Tube(width, 0.0, 0.0, parts, cuff, wide)
    turn = min(max(own, RIGHT_ANGLE), WIDEST_TURN)
    tube = Tube(width, depth, turn, parts, cuff, wide)
    seen = tube.at(tube.height, 1.0)[1] < -width - SEEN * tube.height
    lifted = tube.at(0.0, 1.0)[1] < -width
    meets = lifted or meeting(tube.side(1.0), ((-depth, -width), (foot_end, -width)))
    return tube if seen and meets else Tube(width, depth, RIGHT_ANGLE, parts, cuff, wide)


def _areas(width: float, heel: Rounded, toe: Rounded, leg: Leg) -> dict[str, Outline]:
    end = toe.centre[0]
    return {
        "cuff": leg.area(leg.tube.leg, leg.tube.height),
        "leg": (*leg.area(0.0, leg.tube.leg), leg.hinge),
        "heel": (leg.hinge, *heel.edge()),
        "foot": ((0.0, 0.0), (end, 0.0), (end, -width), leg.corner, leg.hinge),
        "toe": toe.edge(),
    }


def _fans(sizing: Sizing, heel: Rounded, toe: Rounded) -> Iterator[Fan]:
    yield fan_of(heel, sizing.heel.stretches)
    if sizing.toe.cup is not None:
        yield fan_of(toe, [(sizing.toe.cup.rows, sizing.toe.cup)])


def _foot_courses(end: float, width: float, course: float, area: Outline) -> Iterator[Segment]:
    step = EVERY * course
    for place in range(1, int(end / step) + 1):
        x = place * step
        yield from inside(((x, 1.0), (x, -width - 1.0)), area)


def _leg_courses(sizing: Sizing, leg: Leg, course: float, area: Outline) -> Iterator[Segment]:
    for height in _leg_heights(sizing, leg.tube.leg, course):
        start = leg.back_at(height)
        if leg.low:
            yield start, leg.front_at(height)
            continue
        far = leg.tube.at(height, 1.0)
        yield from inside((between(far, start, 1.02), between(start, far, 1.02)), area)


def _leg_heights(sizing: Sizing, top: float, course: float) -> Iterator[float]:
    """Heights above the heel of every tenth leg round, counted from the cuff down."""
    height, done = top, 0
    for rounds, factor in sizing.leg_shape:
        for _ in range(rounds):
            height -= factor * course
            done += 1
            if done % EVERY == 0 and height > course / 2:
                yield height


def _gathers(toe: Rounded, width: float) -> Iterator[Segment]:
    """Creases towards the point that a gathered end is drawn to."""
    tip = toe.at(0.5)
    x = toe.centre[0] - 0.6 * toe.along
    for part in range(-6, 7):
        start = (x, -width * (0.5 + part / 16))
        yield between(start, tip, 0.15), between(start, tip, 0.85)
