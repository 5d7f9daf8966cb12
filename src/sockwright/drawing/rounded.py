"""The rounded ends of a sock in side view, heel and toe, and the short rows within them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import cos, sin

from sockwright.drawing.plane import Outline, Segment, between
from sockwright.drawing.svg import Point
from sockwright.sock.cup import Cup

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
