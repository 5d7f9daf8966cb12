"""The curve of a stitch cam as a plot: loops by settings, with band, points and a reading."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property, partial

from sockwright.drawing.base.signs import Entry, Key, lay_key
from sockwright.drawing.base.svg import (
    Point,
    document,
    group,
    line,
    path,
    polygon_data,
    polyline_data,
    rectangle,
    write,
)
from sockwright.drawing.base.theme import Box, Theme, text_width
from sockwright.drawing.curve.axes import BESIDE_MM, Area, Axes, axes_for
from sockwright.drawing.curve.frame import LINE_MM, TYPE_MM, Frame
from sockwright.drawing.curve.handle import RADIUS_MM, Handle
from sockwright.drawing.curve.labels import Label, place_beside, write_label
from sockwright.drawing.curve.points import DrawnPoint, drawn_points, loop_on, sample
from sockwright.estimates import Estimate
from sockwright.i18n import ENGLISH, N_, Locale, joined, numeral
from sockwright.machine import CamNaming
from sockwright.measure.cam_curve import CamCurve, CamReading
from sockwright.measure.cam_points import PointKind
from sockwright.quantities import format_pm

WIDE_MM, NARROW_MM = 160.0, 88.0
"""Widths to draw it at for a page or a sheet, and for a telephone: shown at about that size its
type is as large as a caption's."""

MARGIN_MM = 1.0
ABOVE_MM = 3.0 + TYPE_MM
"""Room above the plot for its title."""
BIG = 1.2
"""Type of the reading, as a share of the usual."""
SAMPLES = 96
MM_PER_INCH = 25.4


@dataclass(frozen=True)
class CurveView:
    """What to draw: a curve on a cylinder of `needles` with this pitch, and the setting that the
    handle stands at. `cam` is how the machine's settings are called; `units` are "cm" or "in"."""

    curve: CamCurve
    needles: int
    pitch: Estimate
    cam: CamNaming
    handle: float
    units: str = "cm"

    @property
    def unit(self) -> str:
        """The unit of a loop's length."""
        return "in" if self.units == "in" else "mm"


def curve_svg(
    view: CurveView,
    width_mm: float = WIDE_MM,
    theme: Theme = Theme.PAGE,
    words: Locale = ENGLISH,
) -> str:
    """The plot as a document `width_mm` wide, with its key below."""
    return _Picture(view, width_mm, theme, words).svg()


def setting_words(setting: float, cam: CamNaming, words: Locale) -> str:
    """A setting in the machine's own word: "14 clicks"."""
    figures = numeral(f"{setting:g}")
    if cam.word == CamNaming().word:
        return words.render("number {setting}", setting=figures)
    return words.render("{setting} {word}", setting=figures, word=cam.word)


