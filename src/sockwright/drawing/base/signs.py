"""Shapes of marks and arrows, keys and dimension lines, alike wherever they stand.

Every mark is outlined in ink, so that a white or yellow one shows on any paper and none needs its
colour to be known.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import atan2, degrees

from sockwright.drawing.base.geometry import Outline, distance
from sockwright.drawing.base.places import PlacedMark
from sockwright.drawing.base.svg import Point, group, line, path, polygon_data, polyline_data, write
from sockwright.drawing.base.theme import CAP_HEIGHT, Theme, text_box, text_width, wrap_close

WEDGE_WIDTH = 0.85
ARM = 0.28
STROKE = 0.15
OUTLINE = 0.10
DOUBLE = 0.70
DOUBLE_ARM = 0.18
"""Proportions of the shapes, as shares of their height."""

UP: Point = (0.0, -1.0)
RIGHT: Point = (1.0, 0.0)


def shift(point: Point, *moves: tuple[Point, float]) -> Point:
    """The point moved by so much along each given direction."""
    x = point[0] + sum(way[0] * much for way, much in moves)
    y = point[1] + sum(way[1] * much for way, much in moves)
    return x, y


def mark_symbol(
    mark: PlacedMark,
    tip: Point,
    size: float,
    theme: Theme,
    toward: Point = UP,
    along: Point = RIGHT,
) -> str:
    """The mark with its tip at `tip`, reaching `size` mm back from it.

    `toward` points to the needles and `along` in the direction of larger needle numbers; both are
    unit vectors.
    """
    if mark.role in ("home", "halfway"):
        return _wedge(mark, tip, size, theme, toward, along)
    face = along if mark.facing >= 0 else (-along[0], -along[1])
    brackets, arm = [tip], ARM
    if mark.role == "deep limits":
        brackets, arm = [tip, shift(tip, (face, -DOUBLE * size))], DOUBLE_ARM
    data = "".join(_bracket(corner, size, toward, face, arm) for corner in brackets)
    return _outlined(data, size, mark.paint, theme)


def _wedge(
    mark: PlacedMark, tip: Point, size: float, theme: Theme, toward: Point, along: Point
) -> str:
    """Solid for home; for halfway open and without its base, so the two differ in any colour."""
    solid = mark.role == "home"
    inset = 0.0 if solid else (STROKE / 2 + OUTLINE) * size
    tip = shift(tip, (toward, -1.6 * inset))
    half = WEDGE_WIDTH * size / 2 - inset
    left, right = (
        shift(tip, (toward, 1.6 * inset - size), (along, side * half)) for side in (-1, 1)
    )
    if not solid:
        return _outlined(polyline_data((left, tip, right)), size, mark.paint, theme)
    return path(
        polygon_data((tip, right, left)),
        fill=mark.paint,
        stroke=theme.ink,
        stroke_width=2 * OUTLINE * size,
        stroke_linejoin="round",
    )


def _bracket(corner: Point, size: float, toward: Point, face: Point, arm: float) -> str:
    ends = [shift(corner, (toward, -part * size)) for part in (STROKE / 2, 1 - STROKE / 2)]
    arms = [shift(end, (face, arm * size)) for end in ends]
    return polyline_data((arms[0], *ends, arms[1]))


def _outlined(data: str, size: float, paint: str, theme: Theme) -> str:
    """A line in the mark's paint with an edge of ink on both sides."""
    strokes = (
        path(data, stroke=theme.ink, stroke_width=(STROKE + 2 * OUTLINE) * size),
        path(data, stroke=paint, stroke_width=STROKE * size),
    )
    return group(strokes, fill="none", stroke_linecap="square", stroke_linejoin="miter")


def arrow_head(tip: Point, way: Point, size: float, fill: str) -> str:
    """A slender solid arrowhead `size` mm long, pointing along the unit vector `way`."""
    side = (-way[1], way[0])
    base = shift(tip, (way, -size))
    corners = (tip, shift(base, (side, 0.3 * size)), shift(base, (side, -0.3 * size)))
    return path(polygon_data(corners), fill=fill)


