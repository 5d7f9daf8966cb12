"""The marking ring: a disc as wide as the needle circle with every needle on its edge."""

from __future__ import annotations

from math import pi

from sockwright.drawing.base.geometry import Dial, clockwise, outward
from sockwright.drawing.base.places import PlacedMark
from sockwright.drawing.base.signs import mark_symbol, numbered
from sockwright.drawing.base.svg import (
    Point,
    circle,
    document,
    group,
    line,
    path,
    segments_data,
    write,
)
from sockwright.drawing.base.text import CAP_HEIGHT, text_box, without_overlaps
from sockwright.drawing.base.theme import Theme
from sockwright.machine import HOURS, Direction, Machine, home_hour
from sockwright.words import ENGLISH, Tongue, said

MARGIN_MM = 6.0
TICK_MM, FIVE_MM = 3.6, 5.2
MARK_MM = 3.8
TYPE_MM = 2.8
LETTERS_END_MM = FIVE_MM + MARK_MM + 4.1 * TYPE_MM
"""Ticks, numbers, marks and their letters take so much of the disc from its edge inward."""


def ring_svg(
    needles: int,
    diameter_mm: float,
    marks: tuple[PlacedMark, ...],
    machine: Machine,
    theme: Theme = Theme.PRINT,
    words: Tongue = ENGLISH,
) -> str:
    """A disc of `diameter_mm`, seen from above and lying as the cylinder does at rest: a tick for
    every needle, numbers, the halves and the marks."""
    radius = diameter_mm / 2
    size = diameter_mm + 2 * MARGIN_MM
    face = Dial((size / 2, size / 2))
    sense = 1 if machine.forward is Direction.CLOCKWISE else -1
    turn = _Turn(face, radius, home_hour(machine), sense, needles)
    title = words.tell("Marking ring for {needles} needles", needles=needles)
    size_words = words.tell(
        "{needles} needles · {diameter} across the needle circle",
        needles=needles,
        diameter=said("{value:g} mm", value=diameter_mm),
    )
    body = (
        circle(face.centre, radius, fill="none", stroke=theme.ink, stroke_width=0.2),
        turn.cross(theme),
        turn.ticks(theme),
        turn.numbers(),
        turn.marks(marks, theme),
        turn.names(size_words, theme, words),
    )
    return document(size, size, title, size_words, body, theme)


class _Turn:
    """Needle places on the disc."""

    def __init__(self, face: Dial, radius: float, home: float, sense: int, needles: int) -> None:
        self.face, self.radius, self.home = face, radius, home
        self.sense, self.needles = sense, needles

    def hour(self, place: float) -> float:
        return (self.home + self.sense * HOURS * (place - 0.5) / self.needles) % HOURS

    def ticks(self, theme: Theme) -> str:
        every = range(1, self.needles + 1)
        long = [n for n in every if n % 5 == 0 or n == 1]
        short = [n for n in every if n not in long]
        return group(
            (
                path(
                    segments_data(
                        self.face.spoke(self.radius - length, self.radius, self.hour(n))
                        for n in numbers
                    ),
                    stroke_width=width,
                )
                for numbers, length, width in ((short, TICK_MM, 0.25), (long, FIVE_MM, 0.4))
            ),
            stroke=theme.ink,
        )

    def cross(self, theme: Theme) -> str:
        """The line between the halves, as far as the marks' letters, and the middle."""
        ends = [
            self.face.at(self.radius - LETTERS_END_MM, self.hour(p))
            for p in (0.5, self.needles // 2 + 0.5)
        ]
        centre = self.face.centre
        lines = (line(centre, end, stroke_dasharray="4 1 1 1") for end in ends)
        return group(
            (*lines, circle(centre, 1.5, fill="none")), stroke=theme.muted, stroke_width=0.2
        )

    def numbers(self) -> str:
        radius = self.radius - FIVE_MM - 1.0 * TYPE_MM
        apart = 5 * 2 * pi * radius / self.needles
        wanted = [1, *numbered(self.needles, apart, TYPE_MM)]
        places = [self.face.at(radius, self.hour(n)) for n in wanted]
        boxes = [text_box(at, str(n), TYPE_MM) for at, n in zip(places, wanted, strict=True)]
        keep = without_overlaps(boxes)
        return group(
            _centred(str(n), at, bold=n == 1)
            for n, at, free in zip(wanted, places, keep, strict=True)
            if free
        )

    def marks(self, marks: tuple[PlacedMark, ...], theme: Theme) -> str:
        """The marks inside the numbers, each tied to the edge by a fine line."""
        tip = self.radius - FIVE_MM - 2.5 * TYPE_MM
        parts = []
        for mark in marks:
            hour = self.hour(mark.place)
            way = clockwise(hour)
            along = (self.sense * way[0], self.sense * way[1])
            at = self.face.at(tip, hour)
            if not mark.facing:
                ends = self.face.spoke(self.radius - FIVE_MM, self.radius, hour)
                parts.append(
                    line(*ends, stroke=theme.ink, stroke_width=0.25, stroke_dasharray="0.8 0.5")
                )
            parts.append(mark_symbol(mark, at, MARK_MM, theme, outward(hour), along))
            letter = self.face.at(tip - MARK_MM - 0.8 * TYPE_MM, hour)
            parts.append(_centred(mark.letter, letter, bold=True))
        return group(parts)

    def names(self, said: str, theme: Theme, words: Tongue) -> str:
        middle = (self.needles // 2 + 1) / 2
        x, y = self.face.at(0.35 * self.radius, self.hour(middle))
        other = self.face.at(0.35 * self.radius, self.hour(middle) + HOURS / 2)
        base = self.face.at(0.14 * self.radius, self.hour(middle))
        return (
            _centred(words.tell("heel half"), (x, y))
            + _centred(words.tell("instep half"), other)
            + write(base, said, TYPE_MM * 0.85, anchor="middle", fill=theme.muted)
        )


def _centred(words: str, at: Point, *, bold: bool = False) -> str:
    base = (at[0], at[1] + CAP_HEIGHT * TYPE_MM / 2)
    return write(base, words, TYPE_MM, anchor="middle", bold=bold)
