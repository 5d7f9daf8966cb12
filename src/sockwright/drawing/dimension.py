"""Dimension lines: two extension lines, a line with arrowheads between them, and its value."""

from __future__ import annotations

from dataclasses import dataclass
from math import atan2, degrees

from sockwright.drawing.lettering import text_width
from sockwright.drawing.plane import Outline, distance
from sockwright.drawing.shapes import arrow_head, shift
from sockwright.drawing.svg import Point, group, line, write
from sockwright.drawing.theme import Theme

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
