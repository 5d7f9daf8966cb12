"""The drawing of a sock in side view, true to scale, with its dimensions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from math import degrees

from sockwright.drawing.base.geometry import Outline, bounds
from sockwright.drawing.base.signs import (
    LEADING,
    LIFT_MM,
    TYPE_MM,
    Dimension,
    Entry,
    lay_key,
    no_symbol,
    shift,
)
from sockwright.drawing.base.svg import (
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
from sockwright.drawing.base.theme import Theme, text_width
from sockwright.drawing.sock.fabric import (
    area_of_yarn,
    draw_areas,
    draw_edge,
    draw_ribs,
    fold_sample,
    fold_section,
    own_yarns,
)
from sockwright.drawing.sock.profile import EVERY, Knit, Profile, draw_profile
from sockwright.estimates import Estimate
from sockwright.i18n import ENGLISH, Locale, numeral
from sockwright.measure.fabrics import PLAIN
from sockwright.plan.make import SockPlan, fabrics_of
from sockwright.quantities import format_length, format_pm
from sockwright.sock.cuff import HEM_KINDS
from sockwright.sock.cup import Cup

FIRST_MM, BETWEEN_MM = 4.5, 3.0
"""Distance of the first row of dimensions from the sock, and of the second from its texts."""


def sock_dimensions(
    plan: SockPlan, profile: Profile, scale: float, words: Locale
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

    plan: SockPlan
    profile: Profile
    scale: float
    words: Locale

    def paper(self, points: Outline) -> Outline:
        return tuple((x / self.scale, y / self.scale) for x, y in points)

    def sole(self) -> Outline:
        """Ends of heel, foot and toe along the sole."""
        profile = self.profile
        along = (-profile.heel.along, 0.0, profile.foot_end, profile.tip)
        return self.paper(tuple((x, 0.0) for x in along))

    def back(self) -> Outline:
        """Ends of heel, leg and cuff along the back."""
        tube = self.profile.leg.tube
        ends = self.paper(tuple(map(tube.beside, (0.0, tube.leg, tube.height))))
        under = shift(ends[0], (tube.up, -self.profile.heel.along / self.scale))
        return (under, *ends)

    def length(self, courses: float, fabric: str, *, with_sd: bool) -> str:
        """So many courses of a fabric as a length, with its +- if asked."""
        course = self.plan.gauge.of(fabric).course
        sd = courses * course.sd if with_sd else 0.0
        length = format_pm(Estimate(courses * course.value, sd, "mm"), self.plan.units)
        return self.words.named(length)

    def parts(self, *, with_sd: bool) -> Iterator[Dimension]:
        """Heel, foot and toe below the sole; heel, leg and cuff behind the leg."""
        words, sizing = self.words, self.plan.sizing
        leg = sum(rounds * factor for rounds, factor in sizing.leg_shape)
        sole, back = self.sole(), self.back()
        made = fabrics_of(self.plan.order)
        cuff = sizing.cuff.visible * sizing.top_factor
        heel, foot = sizing.heel.share, sizing.foot_rounds
        stretches: list[tuple[str, Point, Point, int | None, float, str]] = [
            (words.render("heel"), sole[1], sole[0], None, heel, PLAIN),
            (words.render("foot"), sole[2], sole[1], foot, foot, PLAIN),
            (words.render("heel"), back[0], back[1], None, heel, PLAIN),
            (words.render("leg"), back[1], back[2], sizing.leg_rounds, leg, made.leg),
            (words.render("cuff"), back[2], back[3], sizing.cuff.rounds, cuff, made.cuff),
        ]
        if sizing.toe.cup is not None:
            toe = sizing.toe.share
            stretches.append((words.render("toe"), sole[3], sole[2], None, toe, PLAIN))
        for name, a, b, rounds, courses, fabric in stretches:
            if courses:
                length = self.length(courses, fabric, with_sd=with_sd)
                unit_below = () if with_sd else ((name, *length.rsplit(" ", 1)),)
                yield self.part(name, a, b, rounds, length, unit_below)

    def part(
        self,
        name: str,
        a: Point,
        b: Point,
        rounds: int | None,
        length: str,
        narrowest: tuple[tuple[str, ...], ...],
    ) -> Dimension:
        """A part with its rounds and length, in as few lines as fit; without its rounds where
        they do not fit at all, and at last in the narrowest way there is."""
        ways: tuple[tuple[str, ...], ...] = ((name, length), *narrowest)
        if rounds is not None:
            count = self.words.render("{rounds} rounds", rounds=rounds)
            ways = ((name, f"{count} · {length}"), (name, count, length), *ways)
        choices = [Dimension(a, b, FIRST_MM, label) for label in ways]
        return next((choice for choice in choices if choice.fits), choices[-1])

    def wholes(self, lines: int) -> Iterator[Dimension]:
        """Foot length, height and flat width, outside the `lines` of text of the parts."""
        words, fabric, units = self.words, self.plan.fabric, self.plan.units
        offset = FIRST_MM + LIFT_MM + lines * LEADING * TYPE_MM + BETWEEN_MM
        sole, back = self.sole(), self.back()
        if self.profile.straight:
            tube = words.render(
                "from top to toe {length}", length=format_pm(fabric.tube_length, units)
            )
            yield Dimension(sole[3], back[3], offset, (tube,))
        else:
            foot = words.render("foot length {length}", length=format_pm(fabric.foot_length, units))
            yield Dimension(sole[3], sole[0], offset, (foot,))
            height = words.render("height {length}", length=format_pm(fabric.leg_length, units))
            yield Dimension(back[0], back[3], offset, (height,))
        leg, girth = self.profile.leg, self.plan.top.girth
        top = self.paper((leg.back[-1], leg.front[0]))
        flat = format_pm(Estimate(girth.value / 2, girth.sd / 2, "mm"), units)
        short = format_length(girth.value / 2, units)
        name = words.render("top, flat {length}", length="").strip()
        labels: tuple[tuple[str, ...], ...] = (
            (words.render("top, flat {length}", length=flat),),
            (name, words.named(flat)),
            (name, words.named(short)),
        )
        widths = [Dimension(top[0], top[1], FIRST_MM, label) for label in labels]
        yield next((width for width in widths if width.fits), widths[-1])


KEY_LEADING = 1.25
SAMPLE_MM = (3.0, 1.2)
"""Half the width and height of a sample."""


@dataclass(frozen=True)
class Note:
    """Lines of text to the right of `at`, centred on it."""

    at: Point
    lines: tuple[str, ...]

    def reach(self) -> Outline:
        """Points that the drawing must have room for."""
        wide = max(text_width(one, TYPE_MM) for one in self.lines)
        half = len(self.lines) * KEY_LEADING * TYPE_MM / 2
        return (self.at, (self.at[0] + wide, self.at[1] + half))

    def svg(self) -> str:
        """The lines as text."""
        x, y = self.at
        top = y - (len(self.lines) - 1) * KEY_LEADING / 2 * TYPE_MM + 0.34 * TYPE_MM
        return group(
            write((x, top + row * KEY_LEADING * TYPE_MM), one, TYPE_MM)
            for row, one in enumerate(self.lines)
        )


def cup_words(cup: Cup, words: Locale) -> tuple[str, str]:
    """Rows and kept needles of a cup in words."""
    rows = words.render("{rows} rows", rows=cup.rows)
    return rows, words.render("{kept} of {needles} stay", kept=cup.kept, needles=cup.needles)


def sock_entries(
    plan: SockPlan, dimensions: Sequence[Dimension], theme: Theme, words: Locale
) -> Iterator[Entry]:
    """What the lines and areas mean, and the counts that found no room beside their parts."""
    sizing, gauge = plan.sizing, plan.gauge
    turn = degrees(sizing.heel.turn(gauge.wale.value, gauge.course.value))
    for cup in sizing.heel.cups[-1:]:
        said = (*cup_words(cup, words), words.render("turns {degrees}°", degrees=round(turn)))
        yield Entry(
            partial(_gore_sample, theme=theme), f"{words.render('heel')}: {', '.join(said)}"
        )
    if not sizing.heel.cups:
        foot, height = (
            format_pm(one, plan.units) for one in (plan.fabric.foot_length, plan.fabric.leg_length)
        )
        here = words.render(
            "here it turns when worn: foot {foot}, height {height}", foot=foot, height=height
        )
        yield Entry(partial(_fold_line_sample, theme=theme), here)
    every = words.render("a line every {rounds} rounds", rounds=EVERY)
    yield Entry(partial(_line_sample, theme=theme), every)
    leg, cuff = words.render("leg"), words.render("cuff")
    for name, rounds in ((leg, sizing.leg_rounds), (cuff, sizing.cuff.rounds)):
        count = words.render("{rounds} rounds", rounds=rounds)
        if not _is_said(name, count, dimensions):
            yield Entry(no_symbol, f"{name}: {count}")
    if sizing.cuff.kind in HEM_KINDS:
        fold = words.render("hem cut through: it lies double")
        yield Entry(partial(fold_sample, theme=theme), fold)
    for part, role in own_yarns(plan).items():
        yarn = plan.order.yarn(role)
        sample = partial(_area_sample, part=part, colour=yarn.colour, theme=theme)
        yield Entry(sample, words.render("{part}: {yarn}", part=words.render(part), yarn=yarn.name))


def _is_said(name: str, count: str, dimensions: Sequence[Dimension]) -> bool:
    labels = (one.label for one in dimensions if one.label[0] == name)
    return any(count in line for label in labels for line in label)


def _gore_sample(at: Point, theme: Theme) -> str:
    x, y = at
    gore = line((x - 3, y), (x + 1, y), stroke=theme.ink, stroke_width=0.35)
    fold = line(
        (x + 1, y), (x + 3, y), stroke=theme.ink, stroke_width=0.3, stroke_dasharray="0.3 0.7"
    )
    return gore + fold


def _fold_line_sample(at: Point, theme: Theme) -> str:
    x, y = at
    ends = ((x - SAMPLE_MM[0], y), (x + SAMPLE_MM[0], y))
    return line(*ends, stroke=theme.ink, stroke_width=0.3, stroke_dasharray="0.3 0.7")


def _line_sample(at: Point, theme: Theme) -> str:
    half = SAMPLE_MM[0]
    ends = ((at[0] - half, at[1]), (at[0] + half, at[1]))
    return line(*ends, stroke=theme.faint, stroke_width=0.2)


def _area_sample(at: Point, part: str, colour: str, theme: Theme) -> str:
    x, y = at
    dx, dy = SAMPLE_MM
    box = ((x - dx, y - dy), (x + dx, y - dy), (x + dx, y + dy), (x - dx, y + dy))
    edge = path(polygon_data(box), fill="none", stroke=theme.ink, stroke_width=0.2)
    return area_of_yarn(box, part, colour, theme) + edge


SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)
ROOM_MM = (180.0, 190.0)
"""Width and height that a drawing without a given scale keeps within."""
MARGIN_MM = 3.0
BAR_ROOM_MM = 9.0
BARS = {"cm": (50.0, "5 cm", 5), "in": (50.8, "2 in", 4)}
"""Fabric that the scale bar stands for, mm, what it is called, and its fields."""


def sock_svg(
    plan: SockPlan,
    theme: Theme = Theme.PRINT,
    scale: float | None = None,
    words: Locale = ENGLISH,
    *,
    room_mm: tuple[float, float] = ROOM_MM,
) -> str:
    """The sock of `plan` laid flat, 1 mm for every `scale` mm of fabric; without a scale the
    largest of SCALES that keeps within `room_mm`. Lengths are in the order's units."""
    profile = profile_of(plan)
    for one in SCALES if scale is None else (scale,):
        sheet = _Sheet(plan, profile, theme, one, words)
        if sheet.width <= room_mm[0] and sheet.height <= room_mm[1]:
            break
    return sheet.svg()