LINE = 1.4
"""Height of a line, in type sizes."""
SYMBOL = 3.4
"""Room for a symbol, in type sizes."""
BETWEEN = 1.0
"""Space between columns, in type sizes."""
NARROWEST = 14.0
"""Narrowest column, in type sizes."""
WORTHWHILE = 0.8
"""Another column must bring the height down to this share."""


@dataclass(frozen=True)
class Entry:
    """A line of a key: `draw` draws the symbol centred on a point; `fill` colours the words."""

    draw: Callable[[Point], str]
    words: str
    bold: str = ""
    fill: str | None = None


@dataclass(frozen=True)
class Key:
    """A key laid out to a width: its drawing is made by `svg`, its height is known before."""

    rows: tuple[tuple[Entry, tuple[str, ...], float, float], ...]
    size: float
    height: float

    def svg(self, left: float, top: float) -> str:
        """The key with its top left corner at a point."""
        parts = []
        for entry, lines, x, y in self.rows:
            parts += self._entry(entry, lines, left + x, top + y)
        return group(parts)

    def _entry(self, entry: Entry, lines: tuple[str, ...], x: float, y: float) -> list[str]:
        size = self.size
        middle = y + LINE * size / 2
        parts = [entry.draw((x + SYMBOL * size / 2, middle))]
        at = x + SYMBOL * size + 0.3 * size
        base = middle + CAP_HEIGHT * size / 2
        if entry.bold:
            parts.append(write((at, base), entry.bold, size, bold=True, fill=entry.fill))
            at += _bold_width(entry, size)
        for row, words in enumerate(lines):
            parts.append(write((at, base + row * LINE * size), words, size, fill=entry.fill))
        return parts


def _bold_width(entry: Entry, size: float) -> float:
    return (
        max(text_width(entry.bold, size, bold=True) + 0.45 * size, 1.2 * size)
        if entry.bold
        else 0.0
    )


def lay_key(entries: Sequence[Entry], width_mm: float, size_mm: float) -> Key:
    """The entries within `width_mm`, in one column or, where that saves much height, in two or
    three, filled from top to bottom."""
    best = _columns(entries, 1, width_mm, size_mm)
    for columns in (2, 3):
        if width_mm / columns >= NARROWEST * size_mm:
            other = _columns(entries, columns, width_mm, size_mm)
            best = other if other.height < WORTHWHILE * best.height else best
    return best