@dataclass(frozen=True)
class _Picture:
    view: CurveView
    width: float
    theme: Theme
    words: Locale

    @cached_property
    def area(self) -> Area:
        """Room on the left for numbers, above for the title."""
        left = MARGIN_MM + text_width("00.0", TYPE_MM) + 1.5
        height = min(0.72 * self.width, 78.0)
        return Area(left, ABOVE_MM, self.width - BESIDE_MM, ABOVE_MM + height)

    @cached_property
    def readings(self) -> tuple[CamReading, ...]:
        """The curve all along its span, the ends of what was knitted among them; nothing of one
        that only one setting is known of."""
        curve = self.view.curve
        if curve.one_setting:
            return ()
        first, last = curve.span
        cams = {first + (last - first) * n / SAMPLES for n in range(SAMPLES + 1)}
        every = sorted(cams | {curve.least, curve.most})
        return tuple(curve.reading(cam, self.view.pitch) for cam in every)

    @cached_property
    def axes(self) -> Axes:
        """All points with their ±, the whole line, and the band where it was knitted."""
        view, seen = self.view, [self.reading.loop.value]
        loops = (loop_on(point, view.pitch) for point in view.curve.points)
        for loop in (one for one in loops if one is not None):
            seen += (loop.value - loop.sd, loop.value + loop.sd)
        for one in self.readings:
            sd = 0.0 if one.beyond else one.loop.sd
            seen += (one.loop.value - sd, one.loop.value + sd)
        unit = MM_PER_INCH if view.unit == "in" else 1.0
        return axes_for(self.area, view.curve.span, (min(seen), max(seen)), unit)

    @cached_property
    def points(self) -> list[DrawnPoint]:
        """Outdated ones first, so that others lie over them."""
        drawn = drawn_points(self.view.curve.points, self.view.pitch, self.axes)
        return sorted(drawn, key=lambda one: not one.of.stale)

    @cached_property
    def reading(self) -> CamReading:
        """What stands at the handle."""
        return self.view.curve.reading(self.view.handle, self.view.pitch)

    @cached_property
    def handle(self) -> Handle:
        """The handle with the loop it tells; beyond what was knitted that is said to be a guess."""
        loop = self.words.named(format_pm(self.reading.loop, self.view.unit))
        if self.reading.beyond:
            loop = self.words.render("a guess: {loop}", loop=loop)
        figures = self.words.numeral(f"{self.view.handle:g}")
        value = self.reading.loop.value
        return Handle(self.axes, self.view.handle, value, loop, figures, BIG * TYPE_MM)

    def svg(self) -> str:
        """The document."""
        view, words = self.view, self.words
        frame = Frame(
            self.axes, self.handle, view.cam, view.curve.step, view.unit, self.theme, words
        )
        along = [Box(*at, 1.5, 1.5) for at in self._line(*view.curve.span)[::2]]
        reading = self.handle.reading([one.box for one in self.points], along)
        below = self.area.bottom + 2 * RADIUS_MM + 2.8 * TYPE_MM
        key = self._key()
        parts = (
            frame.svg(),
            self._band(),
            self._curve(),
            group(one.svg(self.theme) for one in self.points),
            group(self._names(reading, along)),
            self.handle.svg(reading, self.theme),
            key.svg(MARGIN_MM, below),
        )
        title = words.render("What the stitch cam does, on {needles} needles", needles=view.needles)
        height = below + key.height + MARGIN_MM
        return document(self.width, height, title, self._said(), parts, self.theme)

    def _said(self) -> str:
        """The drawing for who does not see it: the reading, and each point."""
        every = [self._told(self.view.handle, self.handle.words)]
        for one in self.points:
            loop = self.words.named(format_pm(one.loop, self.view.unit))
            every.append(joined(", ", (one.of.name, self._told(one.of.cam, loop))))
        return self.words.named(joined("; ", every))

    def _told(self, cam: float, loop: str) -> str:
        setting = setting_words(cam, self.view.cam, self.words)
        return self.words.render("{setting}: {loop}", setting=setting, loop=loop)

    def _line(self, low: float, high: float) -> list[Point]:
        shown = (one for one in self.readings if low <= one.cam <= high)
        return [self.axes.at(one.cam, one.loop.value) for one in shown]

    def _band(self) -> str:
        """Two times in three the loop lies in it."""
        if not self.readings:
            return ""
        upper, lower = (
            [self.axes.at(one.cam, one.loop.value + sign * one.loop.sd) for one in self.readings]
            for sign in (1, -1)
        )
        theme, edges = self.theme, polyline_data(upper) + polyline_data(lower)
        fill = path(polygon_data((*upper, *reversed(lower))), fill=theme.tint)
        return fill + path(edges, fill="none", stroke=theme.muted, stroke_width=LINE_MM)

    def _curve(self) -> str:
        """The line, drawn through where it was knitted and dashed beyond."""
        if not self.readings:
            return ""
        curve = self.view.curve
        first, last = curve.span
        inside = polyline_data(self._line(curve.least, curve.most))
        beyond = (self._line(first, curve.least), self._line(curve.most, last))
        outside = "".join(polyline_data(part) for part in beyond if len(part) > 1)
        parts = [path(inside, stroke_width=0.6)]
        if outside:
            parts.append(path(outside, stroke_width=0.4, stroke_dasharray="1.6 1.2"))
        return group(parts, fill="none", stroke=self.theme.ink, stroke_linejoin="round")

    def _names(self, reading: Label, along: list[Box]) -> Iterator[str]:
        """The points' names, where there is room for them."""
        taken = [*(one.box for one in self.points), *self.handle.boxes, reading.box]
        for one in reversed(self.points):
            name = self._name(one)
            label = place_beside(one.at, name, TYPE_MM, self.area, taken, along, one.reach)
            if label is not None:
                taken.append(label.box)
                fill = self.theme.muted if one.of.stale else self.theme.ink
                yield write_label(label, TYPE_MM, fill, self.theme)

    def _name(self, one: DrawnPoint) -> str:
        if one.of.needles == self.view.needles:
            return one.of.name
        return self.words.render("{name} ({needles})", name=one.of.name, needles=one.of.needles)

    def _key(self) -> Key:
        return lay_key(tuple(self._entries()), self.width - 2 * MARGIN_MM, TYPE_MM)

    def _entries(self) -> Iterator[Entry]:
        words, theme = self.words, self.theme
        seen = {(one.of.kind, one.of.stale) for one in self.points}
        for kind, told in SIGNS.items():
            if (kind, False) in seen:
                yield Entry(partial(sample, kind, theme=theme), words.render(told))
        old = [kind for kind, stale in sorted(seen) if stale]
        if old:
            draw = partial(sample, old[-1], theme=theme, stale=True)
            yield Entry(draw, words.render("outdated"))
        if self.readings:
            yield Entry(self._band_sample, words.render("two times in three"))
        others = sorted({one.of.needles for one in self.points} - {self.view.needles})
        if others:
            sign = f"({others[0]})"
            draw = partial(_sign, words=sign, fill=theme.ink)
            yield Entry(draw, words.render("knitted on so many needles"))

    def _band_sample(self, at: Point) -> str:
        x, y = at
        theme, corner = self.theme, (x - 3.5, y - 1.3)
        band = rectangle(corner, 7, 2.6, fill=theme.tint, stroke=theme.muted, stroke_width=LINE_MM)
        return band + line((x - 3.5, y), (x + 3.5, y), stroke=theme.ink, stroke_width=0.6)


SIGNS = {PointKind.SWATCH: N_("swatch, ±"), PointKind.SOCK: N_("finished sock, ±")}


def _sign(at: Point, words: str, fill: str) -> str:
    return write((at[0], at[1] + 0.34 * TYPE_MM), words, TYPE_MM, anchor="middle", fill=fill)
