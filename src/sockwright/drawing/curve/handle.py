"""The handle on a plot's axis, and the reading that its dashed lines lead to."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sockwright.drawing.base.svg import (
    Point,
    circle,
    group,
    path,
    polyline_data,
    segments_data,
)
from sockwright.drawing.base.theme import CAP_HEIGHT, Box, Theme, text_width
from sockwright.drawing.curve.axes import Axes
from sockwright.drawing.curve.labels import Label, label_at, write_label

RADIUS_MM = 2.6
STROKE_MM = 0.45
AWAY_MM = 2.5
"""A reading beside the handle's line stands so far from it."""


@dataclass(frozen=True)
class Handle:
    """A handle at a setting, whose loop (mm) is told in `words` and whose `figures` stand below it;
    both are set in `size`."""

    axes: Axes
    cam: float
    loop: float
    words: str
    figures: str
    size: float

    @property
    def corner(self) -> Point:
        """The reading on the plot."""
        return self.axes.at(self.cam, self.loop)

    @property
    def base(self) -> float:
        """The baseline of the settings' numbers, below the handle."""
        return self.axes.area.bottom + RADIUS_MM + 1.2 + CAP_HEIGHT * self.size

    @property
    def number(self) -> Label:
        """Its figures below it."""
        wide = text_width(self.figures, self.size, bold=True)
        x = self.axes.area.below(self.axes.x(self.cam), wide)
        middle = self.base - CAP_HEIGHT * self.size / 2
        return label_at(x - wide / 2, middle, self.figures, self.size, bold=True)

    @property
    def boxes(self) -> tuple[Box, Box]:
        """The room of its lines: upright, and across."""
        (x, y), area = self.corner, self.axes.area
        upright = Box(x, (y + area.bottom) / 2, 0.8, max(0.1, area.bottom - y))
        return upright, Box((area.left + x) / 2, y, max(0.1, x - area.left), 0.8)

    def hides(self, at: Point) -> bool:
        """Whether the handle lies over a number at a point beside its axis."""
        x, y = self.axes.x(self.cam), self.axes.area.bottom
        return abs(at[1] - y) < RADIUS_MM and x - at[0] < RADIUS_MM + 1.5

    def reading(self, taken: Sequence[Box], avoided: Sequence[Box]) -> Label:
        """Where its loop is told, clear of what is `taken`, and of what is `avoided` if that can
        be: above its line or below it at the left, or beside the handle."""
        (x, y), area = self.corner, self.axes.area
        wide, lift = text_width(self.words, self.size, bold=True), 0.85 * self.size
        low = area.bottom - self.size
        places = (
            (area.left + 1, y - lift),
            (area.left + 1, y + lift),
            (x + AWAY_MM, low),
            (x - AWAY_MM - wide, low),
            (min(x + AWAY_MM, area.right - wide), area.top + self.size),
        )
        labels = [label_at(*place, self.words, self.size, bold=True) for place in places]
        free = [one for one in labels if self._inside(one.box) and not _hits(one.box, taken)]
        clear = [one for one in free if not _hits(one.box, (*avoided, self.boxes[0]))]
        return (clear or free or labels)[0]

    def _inside(self, box: Box) -> bool:
        area = self.axes.area
        across = area.left <= box.x - box.width / 2 and box.x + box.width / 2 <= area.right + 1
        return (
            across and area.top <= box.y - box.height / 2 and box.y + box.height / 2 <= area.bottom
        )

    def svg(self, reading: Label, theme: Theme) -> str:
        """Lines, handle and texts, in the colour of what is to be done."""
        (x, y), area = self.corner, self.axes.area
        dashes = segments_data([((x, area.bottom - RADIUS_MM), (x, y)), ((x, y), (area.left, y))])
        lines = (
            path(dashes, stroke_width=STROKE_MM, stroke_dasharray="1.5 1"),
            circle((x, area.bottom), RADIUS_MM, fill=theme.paper, stroke_width=0.5),
            path(self._arrows(), stroke_width=STROKE_MM),
        )
        texts = (
            write_label(one, self.size, theme.act, theme, bold=True)
            for one in (reading, self.number)
        )
        return group((group(lines, stroke=theme.act, fill="none"), *texts))

    def _arrows(self) -> str:
        """Two small arrowheads: it goes to the left and to the right."""
        x, y = self.axes.x(self.cam), self.axes.area.bottom
        return "".join(
            polyline_data(
                ((x + side * 0.5, y - 0.9), (x + side * 1.5, y), (x + side * 0.5, y + 0.9))
            )
            for side in (-1, 1)
        )


def _hits(box: Box, others: Sequence[Box]) -> bool:
    return any(box.overlaps(other) for other in others)