def profile_of(plan: SockPlan) -> Profile:
    """The side view of a plan's sock, mm of fabric."""
    gauge, sizing = plan.gauge, plan.sizing
    lost = sizing.gather_loss.value if sizing.gather_loss else 0.0
    course, made = gauge.course.value, fabrics_of(plan.order)
    leg, cuff = (
        Knit(knit.wale.value / gauge.wale.value, knit.course.value)
        for knit in (gauge.of(made.leg), gauge.of(made.cuff))
    )
    return draw_profile(sizing, gauge.wale.value, course, lost * course, leg, cuff)


class _Sheet:
    """One drawing at one scale: what goes on it, and how much room that takes."""

    def __init__(
        self, plan: SockPlan, profile: Profile, theme: Theme, scale: float, words: Locale
    ) -> None:
        self.plan, self.profile, self.sizing = plan, profile, plan.sizing
        self.theme, self.scale, self.words = theme, scale, words
        self.dimensions = sock_dimensions(plan, profile, scale, words)
        self.note = self._toe_note()
        points = [*self.paper(profile.outline), *self.note.reach()]
        points += [point for one in self.dimensions for point in one.reach()]
        left, top, right, bottom = bounds(points)
        self.origin = (MARGIN_MM - left, MARGIN_MM - top)
        self.width = right - left + 2 * MARGIN_MM
        entries = tuple(sock_entries(plan, self.dimensions, theme, words))
        self.key = lay_key(entries, right - left, TYPE_MM)
        self.key_top = bottom - top + 2 * MARGIN_MM
        self.height = self.key_top + self.key.height + BAR_ROOM_MM + MARGIN_MM

    def paper(self, points: Outline) -> Outline:
        """Points of the fabric on the paper, about the foot of the heel."""
        return tuple((x / self.scale, y / self.scale) for x, y in points)

    def _toe_note(self) -> Note:
        at = shift(self.paper((self.profile.toe.at(0.5),))[0], ((1.0, 0.0), 2.0))
        cup = self.sizing.toe.cup
        gathered = (self.words.render("gathered"),)
        return Note(at, gathered if cup is None else cup_words(cup, self.words))

    def svg(self) -> str:
        """The document."""
        x, y = self.origin
        parts = (*self._sock(), *(one.svg(self.theme) for one in self.dimensions), self.note.svg())
        drawing = group(parts, transform=f"translate({x:.3f} {y:.3f})")
        said = "; ".join(" ".join(one.label) for one in self.dimensions)
        body = (drawing, self.key.svg(MARGIN_MM, self.key_top), self._bar())
        title = self.words.render("Side view of the sock")
        return document(self.width, self.height, title, said, body, self.theme)

    def _sock(self) -> Iterable[str]:
        """The fabric from the ground up: areas, lines, outline, edges."""
        profile, sizing, theme = self.profile, self.sizing, self.theme
        outline = polygon_data(self.paper(profile.outline))
        yield draw_areas(profile, self.plan, self.paper, theme)
        yield self._lines()
        yield draw_ribs(profile, sizing, self.paper, theme)
        yield path(
            outline, fill="none", stroke=theme.ink, stroke_width=0.5, stroke_linejoin="round"
        )
        yield draw_edge(profile, sizing, 1 / self.scale, self.paper, theme)
        if sizing.cuff.kind in HEM_KINDS and not profile.leg.low:
            yield fold_section(profile, self.paper, theme)

    def _lines(self) -> str:
        """Course lines, part lines, gores and folds."""
        profile, theme = self.profile, self.theme
        parts = list(profile.borders)
        if self.sizing.cuff.kind not in HEM_KINDS:
            parts.append(profile.hem)
        return group(
            (
                self._segments(profile.courses, theme.faint, 0.18),
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

    def _bar(self) -> str:
        """The scale bar at the foot of the drawing, with the scale in words."""
        fabric, label, fields = BARS[self.plan.units]
        field = fabric / self.scale / fields
        x, y = MARGIN_MM, self.height - MARGIN_MM - 4.2
        whole = rectangle((x, y), fields * field, 1.4, fill=self.theme.ink)
        light = group(
            (rectangle((x + n * field, y + 0.2), field, 1.0) for n in range(1, fields, 2)),
            fill=self.theme.paper,
        )
        said = self.words.render("drawn 1 : {scale}", scale=numeral(f"{self.scale:g}"))
        at = (x + fields * field + 2, y + 1.7)
        return whole + light + write(at, f"{label} · {said}", TYPE_MM)
