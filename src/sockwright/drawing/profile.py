"""The flat side view of a sock, to scale: outlines of its parts and lines of its courses.

Foot, leg and cuff are tubes laid flat, as long as their courses and half as wide as their girth.
Between leg and foot the heel runs round a circle as far as its cup turns; heel and toe reach
beyond the foot's tube by half their rows. The toe points to the right and the sole lies on y = 0,
all in mm of fabric.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from math import pi, radians

from sockwright.drawing.leg_shape import Leg, Tube, stand_leg
from sockwright.drawing.plane import Outline, Segment, between, inside, meeting
from sockwright.drawing.rounded import EVERY, SMOOTH, Fan, Rounded, fan_of
from sockwright.sock.sizing import Sizing

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


def draw_profile(sizing: Sizing, wale_mm: float, course_mm: float, loss_mm: float = 0.0) -> Profile:
    """The side view of a sized sock; `loss_mm` is what a gathered end takes of the foot."""
    width = sizing.needles * wale_mm / 2
    toe = _toe(sizing, width, course_mm, loss_mm)
    tube = _tube(sizing, width, wale_mm, course_mm, toe.centre[0])
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
            *_leg_courses(sizing, leg, course_mm, areas["leg"]),
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


def _tube(sizing: Sizing, width: float, wale: float, course: float, foot_end: float) -> Tube:
    """The leg at the cup's own turn where enough of it is then seen in front, and it meets the
    instep before the toe; else upright. Without a heel it lies in line with the foot."""
    parts = tuple((rounds * factor * course, factor) for rounds, factor in sizing.leg_shape)
    own = sizing.heel.turn(wale, course)
    depth, cuff = sizing.heel.share * course, sizing.cuff.visible * course
    if own == 0:
        return Tube(width, 0.0, 0.0, parts[::-1], cuff)
    turn = min(max(own, RIGHT_ANGLE), WIDEST_TURN)
    tube = Tube(width, depth, turn, parts[::-1], cuff)
    seen = tube.at(tube.height, 1.0)[1] < -width - SEEN * tube.height
    lifted = tube.at(0.0, 1.0)[1] < -width
    meets = lifted or meeting(tube.side(1.0), ((-depth, -width), (foot_end, -width)))
    return tube if seen and meets else Tube(width, depth, RIGHT_ANGLE, parts[::-1], cuff)


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
