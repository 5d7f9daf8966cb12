"""The dimensions of a drawn sock: its parts along sole and back, and the wholes outside them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from sockwright.drawing.dimension import LEADING, LIFT_MM, TYPE_MM, Dimension
from sockwright.drawing.plane import Outline
from sockwright.drawing.profile import Profile
from sockwright.drawing.shapes import shift
from sockwright.drawing.svg import Point
from sockwright.drawing.words import Words
from sockwright.estimates import Estimate
from sockwright.plan import Plan
from sockwright.quantities import format_length, format_pm

FIRST_MM, BETWEEN_MM = 4.5, 3.0
"""Distance of the first row of dimensions from the sock, and of the second from its texts."""


def sock_dimensions(
    plan: Plan, profile: Profile, scale: float, words: Words
) -> tuple[Dimension, ...]:
    """Parts and wholes on the paper; the parts without their +- where that would not fit."""
    measures = _Measures(plan, profile, scale, words)
    parts = tuple(measures.parts(with_sd=True))
    if not all(part.fits for part in parts):
        parts = tuple(measures.parts(with_sd=False))
    return (*parts, *measures.wholes(max(len(part.label) for part in parts)))


@dataclass(frozen=True)
class _Measures:
    """Where the parts of a sock begin and end on the paper, and what they measure."""

    plan: Plan
    profile: Profile
    scale: float
    words: Words

    def paper(self, points: Outline) -> Outline:
        return tuple((x / self.scale, y / self.scale) for x, y in points)

    def sole(self) -> Outline:
        """Ends of heel, foot and toe along the sole."""
        profile = self.profile
        along = (-profile.heel.along, 0.0, profile.foot_end, profile.tip)
        return self.paper(tuple((x, 0.0) for x in along))

    def back(self) -> Outline:
        """Ends of heel, leg and cuff along the back."""
        leg = self.profile.leg
        ends = self.paper((leg.back[0], self.profile.hem[0], leg.back[-1]))
        under = shift(ends[0], (leg.tube.up, -self.profile.heel.along / self.scale))
        return (under, *ends)

    def length(self, courses: float, *, with_sd: bool) -> str:
        """So many courses as a length, with its +- if asked."""
        course = self.plan.gauge.course
        sd = courses * course.sd if with_sd else 0.0
        length = format_pm(Estimate(courses * course.value, sd, "mm"), self.plan.order.units)
        return self.words.name(length)

    def parts(self, *, with_sd: bool) -> Iterator[Dimension]:
        """Heel, foot and toe below the sole; heel, leg and cuff behind the leg."""
        words, sizing = self.words, self.plan.sizing
        leg = sum(rounds * factor for rounds, factor in sizing.leg_shape)
        sole, back = self.sole(), self.back()
        stretches: list[tuple[str, Point, Point, int | None, float]] = [
            (words.heel, sole[1], sole[0], None, sizing.heel.share),
            (words.foot, sole[2], sole[1], sizing.foot_rounds, sizing.foot_rounds),
            (words.heel, back[0], back[1], None, sizing.heel.share),
            (words.leg, back[1], back[2], sizing.leg_rounds, leg),
            (words.cuff, back[2], back[3], sizing.cuff.rounds, sizing.cuff.visible),
        ]
        if sizing.toe.cup is not None:
            stretches.append((words.toe, sole[3], sole[2], None, sizing.toe.share))
        for name, a, b, rounds, courses in stretches:
            if courses:
                yield self.part(name, a, b, rounds, self.length(courses, with_sd=with_sd))

    def part(self, name: str, a: Point, b: Point, rounds: int | None, length: str) -> Dimension:
        """A part with its rounds and length, in as few lines as fit; without its rounds where
        they do not fit at all, and with the unit below the number in the narrowest."""
        number, unit = length.rsplit(" ", 1)
        ways: tuple[tuple[str, ...], ...] = ((name, length), (name, number, unit))
        if rounds is not None:
            count = self.words.fill(self.words.rounds, rounds=rounds)
            ways = ((name, f"{count} · {length}"), (name, count, length), *ways)
        choices = [Dimension(a, b, FIRST_MM, label) for label in ways]
        return next((choice for choice in choices if choice.fits), choices[-1])

    def wholes(self, lines: int) -> Iterator[Dimension]:
        """Foot length, height and flat width, outside the `lines` of text of the parts."""
        words, fabric, units = self.words, self.plan.fabric, self.plan.order.units
        offset = FIRST_MM + LIFT_MM + lines * LEADING * TYPE_MM + BETWEEN_MM
        sole, back = self.sole(), self.back()
        if self.profile.straight:
            tube = words.fill(words.tube_length, length=format_pm(fabric.tube_length, units))
            yield Dimension(sole[3], back[3], offset, (tube,))
        else:
            foot = words.fill(words.foot_length, length=format_pm(fabric.foot_length, units))
            yield Dimension(sole[3], sole[0], offset, (foot,))
            height = words.fill(words.height, length=format_pm(fabric.leg_length, units))
            yield Dimension(back[0], back[3], offset, (height,))
        leg, girth = self.profile.leg, self.plan.fit.girth
        top = self.paper((leg.back[-1], leg.front[0]))
        flat = format_pm(Estimate(girth.value / 2, girth.sd / 2, "mm"), units)
        short = format_length(girth.value / 2, units)
        name = words.fill(words.width, length="").strip()
        labels: tuple[tuple[str, ...], ...] = (
            (words.fill(words.width, length=flat),),
            (name, words.name(flat)),
            (name, words.name(short)),
        )
        widths = [Dimension(top[0], top[1], FIRST_MM, label) for label in labels]
        yield next((width for width in widths if width.fits), widths[-1])
