"""The drawing of a sock in side view, true to scale, with its dimensions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from math import degrees

from sockwright.drawing.dimension import LEADING, LIFT_MM, TYPE_MM, Dimension
from sockwright.drawing.key import Entry, Key, lay_key
from sockwright.drawing.lettering import text_width
from sockwright.drawing.plane import Outline, bounds
from sockwright.drawing.profile import EVERY, cup_turn, draw_profile
from sockwright.drawing.shapes import shift
from sockwright.drawing.sock_fabric import (
    area_of_yarn,
    draw_areas,
    draw_edge,
    draw_ribs,
    fold_sample,
    fold_section,
    own_yarns,
)
from sockwright.drawing.svg import (
    Point,
    document,
    group,
    line,
    path,
    polygon_data,
    rectangle,
    segments_data,
    write,
)
from sockwright.drawing.theme import Theme
from sockwright.drawing.words import ENGLISH, Words
from sockwright.estimates import Estimate
from sockwright.plan import Plan
from sockwright.quantities import format_pm
from sockwright.sock.cup import Cup
from sockwright.sock.sizing import HEM_KINDS, gather_loss

SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0)
ROOM_MM = (180.0, 190.0)
"""Width and height that a drawing without a given scale keeps within."""
MARGIN_MM = 3.0
FIRST_MM, BETWEEN_MM = 4.5, 3.0
"""Distance of the first row of dimensions from the sock, and of the second from its texts."""
BAR_MM, BAR_IN_MM = 50.0, 50.8
"""Length of fabric that the scale bar stands for, cm or inches."""


def sock_svg(
    plan: Plan,
    theme: Theme = Theme.PRINT,
    scale: float | None = None,
    words: Words = ENGLISH,
    *,
    room_mm: tuple[float, float] = ROOM_MM,
) -> str:
    """The sock of `plan` laid flat, 1 mm for every `scale` mm of fabric; without a scale the
    largest of SCALES that keeps within `room_mm`. Lengths are in the order's units."""
    choices = SCALES if scale is None else (scale,)
    for one in choices:
        sheet = _Sheet(plan, theme, one, words)
        if sheet.width <= room_mm[0] and sheet.height <= room_mm[1]:
            break
    return sheet.svg()