def _columns(entries: Sequence[Entry], columns: int, width: float, size: float) -> Key:
    column = (width + BETWEEN * size) / columns
    room = column - (BETWEEN + SYMBOL + 0.3) * size
    lines = [
        tuple(wrap_close(e.words, size, room - _bold_width(e, size))) or ("",) for e in entries
    ]
    most = -(-sum(map(len, lines)) // columns)
    rows = []
    place, done, tallest = 0, 0, 0
    for entry, words in zip(entries, lines, strict=True):
        if done and done + len(words) > most and place < columns - 1:
            place, done = place + 1, 0
        rows.append((entry, words, place * column, done * LINE * size))
        done += len(words)
        tallest = max(tallest, done)
    return Key(tuple(rows), size, tallest * LINE * size)


def no_symbol(at: Point) -> str:
    """Nothing: for an entry that is words alone."""
    return ""


TYPE_MM = 2.8
ARROW_MM = 2.0
GAP_MM, BEYOND_MM = 1.2, 1.0
"""An extension line starts this far from the part and goes on this far past the arrow."""
LINE_MM = 0.18
LIFT_MM = 0.9
"""A value stands this far off its line."""
LEADING = 1.25


@dataclass(frozen=True)
class Dimension:
    """The distance from `a` to `b`, drawn `offset` mm to the left of the way from a to b, with the
    lines of text of `label` on the outer side."""

    a: Point
    b: Point
    offset: float
    label: tuple[str, ...]

    @property
    def fits(self) -> bool:
        """Whether the label is no wider than the distance it is written along."""
        wide = max(text_width(one, TYPE_MM) for one in self.label)
        return wide <= distance(self.a, self.b)

    @property
    def along(self) -> Point:
        """Unit vector from a to b."""
        length = distance(self.a, self.b)
        return (self.b[0] - self.a[0]) / length, (self.b[1] - self.a[1]) / length

    @property
    def aside(self) -> Point:
        """Unit vector to the left of the way from a to b, seen on the paper."""
        x, y = self.along
        return y, -x

    def reach(self) -> Outline:
        """Points that the drawing must have room for."""
        outer = self.offset + LIFT_MM + TYPE_MM * (0.4 + LEADING * len(self.label))
        middle = ((self.a[0] + self.b[0]) / 2, (self.a[1] + self.b[1]) / 2)
        half = max(text_width(one, TYPE_MM) for one in self.label) / 2
        label = (shift(middle, (self.aside, outer), (self.along, side * half)) for side in (-1, 1))
        ends = (shift(p, (self.aside, self.offset + BEYOND_MM)) for p in (self.a, self.b))
        return (*label, *ends)

    def svg(self, theme: Theme) -> str:
        """The dimension as a drawing."""
        ends = [shift(point, (self.aside, self.offset)) for point in (self.a, self.b)]
        lines = [
            line(
                shift(point, (self.aside, GAP_MM)),
                shift(point, (self.aside, self.offset + BEYOND_MM)),
            )
            for point in (self.a, self.b)
        ]
        x, y = self.along
        back = (-x, -y)
        length = distance(*ends)
        if length > 3.2 * ARROW_MM:
            heads = [(ends[0], back), (ends[1], self.along)]
            lines.append(line(*(shift(tip, (way, -0.8 * ARROW_MM)) for tip, way in heads)))
        else:
            heads = [(ends[0], self.along), (ends[1], back)]
            lines += [line(tip, shift(tip, (way, -2.2 * ARROW_MM))) for tip, way in heads]
            lines.append(line(*ends))
        return group(
            (
                group(lines, stroke=theme.muted, stroke_width=LINE_MM),
                *(arrow_head(tip, way, ARROW_MM, theme.ink) for tip, way in heads),
                *self._text(),
            )
        )

    def _text(self) -> list[str]:
        """The label along the line, on its outer side, never upside down."""
        turn = degrees(atan2(self.along[1], self.along[0]))
        # Upright lines are read from the right, as on a drawing board.
        flipped = not -90.01 < turn < 89.99
        if flipped:
            turn += 180 if turn < 0 else -180
        middle = ((self.a[0] + self.b[0]) / 2, (self.a[1] + self.b[1]) / 2)
        parts = []
        count = len(self.label)
        for row, words in enumerate(self.label):
            # Where the text's own upward direction is `aside`, the last line is next to the line.
            if flipped:
                off = self.offset + LIFT_MM + 0.72 * TYPE_MM + row * LEADING * TYPE_MM
            else:
                off = self.offset + LIFT_MM + (count - 1 - row) * LEADING * TYPE_MM
            at = shift(middle, (self.aside, off))
            parts.append(write(at, words, TYPE_MM, anchor="middle", turn_degrees=turn))
        return parts


def numbered(needles: int, five_apart_mm: float, size_mm: float) -> list[int]:
    """Multiples of five, or of ten where five needles are too narrow for a number and air."""
    longest = str(needles)
    room = max(1.45 * text_width(longest, size_mm), text_box((0.0, 0.0), longest, size_mm).width)
    crowded = five_apart_mm < room
    step = 10 if crowded else 5
    return list(range(step, needles + 1, step))
