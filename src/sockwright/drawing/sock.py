"""The drawing of a sock in side view, true to scale, with its dimensions."""

from __future__ import annotations

from collections.abc import Iterable

from sockwright.drawing.dimension import TYPE_MM
from sockwright.drawing.key import lay_key
from sockwright.drawing.plane import Outline, bounds
from sockwright.drawing.profile import Profile, draw_profile
from sockwright.drawing.shapes import shift
from sockwright.drawing.sock_dimensions import sock_dimensions
from sockwright.drawing.sock_fabric import draw_areas, draw_edge, draw_ribs, fold_section
from sockwright.drawing.sock_key import Note, cup_words, sock_entries
from sockwright.drawing.svg import (
    document,
    group,
    path,
    polygon_data,
    rectangle,
    segments_data,
    write,
)
from sockwright.drawing.theme import Theme
from sockwright.drawing.words import ENGLISH, Words
from sockwright.plan import Plan
from sockwright.sock.sizing import HEM_KINDS, gather_loss
from sockwright.words import numeral

SCALES = (1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0)
ROOM_MM = (180.0, 190.0)
"""Width and height that a drawing without a given scale keeps within."""
MARGIN_MM = 3.0
BAR_ROOM_MM = 9.0
BARS = {"cm": (50.0, "5 cm", 5), "in": (50.8, "2 in", 4)}
"""Fabric that the scale bar stands for, mm, what it is called, and its fields."""


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
    profile = profile_of(plan)
    for one in SCALES if scale is None else (scale,):
        sheet = _Sheet(plan, profile, theme, one, words)
        if sheet.width <= room_mm[0] and sheet.height <= room_mm[1]:
            break
    return sheet.svg()


def profile_of(plan: Plan) -> Profile:
    """The side view of a plan's sock, mm of fabric."""
    gauge, sizing = plan.gauge, plan.sizing
    lost = gather_loss(sizing.needles, gauge).value if sizing.toe.cup is None else 0.0
    course = gauge.course.value
    return draw_profile(sizing, gauge.wale.value, course, lost * course)


class _Sheet:
    """One drawing at one scale: what goes on it, and how much room that takes."""

    def __init__(
        self, plan: Plan, profile: Profile, theme: Theme, scale: float, words: Words
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
        return Note(at, (self.words.gathered,) if cup is None else cup_words(cup, self.words))

    def svg(self) -> str:
        """The document."""
        x, y = self.origin
        parts = (*self._sock(), *(one.svg(self.theme) for one in self.dimensions), self.note.svg())
        drawing = group(parts, transform=f"translate({x:.3f} {y:.3f})")
        said = "; ".join(" ".join(one.label) for one in self.dimensions)
        body = (drawing, self.key.svg(MARGIN_MM, self.key_top), self._bar())
        return document(self.width, self.height, self.words.sock, said, body, self.theme)

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
        fabric, label, fields = BARS[self.plan.order.units]
        field = fabric / self.scale / fields
        x, y = MARGIN_MM, self.height - MARGIN_MM - 4.2
        whole = rectangle((x, y), fields * field, 1.4, fill=self.theme.ink)
        light = group(
            (rectangle((x + n * field, y + 0.2), field, 1.0) for n in range(1, fields, 2)),
            fill=self.theme.paper,
        )
        said = self.words.fill(self.words.scale, scale=numeral(f"{self.scale:g}"))
        at = (x + fields * field + 2, y + 1.7)
        return whole + light + write(at, f"{label} · {said}", TYPE_MM)