class _Sheet:
    """One drawing at one scale: what goes on it, and how much room that takes."""

    def __init__(self, plan: Plan, theme: Theme, scale: float, words: Words) -> None:
        self.plan, self.theme, self.scale, self.words = plan, theme, scale, words
        self.sizing, self.units = plan.sizing, plan.order.units
        gauge = plan.gauge
        loss = gather_loss(self.sizing.needles, gauge).value if self.sizing.toe.cup is None else 0.0
        measures = (gauge.wale.value, gauge.course.value)
        self.profile = draw_profile(self.sizing, measures, loss * gauge.course.value)
        self.dimensions = self._dimensions()
        self.notes = tuple(self._notes())
        outline = self.paper(self.profile.outline)
        points = [*outline, *(p for d in self.dimensions for p in d.reach())]
        points += [p for note in self.notes for p in note.reach()]
        left, top, right, bottom = bounds(points)
        self.origin = (MARGIN_MM - left, MARGIN_MM - top)
        self.key = self._key(right - left)
        self.width = right - left + 2 * MARGIN_MM
        self.key_top = bottom - top + 2 * MARGIN_MM
        self.height = self.key_top + self.key.height + 9.0 + MARGIN_MM

    def paper(self, points: Outline) -> Outline:
        """Points of the fabric on the paper, about the foot of the heel."""
        return tuple((x / self.scale, y / self.scale) for x, y in points)

    def _dimensions(self) -> tuple[Dimension, ...]:
        """Parts and wholes; the parts without their +- where that would not fit."""
        parts = tuple(self._parts(with_sd=True))
        if not all(part.fits for part in parts):
            parts = tuple(self._parts(with_sd=False))
        return (*parts, *self._wholes(max(len(part.label) for part in parts)))

    def _parts(self, *, with_sd: bool) -> Iterator[Dimension]:
        """Along the sole and along the back of the leg: heel, tube, toe; heel, leg, cuff."""
        words, sizing = self.words, self.sizing
        measures = {
            words.heel: (None, sizing.heel.share),
            words.foot: (sizing.foot_rounds, float(sizing.foot_rounds)),
            words.toe: (None, sizing.toe.share),
            words.leg: (
                sizing.leg_rounds,
                sum(rounds * factor for rounds, factor in sizing.leg_shape),
            ),
            words.cuff: (sizing.cuff.rounds, sizing.cuff.visible),
        }
        for name, a, b in self._stretches():
            rounds, courses = measures[name]
            yield self._part(name, a, b, rounds, self.length(courses, with_sd=with_sd))

    def _stretches(self) -> Iterator[tuple[str, Point, Point]]:
        words, sole, back = self.words, self._sole(), self._back()
        yield words.heel, sole[1], sole[0]
        yield words.foot, sole[2], sole[1]
        if self.sizing.toe.cup is not None:
            yield words.toe, sole[3], sole[2]
        yield words.heel, back[0], back[1]
        yield words.leg, back[1], back[2]
        yield words.cuff, back[2], back[3]

    def _part(self, name: str, a: Point, b: Point, rounds: int | None, length: str) -> Dimension:
        """A part with its rounds and length, in as few lines as fit."""
        if rounds is None:
            return Dimension(a, b, FIRST_MM, (name, length))
        count = self.words.rounds.format(rounds=rounds)
        ways = ((name, f"{count} · {length}"), (name, count, length), (name, length))
        choices = [Dimension(a, b, FIRST_MM, label) for label in ways]
        return next((choice for choice in choices if choice.fits), choices[-1])

    def _sole(self) -> Outline:
        """Ends of heel, foot and toe along the sole, on the paper."""
        profile = self.profile
        along = (-profile.heel_depth, 0.0, profile.foot_end, profile.tip)
        return self.paper(tuple((x, 0.0) for x in along))

    def _back(self) -> Outline:
        """Ends of heel, leg and cuff along the back, on the paper."""
        profile = self.profile
        ends = self.paper((profile.back[0], profile.leg_top[0], profile.back[-1]))
        return (shift(ends[0], (profile.up, -profile.heel_depth / self.scale)), *ends)

    def length(self, courses: float, *, with_sd: bool) -> str:
        """So many courses as a length, with its +- if asked."""
        course = self.plan.gauge.course
        sd = courses * course.sd if with_sd else 0.0
        return format_pm(Estimate(courses * course.value, sd, "mm"), self.units)

    def _wholes(self, lines: int) -> Iterator[Dimension]:
        """Foot length, height and flat width, outside the `lines` of text of the parts."""
        words, profile, fabric = self.words, self.profile, self.plan.fabric
        offset = FIRST_MM + LIFT_MM + lines * LEADING * TYPE_MM + BETWEEN_MM
        sole, back = self._sole(), self._back()
        foot = words.foot_length.format(length=format_pm(fabric.foot_length, self.units))
        yield Dimension(sole[3], sole[0], offset, (foot,))
        height = words.height.format(length=format_pm(fabric.leg_length, self.units))
        yield Dimension(back[0], back[3], offset, (height,))
        top = self.paper((profile.back[-1], profile.front[0]))
        girth = self.plan.fit.girth
        flat = Estimate(girth.value / 2, girth.sd / 2, "mm")
        width = words.width.format(length=format_pm(flat, self.units))
        yield Dimension(top[0], top[1], FIRST_MM, (width,))

    def _notes(self) -> Iterator[_Note]:
        """What stands beside the sock: the cups and the fold."""
        words, profile = self.words, self.profile
        fold = self.paper(profile.folds[-1] if self.sizing.toe.cup else (profile.toe.at(0.5),) * 2)
        if self.sizing.toe.cup is not None:
            at = shift(fold[1], ((1.0, 0.0), 2.0))
            yield _Note(at, _cup_words(self.sizing.toe.cup, words), fold[1])
        else:
            yield _Note(shift(fold[1], ((1.0, 0.0), 2.0)), (words.gathered,), fold[1])

    def _key(self, width: float) -> Key:
        entries = list(self._entries())
        return lay_key(entries, width, TYPE_MM)

    def _entries(self) -> Iterator[Entry]:
        words, theme = self.words, self.theme
        cup = ", ".join(_cup_words(self.sizing.heel.cup, words))
        gauge = self.plan.gauge
        own = cup_turn(self.sizing.heel.cup, gauge.wale.value, gauge.course.value)
        turn = words.cup_turn.format(degrees=round(degrees(own)))
        yield Entry(lambda at: _gore_sample(at, theme), f"{words.heel}: {cup}, {turn}")
        yield Entry(
            lambda at: line(
                (at[0] - 3, at[1]), (at[0] + 3, at[1]), stroke=theme.muted, stroke_width=0.16
            ),
            words.every_ten.format(rounds=EVERY),
        )
        for name, rounds in (
            (words.leg, self.sizing.leg_rounds),
            (words.cuff, self.sizing.cuff.rounds),
        ):
            count = words.rounds.format(rounds=rounds)
            if not any(
                count in line for d in self.dimensions if d.label[0] == name for line in d.label
            ):
                yield Entry(lambda _: "", f"{name}: {count}")
        if self.sizing.cuff.kind in HEM_KINDS:
            yield Entry(lambda at: fold_sample(at, theme), words.fold)
        for part, role in own_yarns(self.plan.order).items():
            yarn = self.plan.order.yarn(role)
            name = {"cuff": words.cuff, "heel": words.heel, "toe": words.toe}[part]
            yield Entry(
                lambda at, part=part, yarn=yarn: _area_sample(at, part, yarn.colour, theme),  # type: ignore[misc]
                words.yarn_of.format(part=name, yarn=yarn.name),
            )

    def svg(self) -> str:
        """The document."""
        profile, theme = self.profile, self.theme
        x, y = self.origin
        drawing = group(
            (
                path(polygon_data(self.paper(profile.outline)), fill=theme.paper),
                draw_areas(profile, self.plan.order, self.paper, theme),
                self._lines(),
                draw_ribs(profile, self.sizing, self.paper, theme),
                path(
                    polygon_data(self.paper(profile.outline)),
                    fill="none",
                    stroke=theme.ink,
                    stroke_width=0.5,
                    stroke_linejoin="round",
                ),
                draw_edge(profile, self.sizing, 1 / self.scale, self.paper, theme),
                *self._fold(),
                *(dimension.svg(theme) for dimension in self.dimensions),
                *(note.svg(theme) for note in self.notes),
            ),
            transform=f"translate({x:.3f} {y:.3f})",
        )
        words = self.words
        said = "; ".join(" ".join(d.label) for d in self.dimensions)
        body = (drawing, self.key.svg(MARGIN_MM, self.key_top), self._bar())
        return document(self.width, self.height, words.sock, said, body, theme)

    def _lines(self) -> str:
        """Course lines, part lines, gores and folds."""
        profile, theme = self.profile, self.theme
        hinge = profile.heel.centre
        parts = [
            (hinge, profile.back[0]),
            (hinge, (0.0, 0.0)),
            (profile.toe.at(0), profile.toe.at(1)),
        ]
        if self.sizing.cuff.kind not in HEM_KINDS:
            parts.append(profile.leg_top)
        return group(
            (
                self._segments(profile.courses, theme.faint, 0.16),
                self._segments(parts, theme.ink, 0.3),
                self._segments(profile.gores, theme.ink, 0.35),
                self._segments(profile.folds, theme.ink, 0.3, "0.3 0.7"),
                self._segments(profile.gathers, theme.ink, 0.25),
            ),
            stroke_linecap="round",
        )

    def _segments(
        self, segments: Iterable[Outline], ink: str, width: float, dashes: str | None = None
    ) -> str:
        data = segments_data(self.paper(segment) for segment in segments)
        return path(data, stroke=ink, stroke_width=width, stroke_dasharray=dashes) if data else ""

    def _fold(self) -> Iterator[str]:
        if self.sizing.cuff.kind in HEM_KINDS:
            yield fold_section(self.profile, self.paper, self.theme)

    def _bar(self) -> str:
        """The scale bar at the foot of the drawing, with the scale in words."""
        inches = self.units == "in"
        fabric, label = (BAR_IN_MM, "2 in") if inches else (BAR_MM, "5 cm")
        length = fabric / self.scale
        x, y = MARGIN_MM, self.height - MARGIN_MM - 4.2
        fields = 4 if inches else 5
        whole = rectangle((x, y), length, 1.4, fill=self.theme.ink)
        light = group(
            (
                rectangle((x + n * length / fields, y + 0.2), length / fields, 1.0)
                for n in range(1, fields, 2)
            ),
            fill=self.theme.paper,
        )
        said = self.words.scale.format(scale=f"{self.scale:g}")
        return whole + light + write((x + length + 2, y + 1.7), f"{label} · {said}", TYPE_MM)


@dataclass(frozen=True)
class _Note:
    """Lines of text to the right of `at`, led to the point `to`."""

    at: Point
    lines: tuple[str, ...]
    to: Point

    def reach(self) -> Outline:
        wide = max(text_width(one, TYPE_MM) for one in self.lines)
        return (self.at, (self.at[0] + wide, self.at[1] + len(self.lines) * 0.7 * TYPE_MM))

    def svg(self, theme: Theme) -> str:
        top = self.at[1] - (len(self.lines) - 1) * 0.62 * TYPE_MM + 0.34 * TYPE_MM
        return group(
            write((self.at[0], top + row * 1.25 * TYPE_MM), one, TYPE_MM)
            for row, one in enumerate(self.lines)
        )


def _cup_words(cup: Cup, words: Words) -> tuple[str, str]:
    rows = words.cup_rows.format(rows=cup.rows)
    return rows, words.cup_keeps.format(kept=cup.kept, needles=cup.needles)


def _gore_sample(at: Point, theme: Theme) -> str:
    x, y = at
    return line((x - 3, y), (x + 1, y), stroke=theme.ink, stroke_width=0.35) + line(
        (x + 1, y), (x + 3, y), stroke=theme.ink, stroke_width=0.3, stroke_dasharray="0.3 0.7"
    )


def _area_sample(at: Point, part: str, colour: str, theme: Theme) -> str:
    x, y = at
    box = ((x - 3, y - 1.2), (x + 3, y - 1.2), (x + 3, y + 1.2), (x - 3, y + 1.2))
    edge = path(polygon_data(box), fill="none", stroke=theme.ink, stroke_width=0.2)
    return area_of_yarn(box, part, colour, theme) + edge
